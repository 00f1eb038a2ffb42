"""The good side touched, glanced at or named as what ten means, in conversations."""

import pytest
from builders import dialogue

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEFT = "Left arm. Deltoid two. Biceps three. Infraspinatus one. Triceps five."


def standing(said: str) -> set[str]:
    """Item, side and value of what stands, of turns parted by a slash."""
    made = extract(dialogue(said), load_lexicon(), Settings())
    gone = set(made.withdrawn)
    return {
        f"{f.item.partition('.')[2]} {f.side} {f.value}"
        for f in made.findings
        if f.finding_id not in gone
    }


@pytest.mark.parametrize(
    "reference",
    [
        "E: I'll touch your right thumb first, call that ten. / E: Now the thumb here?",
        "E: Your right thumb is ten, what is this one?",
        "E: I brush the right thumb, that's your reference. / E: Left thumb?",
        "E: Right thumb first, that's ten. And this one?",
        "E: I'll stroke the right side first. That's your ten. / E: Now the thumb?",
        "E: Now I'll do your right hand. Feel that? That's a ten. / P: Yep. / E: Thumb?",
        "E: I touch here on the right, that's your ten. / P: Okay. / E: Thumb?",
        "E: With your eyes shut, feel the right, that's a full ten. / E: The thumb now?",
        "E: Right side's ten out of ten. What is it like on the left, at the thumb?",
        "E: Tell me if it's different from the other hand. Thumb?",
        "E: Ten is what it feels like on the right arm. Thumb?",
        "E: Does it feel different to your other arm? On the thumb?",
        "E: Right deltoid five. / E: Back to the sore one. Thumb?",
        "E: Let me check your good arm, the right. Right deltoid five. / E: Back to the bad one. "
        "Ten is what you feel on the good arm. / E: Thumb?",
        "E: Here's normal, on the right. And here, the thumb?",
        "E: Just show me the right deltoid. Five. / E: Right side is ten. How's the left, thumb?",
    ],
)
def test_the_good_side_as_a_reference_turns_to_no_side(reference: str) -> None:
    said = f"{LEFT} / {reference} / P: Six. / E: Middle finger? / P: Eight."
    found = standing(f"E: {said} / E: Biceps jerk normal.")
    expected = {"c6 left 6", "c7 left 8", "biceps left normal", "biceps_brachii left 3"}
    assert expected <= found
    assert not {f for f in found if " right " in f} - {"deltoid right 5"}


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Touch, scored out of ten against the right: C5 was two.", "c5 left 2"),
        ("Pinprick was graded against the right side: C5 two.", "c5 left 2"),
        ("Compared with the right, light touch was reduced in C6.", "c6 left reduced"),
        ("Taking the right as the standard, index pulp six.", "median_index_pulp left 6"),
        ("With the right as ten, C5 was two.", "c5 left 2"),
        ("The triceps jerk was reduced next to the right.", "triceps left reduced"),
    ],
)
def test_what_is_compared_with_a_side_is_of_the_other(said: str, expected: str) -> None:
    found = standing(f"E: {LEFT} On the right side, triceps five and grip five. / E: {said}")
    assert {expected, "triceps_brachii right 5", "grip right 5"} <= found


@pytest.mark.parametrize(
    "look",
    [
        "Give me the right one a sec. Deltoid five that side.",
        "Let me borrow the right one. Deltoid five.",
        "Quick look at the right: deltoid five, as it should be.",
        "Right one for comparison. Deltoid five. Back over here.",
        "The sound arm, right, deltoid five. I go again to the left.",
    ],
)
def test_a_short_look_at_the_good_arm(look: str) -> None:
    found = standing(f"{LEFT} {look} Passive abduction full. Radial pulse present.")
    expected = {"deltoid left 2", "deltoid right 5", "shoulder_abduction left full"}
    assert expected | {"radial left present"} <= found


@pytest.mark.parametrize(
    "use",
    [
        "And with which hand do you write? With the right.",
        "Which hand do you use for a pen? / The right hand.",
        "Are you right or left handed? / Right.",
    ],
)
def test_the_hand_that_one_writes_with_is_not_the_one_examined(use: str) -> None:
    found = standing(f"So it is the left shoulder. / {use} / Deltoid three. Biceps four.")
    assert {"deltoid left 3", "biceps_brachii left 4"} <= found


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("No swelling left above the clavicle.", "supraclavicular_swelling right absent"),
        ("No bruising left over the clavicle.", "supraclavicular_bruising right absent"),
        ("There is some strength left around the elbow, but grip two.", "grip right 2"),
    ],
)
def test_what_is_left_is_no_side(said: str, expected: str) -> None:
    assert {expected, "deltoid right 2"} <= standing(f"Right arm. {said} Deltoid two.")


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            f"{LEFT} / Now the right arm. Deltoid five. Biceps five. Grip five.",
            {"deltoid right 5", "biceps_brachii right 5", "grip right 5"},
        ),
        (
            "E: Left hand. Grip four. Right hand, grip five. / E: Feeling on the right. Thumb? / "
            "P: Ten. / E: Little finger? / P: Ten. / E: And on the left. Thumb? / P: Six.",
            {"c6 right 10", "c8 right 10", "c6 left 6", "grip left 4", "grip right 5"},
        ),
        (
            "E: Good side first, the right. Deltoid five. Biceps five. / E: Now the bad one. "
            "Deltoid two. Biceps three. Triceps four.",
            {
                "deltoid right 5",
                "deltoid left 2",
                "biceps_brachii left 3",
                "triceps_brachii left 4",
            },
        ),
        (
            "E: I'll start with your good arm. That's the right, yes? Deltoid five. / E: And the "
            "bad one. Deltoid three, biceps four.",
            {"deltoid right 5", "deltoid left 3", "biceps_brachii left 4"},
        ),
        (
            "E: Left arm. Deltoid two. Biceps three. / E: Now the right arm, bear with me a "
            "second. Deltoid five. Biceps five. Triceps five. Grip four.",
            {"deltoid right 5", "triceps_brachii right 5", "grip right 4"},
        ),
        (
            "Left arm. C5 eight. Right C5, I'd call it ten. On the right C6 ten.",
            {"c5 left 8", "c5 right 10", "c6 right 10"},
        ),
        (
            "Sensation on the right. C5 ten, C6 ten. Sensation on the left. C5 three, C6 four.",
            {"c5 right 10", "c6 right 10", "c5 left 3", "c6 left 4"},
        ),
        (
            "E: Right arm. Deltoid two. / E: Left deltoid five. / E: Back to the right. "
            "Deltoid three. Triceps four.",
            {"triceps_brachii right 4"},
        ),
    ],
)
def test_a_real_change_of_side_still_turns(said: str, expected: set[str]) -> None:
    assert expected <= standing(said)


def test_what_had_no_side_goes_to_the_one_that_nearly_all_is_of() -> None:
    said = (
        "E: No wasting in the deltoid. No scar. / E: Winging of the right scapula, and none on "
        "the left. / E: Right biceps four. Triceps five. Grip five. Infraspinatus five."
    )
    assert {"deltoid right absent", "scar right absent"} <= standing(said)
