"""What a free listener writes, in spoken form."""

import pytest

from dictate2exam.speech.spoken import number_words, spoken_form


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("C5 is 4+/5.", "c five is four plus out of five"),
        ("FDP to index 5, FPL 3-", "f d p to index five f p l three minus"),
        ("It's a well-known thing, isn't it?", "it's a well known thing isn't it"),
        ("4- / 5", "four minus out of five"),
        ("T1 8/10 – 2−", "t one eight out of ten two minus"),
        ("First D I: 0/5", "first d i zero out of five"),
        ("1st dorsal, 24%", "first dorsal twenty four percent"),
        ("OK. and/or", "ok and or"),
        ("", ""),
    ],
)
def test_spoken_form(written: str, said: str) -> None:
    assert spoken_form(written) == said


def test_numbers() -> None:
    assert number_words(0) == "zero"
    assert number_words(90) == "ninety"
    assert number_words(115) == "one hundred fifteen"
    assert number_words(2000) == "two thousand"
    assert number_words(123456) == "one two three four five six"
