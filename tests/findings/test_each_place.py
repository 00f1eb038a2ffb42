"""Several places in one turn, parts told behind a grade, the shoulder by words of the whole arm.

The sentences are invented; their truth follows the contract of items.
"""

import pytest
from builders import standing_of, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def found(*lines: str) -> set[tuple[str, str]]:
    read = extract(transcript("\n".join(lines)), LEXICON, Settings(side="left"))
    return {(f.item, f.value) for f in read.findings if not f.item.startswith("context.")}


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            "Deltoid, all parts, four. Anterior, middle, posterior.",
            {f"power.deltoid_{part} 4" for part in ("anterior", "middle", "posterior")},
        ),
        (
            "Passively I can bring her the whole way up: abduction full, flexion full.",
            {"range.shoulder_abduction full", "range.shoulder_flexion full"},
        ),
        (
            "Looking at the bulk: bulk is normal in the deltoid, reduced in the biceps.",
            {"wasting.deltoid absent", "wasting.biceps_brachii present"},
        ),
        ("He makes a perfectly round O.", {"sign.ok_sign absent"}),
        ("In the referral it says wrist extensors zero, but that was in May.", set()),
        ("The lady in the next bay has no sensation at all in the thumb.", set()),
    ],
)
def test_it_is_read(said: str, expected: set[str]) -> None:
    assert {f"{item} {value}" for item, value in found(said)} == expected


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (
            ("Touch, left hand.", "Middle, and then the little finger?"),
            {"sensation.c7 normal", "sensation.c8 absent"},
        ),
        (("Touch, left hand.", "Index?"), {"sensation.median_index_pulp 10"}),
    ],
)
def test_a_finger_before_a_finger_is_one_as_well(
    lines: tuple[str, ...], expected: set[str]
) -> None:
    answer = "Normal. And that one numb." if len(expected) > 1 else "Also the same."
    asked = [f"examiner: {line}" for line in lines]
    read = extract(transcript(*asked, f"patient: {answer}"), LEXICON, Settings(side="left"))
    assert {f"{f.item} {f.value}" for f in standing_of(read)} == expected
