"""What is said beside a grade: how the muscle was held, a tag, a grade still waited for, a muscle
that is not there, where was tapped; common practice, no source."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()
P = "power."
SITE = "sign.percussion."


def read(*lines: str) -> dict[tuple[str, str], str]:
    made = extract(transcript(*lines), LEXICON, Settings(side="left"))
    gone = {f.corrects for f in made.findings}
    return {(f.item, f.side): f.value for f in made.findings if f.finding_id not in gone}


def on_left(*lines: str) -> dict[str, str]:
    made = read(*lines)
    assert all(side == "left" for _, side in made)
    return {item: value for (item, _), value in made.items()}


@pytest.mark.parametrize(
    "said",
    [
        "I only check that because of his diabetes, right.",
        "That's the top half done, right.",
        "She's a welder, right.",
        "They always want these first, right.",
    ],
)
def test_a_closing_right_turns_to_no_side(said: str) -> None:
    made = on_left(f"Left arm. Deltoid five. {said} Supinator four.")
    assert made == {"power.deltoid": "5", "power.supinator": "4"}


@pytest.mark.parametrize("said", ["Power, right.", "Now the arm, right.", "It's the arm, right."])
def test_a_heading_still_turns_to_its_side(said: str) -> None:
    assert (
        read(f"Left arm. Deltoid five. {said} Supinator four.")["power.supinator", "right"] == "4"
    )


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("EPL. Blocking the wrist joint. Three.", {P + "extensor_pollicis_longus": "3"}),
        ("EPL. Palm flat on the table, lifting it off. Three.",
         {P + "extensor_pollicis_longus": "3"}),
        ("Triceps. Seated, shoulder at ninety. Trace.", {P + "triceps_brachii": "1"}),
        ("Brachialis. Pronated, elbow at eighty. Two plus.", {P + "brachialis": "2+"}),
        ("FPL. Steadying the proximal phalanx. Zero. No contraction in the belly.",
         {P + "flexor_pollicis_longus": "0", "contraction.flexor_pollicis_longus": "absent"}),
    ],
)  # fmt: skip
def test_how_a_muscle_is_held_keeps_it_waiting_for_its_grade(
    said: str, found: dict[str, str]
) -> None:
    assert on_left(f"Left arm. {said}") == found


@pytest.mark.parametrize(
    "said",
    ["cannot feel one, not tested", "can't find one, not tested", "no sign of one, not graded"],
)
def test_a_muscle_that_is_not_there_has_no_grade_of_one(said: str) -> None:
    assert on_left(f"Left arm. Power. Palmaris, {said}.") == {P + "palmaris_longus": "not_tested"}
    assert on_left("Left arm. Palmaris, one.") == {P + "palmaris_longus": "1"}


@pytest.mark.parametrize(
    "said",
    [
        "We'll want the triceps at four before you go near a climbing wall.",
        "You'll need that triceps at a four before you row again.",
        "I'd like your triceps back to four before you drive.",
        "We'd like the triceps at four before you dig.",
        "No rowing until the triceps is a four.",
        "You're not lifting till the triceps is four.",
        "When you're a good four in the triceps we add a band.",
        "Once he's a four in the triceps, we'll stop the splint.",
        "As soon as you've got a four in the triceps we start pulleys.",
        "When you are four in the triceps, you can lift.",
    ],
)
def test_a_grade_that_is_waited_for_is_none(said: str) -> None:
    assert on_left(f"Left arm. Triceps two. {said}") == {P + "triceps_brachii": "2"}


@pytest.mark.parametrize(
    "said",
    [
        "He's a four in the triceps.",
        "We need the elbow bent, triceps is four.",
        "When he's sitting, triceps four.",
        "The triceps needs work, I'd put it at four.",
    ],
)
def test_a_grade_told_beside_like_words_stands(said: str) -> None:
    assert on_left(f"Left arm. {said}") == {P + "triceps_brachii": "4"}


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        (("Tinel at the wrist negative. Positive over the pronator.",),
         {"carpal_tunnel": "absent", "other": "present"}),
        (("Tapping over the arch of FDS, negative.",), {"other": "absent"}),
        (("Tinel's. Tap, tap, he jumped. Positive above the clavicle.",),
         {"supraclavicular": "present"}),
        (("examiner: I'll tap there. Tell me if it shoots anywhere.", "patient: Yes.",
          "examiner: Percussion above the clavicle is positive."), {"supraclavicular": "present"}),
    ],
)  # fmt: skip
def test_a_tap_is_of_its_place(lines: tuple[str, ...], found: dict[str, str]) -> None:
    made = on_left("examiner: Left arm.", *lines)
    assert made == {SITE + name: value for name, value in found.items()}


def test_wasting_in_all_of_that_is_of_all_that_is_gone() -> None:
    made = on_left("Left arm. Deltoid's gone, triceps is gone, clear wasting in all of that.")
    assert made == {"wasting.deltoid": "present", "wasting.triceps_brachii": "present"}


def test_what_was_explained_or_found_elsewhere_is_no_finding() -> None:
    made = on_left(
        "Left arm. Median sensory potential reduced. A study at an outside hospital on May third"
        " reported a normal median sensory potential, but I have not seen it."
    )
    assert made == {"conduction.median": "reduced"}
    made = on_left("Left arm. C7 nine. I explained to him that numb skin can point to avulsion.")
    assert made == {"sensation.c7": "9"}


def test_an_area_called_after_a_muscle_is_skin() -> None:
    made = on_left(
        "examiner: Left arm. And the back of your arm, the triceps area?", "patient: Four."
    )
    assert made == {"sensation.posterior_arm": "4"}


def test_a_drug_named_behind_the_pain_leaves_it() -> None:
    said = "Burning in the palm, which I would call neuropathic pain, and pregabalin doesn't help."
    assert on_left(f"Left arm. {said}") == {"sign.neuropathic_pain": "present"}


def test_parts_go_on_while_one_after_another_is_graded() -> None:
    made = on_left(
        "examiner: Left arm. And the deltoid. Punch up. Anterior three. Out to the side. Middle"
        " two. And back, kick back. Posterior two plus."
    )
    assert made == {
        P + "deltoid_anterior": "3", P + "deltoid_middle": "2", P + "deltoid_posterior": "2+",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Supinator, elbow straight so the biceps can't join in, is four.",
         {"power.supinator": "4"}),
        ("Triceps four, so the anconeus isn't needed. Anconeus five.",
         {"power.triceps_brachii": "4", "power.anconeus": "5"}),
        ("Triceps zero, so the biceps is five.",
         {"power.triceps_brachii": "0", "power.biceps_brachii": "5"}),
        ("EPB zero, there isn't even a contraction.",
         {"power.extensor_pollicis_brevis": "0", "contraction.extensor_pollicis_brevis": "absent"}),
        ("Radial pulse, perfect.", {"pulse.radial": "present"}),
        ("Let me feel the radial pulse. Lovely, thank you.", {}),
        ("That's a lovely round O.", {"sign.ok_sign": "absent"}),
        ("I want to see a lovely round O.", {}),
    ],
)  # fmt: skip
def test_what_only_helps_or_praises(said: str, found: dict[str, str]) -> None:
    assert on_left(f"Left arm. {said}") == found
