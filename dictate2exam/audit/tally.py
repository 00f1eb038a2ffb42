"""Counts what was examined of what each record's protocol asks for."""

from collections import defaultdict
from collections.abc import Iterable

from dictate2exam.audit.model import Asked, Audit, Count, ItemKey
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.protocols import read_protocol
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.checks.gaps import is_covered
from dictate2exam.review.checks.sides import examined_sides
from dictate2exam.units import Side


def audit(records: Iterable[ExamRecord], lexicon: Lexicon) -> Audit:
    """The counts over these records; InputError where the lexicon lacks a record's protocol."""
    items: dict[ItemKey, Count] = defaultdict(Count)
    questions: dict[str, Asked] = defaultdict(Asked)
    total = findings = signed = 0
    for record in records:
        total, findings = total + 1, findings + len(record.standing)
        signed += bool(record.signatures)
        for key, count in _items(record, lexicon):
            items[key] += count
        for question in record.questions:
            questions[_kind(question)] += _asked(question)
    return Audit(
        records=total,
        findings=findings,
        signed=signed,
        items=dict(items),
        questions=dict(sorted(questions.items())),
    )


def _items(record: ExamRecord, lexicon: Lexicon) -> Iterable[tuple[ItemKey, Count]]:
    protocol = read_protocol(lexicon.folder, record.protocol)
    for side in examined_sides(record):
        tested, told = _found(record, side, True), _found(record, side, False)
        for section in protocol.sections:
            for requirement in section.items:
                examined = is_covered(requirement, tested, lexicon)
                only_told = not examined and is_covered(requirement, told, lexicon)
                yield (
                    ItemKey(
                        protocol=protocol.name,
                        section=section.section,
                        item=requirement.item,
                        required=requirement.required,
                        key=requirement.key,
                        donor=requirement.donor,
                    ),
                    Count(asked=1, examined=examined, not_tested=only_told),
                )


def _found(record: ExamRecord, side: Side, tested: bool) -> frozenset[str]:
    """Items with a standing finding on this side or without one; `tested`: with a value."""
    return frozenset(
        finding.item
        for finding in record.standing
        if finding.side in (side, "none") and not (tested and finding.value == "not_tested")
    )


def _kind(question: Question) -> str:
    """The kind of a question; a possible donor left ungraded is a gap of its own kind."""
    return "gap, donor" if question.kind == "gap" and question.donor else question.kind


def _asked(question: Question) -> Asked:
    return Asked(total=1, blocking=question.blocking, **{question.state: 1})
