"""Names and values read as a table, values before their names, yes and no by side.

Invented sentences; that forms are read aloud row by row is common practice, no source.
"""

import pytest
from builders import transcript

from dictate2exam.findings.extract import Extraction, extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings


def read(said: str) -> Extraction:
    return extract(transcript(said), load_lexicon(), Settings())


def standing(said: str) -> set[str]:
    made = read(said)
    gone = {f.corrects for f in made.findings}
    return {
        f"{f.item.partition('.')[2]} {f.side} {f.value}"
        for f in made.findings
        if f.finding_id not in gone
    }


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            "Deltoid, biceps, triceps. Right: five, four, five. Left: three, five, five.",
            {
                "deltoid right 5",
                "biceps_brachii right 4",
                "deltoid left 3",
                "triceps_brachii left 5",
            },
        ),
        (
            "Rows: biceps, triceps. Right column: five, four. Left column: four, five.",
            {"biceps_brachii right 5", "triceps_brachii right 4", "biceps_brachii left 4"},
        ),
        (
            "C6, C7 and C8 on the right are eight, nine and ten, on the left ten, ten and nine.",
            {"c6 right 8", "c7 right 9", "c8 right 10", "c6 left 10", "c8 left 9"},
        ),
        (
            "Reflexes. Biceps, triceps. Right: normal, reduced. Left: absent, normal.",
            {"biceps right normal", "triceps right reduced", "biceps left absent"},
        ),
        (
            "Passive. Shoulder abduction, elbow flexion. Full and full, both arms.",
            {"shoulder_abduction left full", "elbow_flexion right full"},
        ),
        ("Right arm. C8 to T2, ten, nine and ten.", {"c8 right 10", "t1 right 9", "t2 right 10"}),
    ],
)
def test_as_many_values_as_names_are_given_out_in_turn(said: str, expected: set[str]) -> None:
    assert expected <= standing(said)


def test_a_list_with_a_value_too_few_is_asked_about_once() -> None:
    made = read("Deltoid, biceps, triceps. Right: five, four, five. Left: five, four.")
    assert {f.side for f in made.findings} == {"right"}
    assert [q.rule for q in made.questions if q.kind == "value"] == ["uneven_list"]


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            "Four, pectoralis major, that's the clavicular part.",
            "pectoralis_major_clavicular left 4",
        ),
        ("The reflexes. Weak, the biceps reflex. Normal, the triceps.", "biceps left reduced"),
        ("Push forward. Four plus, serratus anterior.", "serratus_anterior left 4+"),
        ("And then, thumb up, four minus for the brachioradialis.", "brachioradialis left 4-"),
        ("Stretch the fingers, five for the extensor digitorum.", "extensor_digitorum left 5"),
        ("Squeeze my hand, and the rhomboids are a five as well.", "rhomboids left 5"),
    ],
)
def test_a_value_may_stand_before_its_name(said: str, expected: str) -> None:
    assert expected in standing(f"Left arm. Trapezius five. {said}")


def test_a_value_after_a_name_that_waits_is_not_of_the_name_after_it() -> None:
    assert "deltoid left 4" in standing("Left arm. Deltoid? Four, biceps.")


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            "Winging. Right, no. Left, yes.",
            {"scapular_winging right absent", "scapular_winging left present"},
        ),
        (
            "Clawing: right yes, left no.",
            {"intrinsic_minus right present", "intrinsic_minus left absent"},
        ),
        ("Ptosis. Neither side.", {"ptosis right absent", "ptosis left absent"}),
        (
            "Tinel, cubital tunnel. Neither side.",
            {"percussion.cubital_tunnel right absent", "percussion.cubital_tunnel left absent"},
        ),
        (
            "Tinel over the cubital tunnel, right yes, left no.",
            {"percussion.cubital_tunnel right present", "percussion.cubital_tunnel left absent"},
        ),
        ("Radial pulses. Both palpable.", {"radial right present", "radial left present"}),
    ],
)
def test_yes_or_no_may_be_said_of_a_side_alone(said: str, expected: set[str]) -> None:
    assert standing(said) == expected


def test_an_answer_for_the_other_side_does_not_turn_to_it() -> None:
    said = (
        "Right arm. Tinel at the cubital tunnel, right side is positive. Left side no. Biceps five."
    )
    assert "biceps_brachii right 5" in standing(said)


@pytest.mark.parametrize(
    "said",
    ["Wasting of the deltoid: none.", "Wasting of the deltoid, no.", "Deltoid wasting: none."],
)
def test_a_none_after_a_finding_denies_it(said: str) -> None:
    assert standing(f"Right arm. {said}") == {"deltoid right absent"}


def test_a_none_of_something_else_denies_nothing() -> None:
    assert "deltoid right present" in standing("Right arm. Wasting of deltoid, nothing elsewhere.")


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Passive. Full supination, no wait, it stops at forty, so reduced.", "forearm_supination"),
        ("Elbow extension lacks ten degrees, so reduced.", "elbow_extension"),
        ("Outward rotation, minus ten degrees, so reduced.", "shoulder_external_rotation"),
    ],
)
def test_degrees_make_a_word_one_of_range(said: str, expected: str) -> None:
    assert standing(f"Right arm. {said}") == {f"{expected} right reduced"}
