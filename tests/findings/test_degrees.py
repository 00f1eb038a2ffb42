"""Degrees of what was said, names cut by a denial, and second grades of one muscle."""

import pytest
from builders import by_rules, standing_of, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.findings.model import Extraction
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings


def read(*said: str) -> Extraction:
    return extract(transcript(*said), load_lexicon(), Settings(side="right"))


def found(made: Extraction) -> set[str]:
    return {f"{f.item} {f.value}" for f in standing_of(made)}


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            "There was wasting of the infraspinatus and, less, of the supraspinatus.",
            {"wasting.infraspinatus present", "wasting.supraspinatus present"},
        ),
        (
            "Wasting of deltoid and, to a lesser extent, in the biceps.",
            {"wasting.deltoid present", "wasting.biceps_brachii present"},
        ),
        (
            "The first dorsal was wasted, whereas the thenar eminence was only doubtfully so.",
            {"wasting.dorsal_interosseous_1 present", "wasting.thenar uncertain"},
        ),
        (
            "Deltoid was wasted, triceps equally so, biceps not so.",
            {
                "wasting.deltoid present",
                "wasting.triceps_brachii present",
                "wasting.biceps_brachii absent",
            },
        ),
        (
            "The shoulder isn't drooping or subluxed.",
            {"sign.shoulder_droop absent", "sign.shoulder_subluxation absent"},
        ),
        ("The eyelid does not droop.", {"sign.ptosis absent"}),
        ("The scapula isn't really sticking out.", {"sign.scapular_winging absent"}),
        (
            "I palpated the FPL while she tried to bend it and there was a contraction, small.",
            {"contraction.flexor_pollicis_longus present"},
        ),
        ("Biceps: there was a faint contraction.", {"contraction.biceps_brachii present"}),
        ("Feel for a contraction in the biceps.", set()),
        ("FDS to the middle finger four.", {"power.flexor_digitorum_superficialis 4"}),
        (
            "The deep flexor of the index three minus.",
            {"power.flexor_digitorum_profundus_radial 3-"},
        ),
        ("Deltoid in three bits. Anterior five.", {"power.deltoid_anterior 5"}),
        (
            "FPL I had first noted as three, but on repeating it it was three plus.",
            {"power.flexor_pollicis_longus 3+"},
        ),
        (
            "Triceps four, but when I tried again it was only three.",
            {"power.triceps_brachii 3"},
        ),
    ],
)
def test_degrees_and_names_are_read(said: str, expected: set[str]) -> None:
    made = read(said)
    assert found(made) == expected
    assert not by_rules(made)


def test_a_second_grade_after_other_words_is_asked_about() -> None:
    made = read("Biceps four, although with the elbow supported it was four plus.")
    assert [q.rule for q in made.questions] == ["second_value"]


@pytest.mark.parametrize(
    "said",
    [
        "When you've got a serratus at four, the wall push-up is where you catch it.",
        "At the trauma meeting they were calling the deltoid a one.",
        "I once graded a brachioradialis five that turned out to be the supinator.",
        "I'll tell you whether your triceps gets a five.",
        "I read that the deltoid can go down to zero and never come back.",
    ],
)
def test_what_was_only_told_is_no_finding(said: str) -> None:
    assert found(read(said)) == set()
