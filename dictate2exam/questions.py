"""A doubt is a question: raised by the room that knows why, carried with the data."""

from typing import Literal

from pydantic import Field

from dictate2exam.frozen import Frozen
from dictate2exam.provenance import Heard
from dictate2exam.units import Side

QuestionKind = Literal[
    "mishearing", "conflict", "gap", "side", "value", "unknown_term", "commentary"
]
QuestionState = Literal["open", "answered", "skipped"]
# The rules of reading that raise a doubt. Those over the whole record bear the names of
# lexicon/conflicts.toml, or are named where they ask.
DoubtRule = Literal[
    # the listeners
    "misheard_term",
    "sound_alike",
    "misheard_denial",
    "hardly_heard",
    "other_value_heard",
    "other_side_heard",
    "other_finding_heard",
    "noise",
    "unread_in_noise",
    # what was heard and gave nothing
    "overheard_finding",
    "item_without_value",
    "finding_in_passing",
    "value_without_item",
    "denial_of_nothing",
    "answer_not_understood",
    "passed_over",
    "said_anew",
    "evidence",
    # names
    "unknown_term",
    "unknown_letters",
    "correction_of_nothing",
    "value_of_nothing",
    # values
    "hedge",
    "doubt_alone",
    "second_value",
    "uneven_list",
    "correction_without_value",
    "doubtful_word",
    "range_or_scores",
    "no_value",
    "no_result",
    "unheeded_denial",
    "ability_without_grade",
    "out_of_scale",
    "power_or_sensation",
    "which_scale",
    "degrees",
    "two_points",
    # places
    "which_dermatome",
    "which_movement",
    "which_site",
    # sides
    "no_side",
    "side_against_run",
    "side_word",
    "side_turn",
    "side_either_way",
    "hurt_side",
    "lone_run",
    "named_weak",
    # sentences
    "cut_otherwise",
    # talk
    "finding_in_talk",
    "may_be_talk",
    "other_day_or_person",
]


class Question(Frozen):
    """One doubt about content.

    `question_id` is empty until the record numbers it; `item` is an item id or empty where the
    doubt is about no item; `finding_ids` are the findings that hang on the answer; `suggestions`
    are answers, best first (values, sides or item ids, as the kind asks for). A gap of a possible
    `donor` says what for. `rule` is what raised it, empty in records of format 2 or older; `score`
    is how doubtful the rule held it, from 0 to 1, which is 1 where a rule knows no degrees.
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
    rule: str = ""
    score: float = Field(default=1.0, ge=0, le=1)
