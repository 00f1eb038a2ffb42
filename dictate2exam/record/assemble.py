"""From what was read to a record: ids, corrections, withdrawals, states, red flags, cautions."""

from dictate2exam import __version__
from dictate2exam.findings.model import Extraction, Finding
from dictate2exam.lexicon.cautions import cautions_for
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.provenance import Versions
from dictate2exam.questions import Question
from dictate2exam.record.amend import add_questions, with_states
from dictate2exam.record.meaning import agree, place_of, place_of_question, slot_of
from dictate2exam.record.model import ExamRecord, RecordedFinding
from dictate2exam.record.red_flags import find_red_flags
from dictate2exam.record.settle import settle
from dictate2exam.record.wording import clock
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript


def assemble(
    transcript: Transcript,
    extraction: Extraction,
    lexicon: Lexicon,
    settings: Settings,
    created: str,
) -> ExamRecord:
    """The record of one examination; `created` is a time as ISO 8601 text.

    Findings are numbered f001, f002, ... and questions q001, q002, ... in the order in which they
    were spoken, so that the same input and versions give the same ids.
    """
    findings = sorted(extraction.findings, key=place_of)
    ids = {finding.finding_id: f"f{n:03d}" for n, finding in enumerate(findings, start=1)}
    numbered = tuple(
        finding.model_copy(
            update={
                "finding_id": ids[finding.finding_id],
                "corrects": ids.get(finding.corrects, ""),
            }
        )
        for finding in findings
    )
    withdrawn = {ids[gone] for gone in extraction.withdrawn if gone in ids}
    entries = _corrected(numbered, withdrawn)
    dropped = {e.finding.finding_id for e in entries if not e.stands}
    questions = [
        question.model_copy(
            update={"finding_ids": tuple(ids[i] for i in question.finding_ids if i in ids)}
        )
        for question in sorted(extraction.questions, key=place_of_question)
    ]
    questions = [q for q in questions if not q.finding_ids or set(q.finding_ids) - dropped]
    record = ExamRecord(
        created=created,
        protocol=settings.protocol,
        default_side=settings.side,
        setting=settings.setting,
        examiner=settings.examiner,
        versions=Versions(
            package=__version__, lexicon=lexicon.hash, listeners=dict(transcript.listeners)
        ),
        cautions=(),
        red_flags=(),
        transcript=transcript,
        findings=entries,
        questions=(),
    )
    record = add_questions(record, [*questions, *_sideless(record, questions, lexicon)])
    return refresh(settle(record, lexicon), lexicon)


def refresh(record: ExamRecord, lexicon: Lexicon) -> ExamRecord:
    """The record with states, cautions and red flags as its findings and questions now say."""
    record = with_states(record)
    assumed = any(not f.side_spoken and f.side != "none" for f in record.standing)
    occasions = {"side_assumed"} if assumed else set()
    return record.model_copy(
        update={
            "cautions": (*_of_the_sound(record), *cautions_for(lexicon.folder, occasions)),
            "red_flags": find_red_flags(record, lexicon),
        }
    )


def _corrected(findings: tuple[Finding, ...], withdrawn: set[str]) -> tuple[RecordedFinding, ...]:
    """Each finding with its state after spoken corrections and withdrawals."""
    replaced = {finding.corrects: finding.finding_id for finding in findings if finding.corrects}
    gone = [finding for finding in findings if finding.finding_id in withdrawn]

    def entry(finding: Finding) -> RecordedFinding:
        if finding.finding_id in replaced:
            return RecordedFinding(
                finding=finding,
                state="superseded",
                superseded_by=replaced[finding.finding_id],
            )
        repeats = any(
            slot_of(finding) == slot_of(other)
            and agree(finding, other)
            and place_of(finding) <= place_of(other)
            for other in gone
        )
        return RecordedFinding(finding=finding, state="rejected" if repeats else "accepted")

    return tuple(entry(finding) for finding in findings)


def _sideless(
    record: ExamRecord, questions: list[Question], lexicon: Lexicon
) -> tuple[Question, ...]:
    """One blocking question for all findings without a side that no other question asks about."""
    asked = {i for question in questions if question.kind == "side" for i in question.finding_ids}
    open_ = [
        finding
        for finding in record.standing
        if finding.side == "none" and _has_side(finding) and finding.finding_id not in asked
    ]
    if not open_:
        return ()
    first = open_[0].heard[0] if open_[0].heard else None
    since = f" since {clock(first.start_s)}" if first and record.transcript.timed else ""
    many = f"{len(open_)} findings" if len(open_) > 1 else "one finding"
    return (
        Question(
            kind="side",
            blocking=True,
            item=open_[0].item if len(open_) == 1 else "",
            question=f"No side was named for {many}{since}. Left or right?",
            suggestions=("right", "left"),
            finding_ids=tuple(finding.finding_id for finding in open_),
            heard=tuple(finding.heard[0] for finding in open_ if finding.heard),
            rule="no_side",
        ),
    )


def _has_side(finding: Finding) -> bool:
    """Whether the finding means nothing without a side: no context, and no sign said absent."""
    kind = finding.item.partition(".")[0]
    return kind != "context" and not (kind == "sign" and finding.value == "absent")


def _of_the_sound(record: ExamRecord) -> tuple[str, ...]:
    """What is wrong with the recording itself, said before everything else."""
    signal = record.transcript.signal
    return signal.cautions if signal else ()
