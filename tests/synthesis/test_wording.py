"""How texts are written for synthesisers."""

import re

import pytest

from dictate2exam.synthesis.wording import (
    IPA,
    festival_syllables,
    latin_phones,
    readable,
    with_phones,
)


def test_levels_grades_and_abbreviations_are_written_as_they_are_said() -> None:
    assert readable("FDP 4+/5, C5 ten. APB 3-.") == (
        "F D P four plus out of five, C five ten. ay P B three minus."
    )


def test_a_range_keeps_its_hyphen() -> None:
    assert "minus" not in readable("C5-C7 and a 3-day history")


def test_words_are_swapped_for_phones_with_the_stress_marked() -> None:
    assert with_phones("Teres minor", {"teres"}, IPA, "ˈ") == "[[tˈɛɹiz]] minor"


@pytest.mark.parametrize("word", sorted(latin_phones()))
def test_every_phone_is_placed_in_a_syllable(word: str) -> None:
    phones = [phone.rstrip("01") for phone in latin_phones()[word].split()]
    groups = re.findall(r"\(\(([a-z ]+)\) [01]\)", festival_syllables(latin_phones()[word]))
    assert " ".join(groups).split() == phones
