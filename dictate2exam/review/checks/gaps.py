"""What the protocol asks for and nobody examined."""

from collections.abc import Iterator

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.protocols import Protocol, Requirement, covers, read_protocol
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import name_of
from dictate2exam.review.checks.sides import examined_sides
from dictate2exam.units import Side


def gap_questions(record: ExamRecord, lexicon: Lexicon) -> Iterator[Question]:
    """A question for each required item of the protocol that was not examined.

    Only a missing minimum blocks, and what the protocol says. A possible donor without a grade is
    asked about as such. An item about which something was said but not understood (a question
    points at it) is no gap.
    """
    protocol = read_protocol(lexicon.folder, record.protocol)
    yield from _minimum(record, protocol)
    for side in examined_sides(record):
        known = examined_items(record, side)
        for requirement in protocol.requirements:
            if requirement.required and not is_covered(requirement, known, lexicon):
                yield _gap(requirement, side, lexicon)


def examined_items(record: ExamRecord, side: Side) -> frozenset[str]:
    """Items with a finding on this side or without a side, and those an open question is about."""
    found = {f.item for f in record.standing if f.side in (side, "none")}
    asked = {
        question.item
        for question in record.questions
        if question.kind != "gap" and question.item and question.side in (side, "none")
    }
    return frozenset(found | asked)


def is_covered(requirement: Requirement, examined: frozenset[str], lexicon: Lexicon) -> bool:
    """Whether the requirement or one of its alternatives was examined."""
    return any(
        covers(item, examined, lexicon.by_id)
        for item in (requirement.item, *requirement.alternatives)
    )


def _minimum(record: ExamRecord, protocol: Protocol) -> Iterator[Question]:
    kinds = [f.item.partition(".")[0] for f in record.standing if f.value != "not_tested"]
    for minimum in protocol.minimum:
        if sum(kind in minimum.kinds for kind in kinds) < minimum.count:
            yield Question(
                kind="gap", blocking=True, question=minimum.question, rule="too_little_examined"
            )


def _gap(requirement: Requirement, side: Side, lexicon: Lexicon) -> Question:
    text = f"{name_of(requirement.item, side, lexicon)}: not examined."
    if requirement.donor:
        text = (
            f"{name_of(requirement.item, side, lexicon)}: a possible donor "
            f"({requirement.donor}), left ungraded."
        )
    if requirement.how:
        text += f" How: {requirement.how[:1].lower()}{requirement.how[1:]}"
    return Question(
        kind="gap",
        blocking=requirement.blocks,
        item=requirement.item,
        side=side,
        question=text,
        donor=requirement.donor,
        rule="donor_ungraded" if requirement.donor else "not_examined",
    )
