"""The other side as a comparison: the reference touch, a short look, what is denied of it.

Invented sentences; that an examiner compares with the good side is common practice, no source.
"""

import pytest
from builders import transcript

from dictate2exam.findings.extract import Extraction, extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

RIGHT = "Right arm. Deltoid four. Infraspinatus five. Biceps five. Triceps three."


def read(said: str) -> Extraction:
    return extract(transcript(said), load_lexicon(), Settings())


def standing(said: str) -> set[str]:
    return {f"{f.item.partition('.')[2]} {f.side} {f.value}" for f in read(said).findings}


@pytest.mark.parametrize(
    "reference",
    [
        "Skin, left equals ten.",
        "Light touch, out of ten, left hand is ten.",
        "Left side's your ten.",
        "Sensation, taking the left as ten.",
        "The left is your ten out of ten.",
        "Light touch, calling the left side ten.",
        "Sensation was charted with ten meaning identical to the left.",
        "Sensation. I took the sound left arm as ten.",
        "Measured against a ten on the left: T1 ten.",
    ],
)
def test_what_ten_means_is_no_finding_and_turns_to_no_side(reference: str) -> None:
    made = read(f"Right arm. Deltoid four. {reference} C4 eight. Thumb six.")
    assert {(f.item, f.side, f.value) for f in made.findings if f.item != "sensation.t1"} == {
        ("power.deltoid", "right", "4"),
        ("sensation.c4", "right", "8"),
        ("sensation.c6", "right", "6"),
    }
    assert not [q for q in made.questions if q.rule == "out_of_scale"]


def test_a_score_of_ten_for_the_other_side_is_a_finding() -> None:
    assert "c6 left 10" in standing("Right arm. Thumb? Six. Left is ten.")


@pytest.mark.parametrize(
    "use",
    [
        "He kicks with the left, if that matters, and he also cracked the greater tuberosity.",
        "He shears right-handed, so the dominant hand is the left.",
        "He bowls with his left arm, and the deltoid looks wasted.",
    ],
)
def test_what_an_arm_is_used_for_turns_to_no_side(use: str) -> None:
    assert "biceps_brachii right 2" in standing(f"This is the right arm. {use} Biceps two.")


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Left triceps five. Lats four.", "latissimus_dorsi right 4"),
        ("Left, for comparison: deltoid five, biceps five. ECRL two.", "ecrl right 2"),
        ("Over on the left the deltoid and the biceps are five. ECRL two.", "ecrl right 2"),
        ("Left triceps five. Left grip five. Lats four.", "latissimus_dorsi right 4"),
        ("Triceps on the left is five. On the bad arm, C5 is nothing.", "c5 right 0"),
    ],
)
def test_a_look_at_the_other_side_ends_with_what_was_not_compared(said: str, expected: str) -> None:
    expected = expected.replace("ecrl", "extensor_carpi_radialis_longus")
    assert expected in standing(f"{RIGHT} {said}")


@pytest.mark.parametrize(
    ("turn", "asks"), [("Left arm.", False), ("Give me your left hand for a minute.", True)]
)
def test_the_other_arm_examined_for_itself_stays_on_its_side(turn: str, asks: bool) -> None:
    left = "Deltoid five. Infraspinatus five. Biceps five. Triceps five. Grip five."
    made = read(f"{RIGHT} {turn} {left}")
    (grip,) = [f for f in made.findings if f.item == "power.grip"]
    asked = {i for q in made.questions if q.rule == "side_turn" for i in q.finding_ids}
    assert grip.side == "left"
    assert (grip.finding_id in asked) is asks


@pytest.mark.parametrize(
    "denied",
    [
        "but not on the left",
        "none on the left",
        "and nothing like that on the left",
        "nothing similar on the left side",
    ],
)
@pytest.mark.parametrize(
    ("sign", "item"),
    [
        ("Medial winging of the right scapula", "scapular_winging"),
        ("Wasting of the right deltoid", "deltoid"),
        ("Froment's is positive on the right", "froment"),
    ],
)
def test_what_is_denied_of_the_other_side(sign: str, item: str, denied: str) -> None:
    found = standing(f"{sign}, {denied}.")
    assert {f"{item} right present", f"{item} left absent"} <= found


def test_nothing_is_still_a_value_where_the_first_has_one() -> None:
    said = "Biceps jerk two plus on the right, nothing on the left."
    assert standing(said) == {"biceps right normal", "biceps left absent"}


def test_a_side_that_was_only_compared_with_is_not_the_one_examined() -> None:
    said = (
        "Deltoid was five. Biceps was two. Triceps was five. The biceps jerk was absent. The "
        "triceps jerk was normal. On the left the triceps jerk was normal. The radial pulse was "
        "present."
    )
    made = read(said)
    sides = {(f.item, f.side) for f in made.findings}
    assert {("power.biceps_brachii", "right"), ("pulse.radial", "right")} <= sides
    (question,) = [q for q in made.questions if q.kind == "side"]
    assert question.blocking and question.suggestions == ("right", "left")
