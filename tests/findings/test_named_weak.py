"""A run on the arm that is the good one wherever both were named is asked about as one."""

from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.questions import Question
from dictate2exam.settings import Settings

COMPARED = (
    "The left scapula wings. No winging on the right. "
    "Serratus anterior on the left is one. Serratus anterior on the right is five. "
)
RUN = "Deltoid five. Biceps five. Triceps five. Wrist extension five. Grip five. Supination five. "


def asked(text: str, side: str) -> list[Question]:
    read = extract(transcript(text), load_lexicon(), Settings(side=side))
    return [question for question in read.questions if question.rule == "named_weak"]


def test_a_run_on_the_good_arm_is_asked_about() -> None:
    (question,) = asked(RUN + COMPARED, "right")
    assert (question.kind, question.blocking, question.suggestions) == (
        "side",
        True,
        ("left", "right"),
    )
    assert len(question.finding_ids) == 6


def test_a_run_on_the_weak_arm_is_not() -> None:
    assert not asked(RUN + COMPARED, "left")
    assert not asked(RUN, "right")


def test_what_is_done_with_the_right_hand_turns_nothing() -> None:
    said = (
        "Left arm.",
        "And you bow with the right, do you, you're right-handed?",
        "Deltoid five.",
    )
    read = extract(transcript(*said), load_lexicon(), Settings())
    assert {(f.item, f.side) for f in read.findings} >= {("power.deltoid", "left")}
