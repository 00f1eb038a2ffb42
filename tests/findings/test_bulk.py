"""Wasting under a heading, after its noun, and what a clause leaves out."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()
DELTOID, TRAPEZIUS = "wasting.deltoid", "wasting.trapezius"


def read(*lines: str) -> list[tuple[str, str]]:
    made = extract(transcript(*lines), LEXICON, Settings(side="right"))
    return [(f.item, f.value) for f in made.findings]


@pytest.mark.parametrize(
    "said",
    [
        "Wasting. Deltoid, yes. Trapezius, no.",
        "Atrophy: deltoid present, trapezius absent.",
        "Any wasting? Deltoid, a bit. Trapezius, none.",
        "Wasting first. Deltoid, plenty. Trapezius, nil.",
        "Muscle bulk. Deltoid wasted, trapezius normal.",
        "Wasting of deltoid? Yes. Of trapezius? No.",
        "Is the deltoid wasted? Yes, it is. Is the trapezius? No.",
        "There is wasting in the deltoid, none in the trapezius.",
        "Deltoid wasting, marked. Trapezius wasting, absent.",
        "Visible atrophy in the deltoid, yes, but the trapezius, no.",
        "Deltoid is wasted but the trapezius isn't.",
        "Deltoid is wasted. The trapezius is not.",
        "There is atrophy of the deltoid and the trapezius is normal.",
        "Wasting of the deltoid on that side and the trapezius was spared.",
        "The deltoid has fallen away. The trapezius has kept its bulk.",
        "There is deltoid wasting, trapezius is preserved.",
        "Deltoid wasting, the trapezius looks full.",
    ],
)
def test_one_is_wasted_and_the_other_is_not(said: str) -> None:
    assert read(said) == [(DELTOID, "present"), (TRAPEZIUS, "absent")]


@pytest.mark.parametrize(
    "said",
    [
        "no wasting in the deltoid, none in trapezius",
        "No wasting of deltoid and none of trapezius.",
        "The deltoid isn't wasted, and neither is the trapezius.",
        "The deltoid is not wasted, nor is the trapezius.",
        "Wasting of the deltoid, none. Trapezius wasting, none.",
    ],
)
def test_neither_is_wasted(said: str) -> None:
    assert read(said) == [(DELTOID, "absent"), (TRAPEZIUS, "absent")]


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("No wasting. Deltoid five.", [("power.deltoid", "5")]),
        ("Any wasting? No. Biceps nil power.", [("power.biceps_brachii", "0")]),
        ("Deltoid is wasted. Biceps is, um, four.",
         [(DELTOID, "present"), ("power.biceps_brachii", "4")]),
        ("No wasting of deltoid. Nothing in the biceps.",
         [(DELTOID, "absent"), ("power.biceps_brachii", "0")]),
    ],
)  # fmt: skip
def test_grades_are_no_bulk(said: str, found: list[tuple[str, str]]) -> None:
    assert read(said) == found


def test_a_verb_alone_denies_what_was_said() -> None:
    assert read("C5 is avulsed, C6 is not.") == [
        ("imaging.c5", "avulsed"),
        ("imaging.c6", "intact"),
    ]
    assert read("Ptosis is there. Miosis isn't.") == [
        ("sign.ptosis", "present"),
        ("sign.miosis", "absent"),
    ]


def test_a_list_goes_on_where_each_name_has_its_side() -> None:
    said = "wasting of the right deltoid, the right trapezius and the right biceps"
    assert [value for _, value in read(said)] == ["present"] * 3


@pytest.mark.parametrize(
    "said",
    [
        "Wasting of the deltoid on the right, and of the trapezius.",
        "There is atrophy of the deltoid on the right together with the trapezius.",
        "There was wasting in the deltoid on the right as well as in the trapezius.",
        "There was wasting of the deltoid and, somewhat to my surprise, the trapezius.",
        "There is wasting of the deltoid on the right and, unexpectedly, of the trapezius.",
    ],
)
def test_a_list_goes_on_behind_a_side_and_an_aside(said: str) -> None:
    assert read(said) == [(DELTOID, "present"), (TRAPEZIUS, "present")]


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("There was wasting of the deltoid on the right and trapezius power was normal.",
         [(DELTOID, "present"), ("power.trapezius", "5")]),
        ("There was wasting of the deltoid on the right and trapezius four.",
         [(DELTOID, "present"), ("power.trapezius", "4")]),
        ("Wasting of the deltoid and the trapezius is absent.",
         [(DELTOID, "absent"), (TRAPEZIUS, "absent")]),
    ],
)  # fmt: skip
def test_a_name_with_its_own_value_is_on_no_list(said: str, found: list[tuple[str, str]]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    "said",
    [
        "Deltoid wasted. Trapezius, hard to say.",
        "Atrophy. Deltoid, plenty. Trapezius, impossible to tell.",
        "Wasting. Hard to judge in the forearm. Deltoid, present already. Trapezius, can't tell.",
    ],
)
def test_bulk_that_cannot_be_told_is_uncertain(said: str) -> None:
    assert read(said) == [(DELTOID, "present"), (TRAPEZIUS, "uncertain")]


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Inspection. Infraspinatus, wasted. Deltoid, bulk normal. Trapezius, normal.",
         {"wasting.infraspinatus": "present", "wasting.deltoid": "absent", TRAPEZIUS: "absent"}),
        ("Inspection. Infraspinatus, wasted. No winging. Deltoid, normal. Power. Biceps normal.",
         {"wasting.infraspinatus": "present", "sign.scapular_winging": "absent",
          DELTOID: "absent", "power.biceps_brachii": "5"}),
        ("On inspection the infraspinatus is wasted. On power, the deltoid is normal.",
         {"wasting.infraspinatus": "present", "power.deltoid": "5"}),
        ("Inspection. Infraspinatus wasted. Triceps four. Deltoid, normal.",
         {"wasting.infraspinatus": "present", "power.triceps_brachii": "4", "power.deltoid": "5"}),
        ("The infraspinatus is wasted. Deltoid, I'm not sure, so put uncertain.",
         {"wasting.infraspinatus": "present", DELTOID: "uncertain"}),
    ],
)  # fmt: skip
def test_normal_is_said_of_bulk_while_inspection_goes_on(
    said: str, expected: dict[str, str]
) -> None:
    assert dict(read(said)) == expected
