"""Likeness by sound against plain facts of articulation."""

import numpy as np
import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.phonetic import Phonetics

PHONETICS = Phonetics(load_lexicon())


def test_costs_are_a_distance() -> None:
    swap = PHONETICS.swap
    assert np.array_equal(swap, swap.T)
    assert (np.diag(swap) == 0).all()
    assert swap[~np.eye(len(swap), dtype=bool)].min() > 0
    assert swap.max() <= 1


@pytest.mark.parametrize(
    ("sound", "near", "far"),
    # Miller & Nicely 1955 (doi:10.1121/1.1907526): listeners in noise confuse place of
    # articulation within voiceless stops, nasals and front fricatives before manner and voicing.
    [("P", "K", "Z"), ("T", "K", "V"), ("M", "N", "S"), ("F", "TH", "N")],
)
def test_sounds_that_listeners_confuse_are_nearer(sound: str, near: str, far: str) -> None:
    codes, swap = PHONETICS.codes, PHONETICS.swap
    assert swap[codes[sound], codes[near]] < swap[codes[sound], codes[far]]


def test_word_boundaries_do_not_matter() -> None:
    assert PHONETICS.likeness(["by", "seps"], ["biceps"]) > 0.9
    assert PHONETICS.likeness(["see", "for"], ["c", "4"]) == 1.0


def test_only_the_same_word_is_wholly_alike() -> None:
    assert PHONETICS.likeness(["deltoid"], ["deltoid"]) == 1.0
    assert PHONETICS.likeness(["deltoid"], ["trapezius"]) < 0.6


def test_what_cannot_be_said_is_like_nothing() -> None:
    assert PHONETICS.likeness(["deltoid"], ["+"]) == 0.0
    assert PHONETICS.likeness(["+"], ["deltoid"]) == 0.0
