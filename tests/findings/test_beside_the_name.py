"""Names and grades beside words that only lead to them, and talk of anybody's arm."""

import pytest
from builders import dialogue

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

RIGHT = "Right arm. Deltoid two. Biceps five. Triceps five."


def standing(said: str) -> set[str]:
    """Item, side and value of what stands, of turns parted by a slash."""
    made = extract(dialogue(said), load_lexicon(), Settings())
    gone = set(made.withdrawn)
    return {f"{f.item} {f.side} {f.value}" for f in made.findings if f.finding_id not in gone}


@pytest.mark.parametrize(
    "reference",
    [
        "Ten is how the left feels and zero is a stump.",
        "Zero's dead, ten's how your left one feels.",
        "Ten means the way the left feels.",
        "A ten's what you got on the left, a zero's nothing.",
        "Give me a ten if it's how the left feels.",
    ],
)
def test_how_the_good_side_feels_is_no_turn_to_it(reference: str) -> None:
    said = standing(f"E: {RIGHT} / E: {reference} Thumb? / P: Six. / E: Biceps jerk normal.")
    assert {"sensation.c6 right 6", "reflex.biceps right normal"} <= said
    assert not {f for f in said if " left " in f}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Brachialis ain't but a three.", "power.brachialis right 3"),
        ("Wrist extension wasn't but a four.", "power.wrist_extension right 4"),
        (
            "APL nought. On palpation there was no contraction felt in supinator.",
            "contraction.supinator right absent",
        ),
        (
            "APL nought. There was no contraction palpable in supinator.",
            "contraction.supinator right absent",
        ),
        (
            "APL nought. There's no contraction I can feel in EPL.",
            "contraction.extensor_pollicis_longus right absent",
        ),
        ("Supraspinatus, hard to say, uncertain wasting.", "wasting.supraspinatus right uncertain"),
        ("Infraspinatus, questionable wasting.", "wasting.infraspinatus right uncertain"),
        (
            "The other dorsal interossei, two to four, nought also.",
            "power.dorsal_interossei_2_4 right 0",
        ),
        ("Dorsal interossei, two to four, three plus.", "power.dorsal_interossei_2_4 right 3+"),
        (
            "Neurophysiology shows the superficial radial potential absent, with denervation in "
            "extensor digitorum and in brachioradialis, and a normal triceps.",
            "needle.triceps_brachii right normal",
        ),
        (
            "C6 touch four. At C6 pin it's worse than touch, two out of ten.",
            "sensation.c6 right 2",
        ),
    ],
)
def test_the_name_takes_its_own_value(said: str, found: str) -> None:
    got = standing(f"{RIGHT} {said}")
    assert found in got
    assert not {f for f in got if f.startswith("contraction.")} - {found}


@pytest.mark.parametrize(
    "said",
    [
        "If a fella's triceps is out and his wrist is out too, think radial nerve.",
        "If a patient's biceps is zero and her deltoid is zero too, that's upper trunk.",
        "When somebody's deltoid is zero and his teres minor is zero, that's axillary.",
        "I saw a linebacker in oh-nine whose triceps was a zero.",
    ],
)
def test_what_is_supposed_of_anybody_is_no_finding(said: str) -> None:
    assert standing(f"{RIGHT} {said}") == standing(RIGHT)


@pytest.mark.parametrize(
    "said",
    [
        "ECU five. Fingers and thumb from behind, so EDC, EIP, EPL, all five.",
        "Thumb and index, FPL and FDP index zero.",
    ],
)
def test_a_finger_before_its_muscles_only_heads_them(said: str) -> None:
    got = {f.split()[0] for f in standing(f"{RIGHT} {said}") - standing(RIGHT)}
    assert all(item.startswith(("power.extensor", "power.flexor")) for item in got)


def test_a_muscle_may_only_tell_where_skin_is() -> None:
    said = "E: Right arm. Out of ten. Lower down on the outside of the arm, below the deltoid?"
    assert standing(f"{said} / P: Eight.") == {"sensation.lower_lateral_arm right 8"}


def test_words_of_a_cheerful_room() -> None:
    said = "E: Left arm. Carpal tunnel, any tingling? / P: Nup. / E: Radial pulse present, good-o."
    assert standing(said) == {
        "sign.percussion.carpal_tunnel left absent",
        "pulse.radial left present",
    }


def test_a_finger_by_its_first_word_alone() -> None:
    asked = "E: Left arm. Out of ten. Thumb? / P: Seven. / E: Middle? / P: Five. / E: Little one?"
    felt = {"sensation.c6 left 7", "sensation.c7 left 5", "sensation.c8 left 3"}
    assert standing(f"{asked} / P: Three.") == felt
    assert standing("Left arm. Sensation, thumb seven. Middle, five. The little one three.") == felt
    pulps = "E: Left arm. Out of ten. Thumb pulp? / P: Seven. / E: Little? / P: Three."
    assert "sensation.ulnar_little_pulp left 3" in standing(pulps)
