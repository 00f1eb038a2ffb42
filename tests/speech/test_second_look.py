"""Doubtful words are looked at again: what they may have been, by sound and by forced score."""

from collections.abc import Sequence

import numpy as np

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.base import Samples
from dictate2exam.speech.model import Word
from dictate2exam.speech.second_look import KEPT, SecondLook, doubtful_spans

LOOK = SecondLook(load_lexicon())
SOUND = np.zeros(16000, np.float32)


class Ears:
    """Hears the text that holds `meant` best."""

    def __init__(self, meant: str) -> None:
        self.meant = meant
        self.asked: list[str] = []

    def forced(self, samples: Samples, texts: Sequence[str]) -> list[float]:
        self.asked += texts
        return [-0.1 if self.meant in text else -2.0 for text in texts]


def words(text: str, doubtful: str) -> list[Word]:
    """The words of `text`, hardly heard where they are among `doubtful`."""
    unsure = doubtful.split()
    return [
        Word(text=word, start_s=place, end_s=place + 1, confidence=0.2 if word in unsure else 0.97)
        for place, word in enumerate(text.split())
    ]


def test_a_term_is_found_behind_ordinary_words() -> None:
    ears = Ears("latissimus dorsi")
    (look,) = LOOK.looks(
        words("lattice a miss dorsey four plus", "lattice a miss dorsey"), ears, SOUND
    )
    assert (look.first_word, look.last_word) == (0, 3)
    assert look.candidates[0] == "latissimus dorsi"
    assert len(look.candidates) <= KEPT


def test_the_sound_decides_between_terms_that_are_alike() -> None:
    said = words("abductor pollicis brevis three", "abductor pollicis brevis")
    for meant in ("abductor pollicis longus", "abductor pollicis brevis"):
        (look,) = LOOK.looks(said, Ears(meant), SOUND)
        assert look.candidates[0] == meant


def test_candidates_are_scored_in_their_place() -> None:
    ears = Ears("deltoid")
    LOOK.looks(words("then dull toyed four", "dull toyed"), ears, SOUND)
    assert ears.asked
    assert all(text.startswith("then ") and text.endswith(" four") for text in ears.asked)


def test_words_clearly_heard_are_left_alone() -> None:
    ears = Ears("deltoid")
    assert LOOK.looks(words("deltoid four", ""), ears, SOUND) == ()
    assert not ears.asked


def test_spans_are_runs_of_doubtful_words_of_some_length() -> None:
    said = words("so deltoid um four plus biceps", "um deltoid biceps")
    assert doubtful_spans(said) == [(1, 3), (5, 6)]
    assert doubtful_spans(words("four to five", "to")) == []
