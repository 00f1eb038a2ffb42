"""Which side is meant: words that are no side, pairs, both, the other one, headings, corrections.

Invented sentences; how sides are spoken is common practice, no source.
"""

import pytest
from builders import standing_of, transcript

from dictate2exam.findings.extract import Extraction, extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings


def read(said: str) -> Extraction:
    return extract(transcript(*said.split("\n")), load_lexicon(), Settings())


def standing(said: str) -> set[str]:
    kept = [f for f in standing_of(read(said)) if "context." not in f.item]
    return {f"{f.item.partition('.')[2]} {f.side} {f.value}" for f in kept}


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Left arm. I've got my fingers right in the fossa. Deltoid four.", {"deltoid left 4"}),
        ("Left arm. Sit right back. Deltoid four.", {"deltoid left 4"}),
        ("Left arm. Turn your head to the right. Deltoid four.", {"deltoid left 4"}),
        ("Left arm. He writes with his right hand. Deltoid four.", {"deltoid left 4"}),
        ("Left arm. Okay, right, deltoid four.", {"deltoid left 4"}),
        (
            "Left arm. Deltoid four, right? Biceps three.",
            {"deltoid left 4", "biceps_brachii left 3"},
        ),
        ("Left arm. Anything left to do? Deltoid four.", {"deltoid left 4"}),
        (
            "A blow to the right, no, I mean the left clavicle. Deltoid four.",
            {"deltoid left 4"},
        ),
        ("Power on the left, with the right in brackets. Deltoid four.", {"deltoid left 4"}),
        ("Left arm. Dominance: the right. Deltoid four.", {"deltoid left 4"}),
        ("Left arm.\nHand dominance, right.\nDeltoid four.", {"deltoid left 4"}),
        ("Left arm. Handedness, right. Deltoid four.", {"deltoid left 4"}),
        ("Left arm. Compare these to the other arm for me. Deltoid four.", {"deltoid left 4"}),
        (
            "Left arm. I want you comparing that with your good side. Deltoid four.",
            {"deltoid left 4"},
        ),
    ],
)
def test_a_word_that_is_no_side_changes_none(said: str, expected: set[str]) -> None:
    assert {f for f in standing(said) if "wound" not in f} == expected


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Deltoid left five right four.", {"deltoid left 5", "deltoid right 4"}),
        ("Deltoid four on the left, five on the right.", {"deltoid left 4", "deltoid right 5"}),
        ("Left arm. Deltoid four, right five. Biceps three.",
         {"deltoid left 4", "deltoid right 5", "biceps_brachii left 3"}),
        ("Left arm. Deltoid three, right deltoid five. Biceps two.",
         {"deltoid left 3", "deltoid right 5", "biceps_brachii left 2"}),
        ("Left arm. No winging left. No winging right.",
         {"scapular_winging left absent", "scapular_winging right absent"}),
        ("Winging: none on the left, present on the right.",
         {"scapular_winging left absent", "scapular_winging right present"}),
        ("Deltoid five on both sides.", {"deltoid left 5", "deltoid right 5"}),
        ("Left arm. Knee jerks normal, both. Deltoid four.",
         {"knee left normal", "knee right normal", "deltoid left 4"}),
        ("Right. Deltoid three. Left. Deltoid five. Right. Biceps two.",
         {"deltoid right 3", "deltoid left 5", "biceps_brachii right 2"}),
        ("right shoulder deltoid three biceps two left shoulder deltoid five biceps four",
         {"deltoid right 3", "biceps_brachii right 2", "deltoid left 5", "biceps_brachii left 4"}),
        ("Both radial pulses were easily felt.", {"radial left present", "radial right present"}),
        ("Left arm. FCR and FCU, both of them five.",
         {"flexor_carpi_radialis left 5", "flexor_carpi_ulnaris left 5"}),
        ("Tinel. Right cubital tunnel, positive. Left cubital tunnel, negative.",
         {"percussion.cubital_tunnel right present", "percussion.cubital_tunnel left absent"}),
        ("Tinel's sign. Left wrist negative. Right wrist positive.",
         {"percussion.carpal_tunnel left absent", "percussion.carpal_tunnel right present"}),
        ("There's a lively Tinel at the right cubital tunnel and none on the left.",
         {"percussion.cubital_tunnel right present", "percussion.cubital_tunnel left absent"}),
        ("Left arm. No ptosis. That's both lids.", {"ptosis left absent", "ptosis right absent"}),
    ],
)  # fmt: skip
def test_either_side_gets_its_own_value(said: str, expected: set[str]) -> None:
    assert standing(said) == expected


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Reflexes, left: biceps jerk two plus, triceps jerk one plus. The same on the right.",
         {"biceps left normal", "triceps left reduced",
          "biceps right normal", "triceps right reduced"}),
        ("The right biceps and triceps jerks were normal, and those on the left were the same.",
         {"biceps left normal", "triceps left normal",
          "biceps right normal", "triceps right normal"}),
        ("Left. Biceps jerk one plus. Triceps two plus. On the right two plus, the lot of them.",
         {"biceps left reduced", "triceps left normal",
          "biceps right normal", "triceps right normal"}),
        ("Left arm. Passive shoulder abduction, left, full. Right, full.",
         {"shoulder_abduction left full", "shoulder_abduction right full"}),
        ("Left arm. Deltoid four. Same on the right? Biceps three.",
         {"deltoid left 4", "biceps_brachii left 3"}),
        ("Right arm. On the left, deltoid five. Okay, back to the right. Biceps three.",
         {"deltoid left 5", "biceps_brachii right 3"}),
        ("Biceps four, deltoid three. That is all on the right.",
         {"biceps_brachii right 4", "deltoid right 3"}),
    ],
)  # fmt: skip
def test_the_same_the_other_and_the_late_side(said: str, expected: set[str]) -> None:
    assert standing(said) == expected


@pytest.mark.parametrize(
    "said",
    [
        "Left. Deltoid five. Right. Biceps two.",
        "Left arm. Deltoid four, biceps three. The right side is normal throughout.",
    ],
)
def test_what_may_be_another_side_or_items_is_asked(said: str) -> None:
    assert read(said).questions


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        # The side may end one finding or open the next.
        ("left arm\nbiceps five on the right triceps four deltoid three",
         {"biceps_brachii right 5": True, "triceps_brachii right 4": False}),
        # A word that only looks like a side turns nothing unasked.
        ("left arm\ndeltoid zero and ive got my knuckles right\nteres minor one",
         {"deltoid left 0": True, "teres_minor left 1": True}),
        # Sides that follow their values in turn are clear.
        ("left arm\nbiceps five on the right four on the left",
         {"biceps_brachii right 5": False, "biceps_brachii left 4": False}),
    ],
)  # fmt: skip
def test_a_side_that_may_belong_either_way_is_asked_about_once(
    said: str, expected: dict[str, bool]
) -> None:
    made = read(said)
    sided = [q for q in made.questions if q.kind == "side"]
    asked = {id_ for q in sided for id_ in q.finding_ids}
    told = {
        f"{f.item.partition('.')[2]} {f.side} {f.value}": f.finding_id in asked
        for f in made.findings
    }
    assert {name: told.get(name) for name in expected} == expected
    assert len(sided) == (1 if any(expected.values()) else 0)


@pytest.mark.parametrize(
    ("said", "expected", "asked"),
    [
        # What remains is no arm; where it may be one, it is asked about once.
        ("Right arm. Deltoid two.\nNo swelling above the clavicle, no bruising left.\nBiceps one.",
         {"supraclavicular_bruising right absent", "biceps_brachii right 1"}, True),
        ("Right arm. Deltoid two.\nThere isn't much bulk left. Biceps one.",
         {"biceps_brachii right 1"}, False),
        ("Right arm. Deltoid two.\nNo winging on the right. No winging left. Biceps one.",
         {"scapular_winging left absent", "biceps_brachii right 1"}, False),
        # The bad side is the one with the deficits, though more was found on the other.
        ("It's his right arm. Deltoid zero. Biceps two.\nLeft side: deltoid five, biceps five, "
         "triceps five, supinator five.\nBack to the damaged arm. Brachialis one.",
         {"brachialis right 1", "supinator left 5"}, False),
        ("It's his right arm. Deltoid zero. Biceps two.\nLeft side: deltoid five, biceps five, "
         "triceps five, supinator five.\nFeeling, his good arm counts as ten. C5 four.",
         {"c5 right 4"}, False),
        ("It's the right arm. Left side first: deltoid five, biceps five.\nOn to the bad side. "
         "Deltoid two.", {"deltoid left 5", "deltoid right 2"}, False),
        ("Left arm. Deltoid two.\nHe's right. Okay, elbows. Biceps one.",
         {"biceps_brachii left 1"}, False),
        # A pair ends on the arm that it began with.
        ("Right arm. Left deltoid five. Right deltoid zero. Biceps two.",
         {"deltoid left 5", "deltoid right 0", "biceps_brachii right 2"}, False),
    ],
)  # fmt: skip
def test_what_is_left_and_the_bad_side(said: str, expected: set[str], asked: bool) -> None:
    made = read(said)
    assert expected <= standing(said)
    assert any(q.kind == "side" for q in made.questions) == asked


def test_deficits_of_the_arm_that_was_not_named_first_are_asked_about_once() -> None:
    weak = "deltoid zero, biceps two, triceps one, FCR one, FCU one, EPL two, FPL one."
    made = read(f"It's her right arm. Trapezius five. Left, {weak}")
    (question,) = [q for q in made.questions if q.rule == "hurt_side"]
    assert question.blocking and len(question.finding_ids) == 7
    assert not any(q.rule == "hurt_side" for q in read(f"Left arm. {weak}").questions)


def test_a_run_of_findings_that_the_examined_arm_has_none_of_is_asked_about_once() -> None:
    arm = "Left arm. Deltoid zero. Biceps two. Triceps one. FCR one. EPL two. FPL one. APB four."
    skin = "C5 four, C6 three, C7 nine, C8 ten."
    made = read(f"{arm}\nNow the skin of her right arm. {skin}")
    (question,) = [q for q in made.questions if q.rule == "lone_run"]
    assert question.blocking and len(question.finding_ids) == 4
    assert question.suggestions == ("right", "left")
    both = read(f"{arm} {skin}\nNow the skin of her right arm. {skin}")
    assert not any(q.rule == "lone_run" for q in both.questions)


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Left deltoid three. At right, supinator four.",
         {"deltoid left 3", "supinator right 4"}),
        ("Left arm. Hold it at right angles. Deltoid four.", {"deltoid left 4"}),
        ("Left arm. Deltoid five. Tinel negative over the right axilla and cubital tunnel.",
         {"deltoid left 5", "percussion.axilla right absent",
          "percussion.cubital_tunnel right absent"}),
        ("examiner: Right hand. Feeling now.\nexaminer: Left little fingertip, just "
         "the pad?\npatient: Nine.", {"ulnar_little_pulp left 9"}),
        ("Left arm. Deltoid zero. The right arm is normal.", {"deltoid left 0"}),
        ("Left arm. Triceps reflex absent. The right arm is normal.",
         {"triceps left absent", "triceps right normal"}),
    ],
)  # fmt: skip
def test_a_side_beside_its_own_words(said: str, expected: set[str]) -> None:
    assert standing(said) == expected


@pytest.mark.parametrize(
    ("said", "expected", "asked"),
    [
        ("Right arm. Triceps jerk right brisk, left the same.",
         {"triceps right brisk", "triceps left brisk"}, ""),
        ("Left grip four. She left the same day.", {"grip left 4"}, ""),
        # A whole arm is no second side of the muscle graded last.
        ("Left arm. Hand intrinsics, three. The right arm is normal.",
         {"intrinsics left 3"}, "value_of_nothing"),
        ("Left arm. Grip three. The right is normal.", {"grip left 3", "grip right 5"}, ""),
        ("Left arm. Triceps two.\nShe sleeps badly because of her neck, right.\nBiceps one.",
         {"triceps_brachii left 2", "biceps_brachii left 1"}, "side_turn"),
        # Nothing that was said before "sorry" is put right by the second side.
        ("Left arm. Sorry, it is cold. Jerks: left triceps normal, right triceps normal.",
         {"triceps left normal", "triceps right normal"}, ""),
        ("Left triceps one. Right triceps five.\nWait, it can beat gravity. So left triceps I "
         "correct, three.", {"triceps_brachii left 3", "triceps_brachii right 5"}, ""),
        ("Right triceps jerk normal. Sorry, left triceps jerk normal.",
         {"triceps left normal"}, ""),
    ],
)  # fmt: skip
def test_the_second_side_of_what_was_said(said: str, expected: set[str], asked: str) -> None:
    assert standing(said) == expected
    assert {q.rule for q in read(said).questions if q.kind != "gap"} == ({asked} - {""})


def test_who_left_somebody_names_no_side() -> None:
    said = "I left you waiting. Right arm. Deltoid five."
    assert {f.side for f in extract(transcript(said), load_lexicon(), Settings()).findings} == {
        "right"
    }
    alone = extract(transcript("She left school early. Deltoid five."), load_lexicon(), Settings())
    assert [q.kind for q in alone.questions] == ["side"]
