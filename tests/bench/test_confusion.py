"""The model of a recogniser's errors: seeded, of the rate asked for, and made of real errors."""

from collections import Counter
from itertools import pairwise

import pytest

from dictate2exam.bench.confusion import confusion_table, confusions, corrupt, mishear
from dictate2exam.lexicon.load import load_lexicon

SAID = (
    "on the right deltoid is four plus and the biceps is five there is wasting of the thenar "
    "eminence and no ptosis light touch c five seven"
)
WORDS = SAID.split()


def test_the_same_seed_makes_the_same_errors() -> None:
    made = [corrupt(WORDS, seed, 0.2) for seed in (1, 1, 2, 3)]
    assert made[0] == made[1]
    assert len({tuple(m) for m in made}) > 1


def test_nothing_is_wrong_at_rate_nought() -> None:
    assert corrupt(WORDS, 1, 0.0) == WORDS
    assert corrupt([], 1, 0.5) == []


@pytest.mark.parametrize("rate", [0.05, 0.2])
def test_about_as_many_words_go_wrong_as_asked(rate: float) -> None:
    jiwer = pytest.importorskip("jiwer")
    runs = [" ".join(corrupt(WORDS, seed, rate)) or "-" for seed in range(150)]
    measured = jiwer.wer([" ".join(WORDS)] * len(runs), runs)
    assert 0.6 * rate < measured < 1.8 * rate


def test_errors_are_found_by_aligning_what_was_said_with_what_was_heard() -> None:
    pairs = [("Deltoid four. And the biceps 5", "dell toyed for and biceps five")]
    assert confusions(pairs) == Counter({("deltoid four", "dell toyed for"): 1, ("the", ""): 1})


def test_words_that_sound_nothing_alike_are_no_confusion() -> None:
    assert confusions([("supraspinatus five", "chair five")]) == Counter()


def test_each_row_of_the_table_is_an_error() -> None:
    table = confusion_table(load_lexicon().folder / "speech" / "confusions.csv")
    assert len(table) > 100
    for said, ways in table.items():
        assert all(heard.split() != list(said) and count > 0 for heard, count in ways)
        assert all(a < b for (a, _), (b, _) in pairwise(ways))


def test_a_voice_is_misheard_in_the_same_way_every_time() -> None:
    said = [
        "deltoid",
        "four",
        "infraspinatus",
        "four",
        "brachioradialis",
        "five",
        "deltoid",
        "five",
    ]
    once = [mishear(said, seed, 0.5) for seed in range(8)]
    assert once == [mishear(said, seed, 0.5) for seed in range(8)]
    assert len({tuple(words) for words in once}) > 3
    for words in once:
        assert words.count("deltoid") in (0, 2)  # always, or never
        assert words.count("four") == 2  # what everybody says is heard
