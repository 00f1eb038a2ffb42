"""A doubt is a question: raised by the room that knows why, carried with the data."""

from typing import Literal

from dictate2exam.frozen import Frozen
from dictate2exam.provenance import Heard
from dictate2exam.units import Side

QuestionKind = Literal[
    "mishearing", "conflict", "gap", "side", "value", "unknown_term", "commentary"
]
QuestionState = Literal["open", "answered", "skipped"]


class Question(Frozen):
    """One doubt about content.

    `question_id` is empty until the record numbers it; `item` is an item id or empty where the
    doubt is about no item; `finding_ids` are the findings that hang on the answer; `suggestions`
    are answers, best first (values, sides or item ids, as the kind asks for). A gap of a possible
    `donor` says what for.
    """

    question_id: str = ""
    kind: QuestionKind
    blocking: bool
    item: str = ""
    side: Side = "none"
    question: str
    suggestions: tuple[str, ...] = ()
    finding_ids: tuple[str, ...] = ()
    heard: tuple[Heard, ...] = ()
    state: QuestionState = "open"
    answer: str = ""
    donor: str = ""
