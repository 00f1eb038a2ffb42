"""One value for one item: repeats are joined, corrections obeyed, contradictions asked about."""

from collections.abc import Sequence

from dictate2exam.findings.model import Finding
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.questions import Question
from dictate2exam.record.amend import add_questions, set_state
from dictate2exam.record.meaning import Slot, agree, is_free, joined, place_of, slot_of
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import clock, name_of


def settle(record: ExamRecord, lexicon: Lexicon) -> ExamRecord:
    """The record with one standing finding for each item, side and modality.

    Of two values without a correction between them the last stands, under a blocking question.
    """
    slots: dict[Slot, list[Finding]] = {}
    for finding in sorted(record.standing, key=place_of):
        if not is_free(finding):
            slots.setdefault(slot_of(finding), []).append(finding)
    asked: list[Question] = []
    for findings in slots.values():
        if len(findings) > 1:
            record, question = _settle_slot(record, findings, lexicon)
            asked += [question] if question else []
    return add_questions(record, asked)


def _settle_slot(
    record: ExamRecord, findings: list[Finding], lexicon: Lexicon
) -> tuple[ExamRecord, Question | None]:
    tested = [finding for finding in findings if finding.value != "not_tested"]
    if tested and len(tested) < len(findings):
        untested = [f.finding_id for f in findings if f.value == "not_tested"]
        record = set_state(record, untested, "superseded", tested[-1].finding_id)
        findings = tested
    last = findings[-1]
    same = [finding for finding in findings if agree(finding, last)]
    others = [finding for finding in findings if not agree(finding, last)]
    record = _join(record, same)
    keeper = same[0].finding_id
    if not others:
        return record, None
    record = set_state(record, [f.finding_id for f in others], "superseded", keeper)
    corrected = next((n for n, f in enumerate(findings) if f.corrects and agree(f, last)), None)
    if corrected is not None and all(findings.index(other) < corrected for other in others):
        return record, None
    return record, _conflict([*others, last], keeper, record.transcript.timed, lexicon)


def _join(record: ExamRecord, findings: Sequence[Finding]) -> ExamRecord:
    """Findings that agree become the first of them; questions on the others follow it."""
    if len(findings) == 1:
        return record
    one = joined(findings)
    gone = {finding.finding_id for finding in findings[1:]}
    record = set_state(record, gone, "superseded", one.finding_id)

    def moved(question: Question) -> Question:
        ids = (one.finding_id if known in gone else known for known in question.finding_ids)
        return question.model_copy(update={"finding_ids": tuple(dict.fromkeys(ids))})

    return record.model_copy(
        update={
            "findings": tuple(
                entry.model_copy(update={"finding": one})
                if entry.finding.finding_id == one.finding_id
                else entry
                for entry in record.findings
            ),
            "questions": tuple(moved(question) for question in record.questions),
        }
    )


def _conflict(findings: Sequence[Finding], keeper: str, timed: bool, lexicon: Lexicon) -> Question:
    """Two or more values for one item; the last, which stands for now, is suggested first."""
    last = findings[-1]
    said = ", then ".join(
        f"{finding.value} at {clock(finding.heard[0].start_s)}"
        if finding.heard and timed
        else finding.value
        for finding in findings
    )
    return Question(
        kind="conflict",
        blocking=True,
        item=last.item,
        side=last.side,
        question=f"{name_of(last.item, last.side, lexicon)}: {said}. Which value stands?",
        suggestions=tuple(dict.fromkeys(finding.value for finding in reversed(findings))),
        finding_ids=(keeper, *(finding.finding_id for finding in findings[:-1])),
        heard=tuple(stretch for finding in findings for stretch in finding.heard),
    )
