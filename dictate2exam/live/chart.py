"""The record as the page shows it: chart, questions with what is behind them, what is left."""

from collections.abc import Sequence

from dictate2exam.findings.model import Finding
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.protocols import read_protocol
from dictate2exam.live.deciding import open_questions
from dictate2exam.live.messages.kinds import CellState
from dictate2exam.live.messages.to_page import (
    Cell,
    Chart,
    ChartRow,
    Listened,
    NextShown,
    Questions,
    QuestionShown,
    RedFlagShown,
    SoundBehind,
)
from dictate2exam.live.saying import said
from dictate2exam.localise.model import Localisation
from dictate2exam.provenance import Heard
from dictate2exam.questions import Question
from dictate2exam.record.meaning import place_of
from dictate2exam.record.model import ExamRecord, RecordedFinding
from dictate2exam.record.wording import name_of
from dictate2exam.report.view import is_abnormal, value_text
from dictate2exam.review.checks.gaps import examined_items, is_covered
from dictate2exam.review.checks.sides import examined_sides
from dictate2exam.units import Side

MOST_NEXT = 12

Key = tuple[str, str, str, float]


def key_of(finding: Finding) -> Key:
    """What makes a finding the same from one chart to the next, whatever its number."""
    start = finding.heard[0].start_s if finding.heard else -1.0
    return finding.item, finding.side, finding.value, start


def chart_of(
    record: ExamRecord, lexicon: Lexicon, revision: int, known: frozenset[Key] = frozenset()
) -> Chart:
    """The chart of the record; `known` are the findings of the chart before."""
    rows: dict[str, dict[Side, list[RecordedFinding]]] = {}
    for entry in sorted(record.findings, key=lambda e: place_of(e.finding)):
        if entry.stands:
            sides = rows.setdefault(entry.finding.item, {})
            sides.setdefault(entry.finding.side, []).append(entry)
    order = {item: n for n, item in enumerate(lexicon.items)}
    done, wanted, left = progress_of(record, lexicon)
    return Chart(
        revision=revision,
        rows=tuple(
            ChartRow(
                item=item,
                **{side: _cell(found, record, lexicon) for side, found in rows[item].items()},
            )
            for item in sorted(rows, key=lambda item: order.get(item, len(order)))
        ),
        changed=tuple(f.finding_id for f in record.standing if key_of(f) not in known),
        done=done,
        wanted=wanted,
        left=left,
        red_flags=tuple(
            RedFlagShown(flag=flag.flag, message=flag.message, confirmed=flag.confirmed)
            for flag in record.red_flags
        ),
        cautions=record.cautions,
    )


def _cell(entries: Sequence[RecordedFinding], record: ExamRecord, lexicon: Lexicon) -> Cell:
    """One cell: touch before pin, else what was said last, and what else of it stands."""
    entry = next((e for e in entries if e.finding.detail.get("modality") == "touch"), entries[-1])
    finding = entry.finding
    state: CellState = "accepted"
    if entry.state in ("to_confirm", "confirmed"):
        state = "confirmed" if entry.state == "confirmed" else "to_confirm"
    return Cell(
        finding_id=finding.finding_id,
        value=finding.value,
        text=value_text(finding),
        said=said(finding, lexicon),
        scale=finding.scale,
        detail=finding.detail,
        state=state,
        abnormal=is_abnormal(finding),
        question_ids=tuple(
            q.question_id
            for q in record.questions
            if q.state == "open" and finding.finding_id in q.finding_ids
        ),
        confidence=finding.confidence,
        heard=finding.heard_text,
        start_s=min((s.start_s for s in finding.heard), default=0.0),
        end_s=max((s.end_s for s in finding.heard), default=0.0),
        more=tuple(_cell((e,), record, lexicon) for e in entries if e is not entry),
    )


def progress_of(record: ExamRecord, lexicon: Lexicon) -> tuple[int, int, tuple[str, ...]]:
    """How many of the required items were examined, how many there are, and which are left."""
    protocol = read_protocol(lexicon.folder, record.protocol)
    required = [r for r in protocol.requirements if r.required]
    done = wanted = 0
    sides = examined_sides(record)
    left = {r.item for r in required} if not sides else set[str]()
    for side in sides:
        known = examined_items(record, side)
        missing = [r.item for r in required if not is_covered(r, known, lexicon)]
        wanted += len(required)
        done += len(required) - len(missing)
        left.update(missing)
    return done, wanted, tuple(r.item for r in required if r.item in left)


def questions_of(record: ExamRecord, lexicon: Lexicon, gaps: bool = True) -> Questions:
    """The open questions, the one on top first; `gaps` that block among them."""
    waiting = open_questions(record, lexicon, gaps)
    return Questions(
        open=tuple(_shown(question, record, lexicon) for question in waiting),
        blocking=sum(question.blocking for question in waiting),
        gaps=sum(q.state == "open" and q.kind == "gap" for q in record.questions),
    )


def _shown(question: Question, record: ExamRecord, lexicon: Lexicon) -> QuestionShown:
    hanging = [f for f in record.standing if f.finding_id in question.finding_ids]
    return QuestionShown(
        question_id=question.question_id,
        kind=question.kind,
        blocking=question.blocking,
        item=question.item,
        label=name_of(question.item, question.side, lexicon) if question.item else "",
        side=question.side,
        question=question.question,
        suggestions=question.suggestions,
        recorded=tuple(said(finding, lexicon) for finding in hanging),
        sound=tuple(_behind(stretch, record) for stretch in question.heard),
    )


def _behind(stretch: Heard, record: ExamRecord) -> SoundBehind:
    words: tuple[tuple[str, float, float], ...] = ()
    readings: tuple[Listened, ...] = ()
    for utterance in record.transcript.utterances:
        if utterance.index == stretch.utterance:
            chosen = utterance.words[stretch.first_word : stretch.last_word + 1]
            words = tuple((word.text, word.start_s, word.end_s) for word in chosen)
            readings = tuple(
                Listened(listener=reading.listener, text=reading.text)
                for reading in utterance.readings
            )
    return SoundBehind(
        start_s=stretch.start_s,
        end_s=stretch.end_s,
        text=stretch.text,
        words=words,
        readings=readings,
    )


def left_by_protocol(record: ExamRecord, lexicon: Lexicon) -> tuple[NextShown, ...]:
    """The required items that were not examined, in the order of the protocol."""
    protocol = read_protocol(lexicon.folder, record.protocol)
    return tuple(
        NextShown(
            item=requirement.item,
            label=name_of(requirement.item, side, lexicon),
            side=side,
            bits=None,
            how=requirement.how,
            donor=requirement.donor,
        )
        for side in examined_sides(record)
        for requirement in protocol.requirements
        if requirement.required
        and not is_covered(requirement, examined_items(record, side), lexicon)
    )


def left_by_information(
    places: Sequence[Localisation], record: ExamRecord, lexicon: Lexicon
) -> tuple[NextShown, ...]:
    """The unexamined items that would settle the location most, best first."""
    protocol = read_protocol(lexicon.folder, record.protocol)
    known = {r.item: r for r in protocol.requirements}
    found = [
        NextShown(
            item=item.item,
            label=name_of(item.item, place.side, lexicon),
            side=place.side,
            bits=item.expected_bits,
            how=known[item.item].how if item.item in known else "",
            donor=known[item.item].donor if item.item in known else "",
        )
        for place in places
        for item in place.next_items[:MOST_NEXT]
    ]
    return tuple(sorted(found, key=lambda one: -(one.bits or 0))[:MOST_NEXT])
