"""Questions that one answer settles are one topic; topics stand in the order in which they matter.

What a question is about (its aspect) decides: a side, which item was meant, or a value, which also
is whether the finding stands at all.
"""

from collections.abc import Callable, Iterable
from typing import Literal, Protocol

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.questions import Question
from dictate2exam.record.amend import find_entry
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.model import Decision
from dictate2exam.units import Bits

Aspect = Literal["side", "item", "value", "gap"]


class Worth(Protocol):
    """What answers are worth to the location; handed in, since review locates nothing."""

    def __call__(self, record: ExamRecord, question: Question) -> Bits:
        """How much the answer could change the location."""

    def of_answer(self, record: ExamRecord, question: Question, answer: str) -> Bits | None:
        """How far this answer would move it; None where the answer says nothing definite."""


# How a question is closed that needed no answer of its own any more; a person may still give one.
ALONG = "answered along with "
# What an amendment says when the reviewer took an answer back.
TAKEN_BACK = "taken back"


class Topic(Frozen):
    """One thing to decide: the question on top and those that its answer settles as well.

    `bits` is how much the answer could change the location.
    """

    questions: tuple[Question, ...]
    bits: Bits = 0.0

    @property
    def lead(self) -> Question:
        """The question that is put; the answer is given to it."""
        return self.questions[0]

    @property
    def blocking(self) -> bool:
        """Whether localisation waits for the answer."""
        return any(question.blocking for question in self.questions)

    @property
    def suggestions(self) -> tuple[str, ...]:
        """The answers that any of its questions suggests, best first; reject comes last."""
        found = dict.fromkeys(s for q in self.questions for s in q.suggestions)
        return tuple(sorted(found, key=lambda suggestion: suggestion == "reject"))


def aspect_of(question: Question, lexicon: Lexicon) -> Aspect:
    """What the question is about."""
    if question.kind == "side":
        return "side"
    if question.kind == "gap":
        return "gap"
    if question.kind == "unknown_term":
        return "item"
    labels = {item.label.lower() for item in lexicon.items.values()}
    named = any(s in lexicon.items or s.lower() in labels for s in question.suggestions)
    return "item" if named else "value"


def topics(
    record: ExamRecord,
    questions: Iterable[Question],
    lexicon: Lexicon,
    worth: Callable[[ExamRecord, Question], Bits] | None,
) -> list[Topic]:
    """These questions as topics: what blocks first, then by what it is worth, gaps last."""
    made: list[list[Question]] = []
    for question in questions:
        for group in made:
            if _go_together(record, group[0], question, lexicon):
                group.append(question)
                break
        else:
            made.append([question])
    found = [
        Topic(
            # The question that says most of what is asked leads: one that blocks, then a conflict.
            questions=tuple(
                sorted(group, key=lambda q: (not q.blocking, q.kind != "conflict", q.question_id))
            ),
            bits=max(worth(record, q) for q in group) if worth else 0.0,
        )
        for group in made
    ]
    return sorted(found, key=_importance)


def _importance(topic: Topic) -> tuple[bool, bool, float, str]:
    lead = topic.lead
    return (not topic.blocking, lead.kind == "gap", -round(topic.bits, 3), lead.question_id)


def _go_together(record: ExamRecord, one: Question, other: Question, lexicon: Lexicon) -> bool:
    about = aspect_of(one, lexicon)
    if about == "gap" or about != aspect_of(other, lexicon):
        return False
    ours, theirs = _standing(record, one), _standing(record, other)
    if ours or theirs:
        return bool(ours) and ours == theirs
    same = (one.kind, one.item, one.side) == (other.kind, other.item, other.side)
    return same and bool(one.heard) and one.heard == other.heard


def _standing(record: ExamRecord, question: Question) -> set[str]:
    return {i for i in question.finding_ids if find_entry(record, i).stands}


def settled_along(
    before: ExamRecord,
    after: ExamRecord,
    answered: Question,
    decision: Decision,
    touched: Iterable[str],
    lexicon: Lexicon,
) -> list[Question]:
    """Open questions of `after` that the answer to one question has settled.

    Those whose every finding is gone, and those about the same aspect of findings that the answer
    has named or kept. A skipped question settles none.
    """
    if decision.act == "skip":
        return []
    known, about = set(touched), aspect_of(answered, lexicon)
    found = []
    for question in after.questions:
        if question.state != "open" or question.kind == "gap":
            continue
        if question.question_id == answered.question_id:
            continue
        standing = _standing(after, question)
        if question.finding_ids and not standing:
            gone = bool(_standing(before, question))
        elif standing:
            gone = standing <= known and _says(decision, about, aspect_of(question, lexicon))
        else:
            gone = _go_together(before, answered, question, lexicon)
        if gone:
            found.append(question)
    return found


def _says(decision: Decision, about: Aspect, asked: Aspect) -> bool:
    """Whether the answer to a question about one aspect tells what another question asks."""
    if decision.act == "keep":
        return asked == about
    if asked == "side":
        return bool(decision.sides) and about == "side"
    if asked == "item":
        return bool(decision.item)
    return bool(decision.value)


def closes_itself(question: Question) -> bool:
    """Whether the question was closed along with another."""
    return question.state == "answered" and question.answer.startswith(ALONG)
