"""A reading beside another: nothing that the other heard is left out."""

import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.beside import slots
from dictate2exam.speech.model import Reading, Word
from dictate2exam.speech.pronounce import Pronouncer


@pytest.fixture(scope="module")
def pronouncer() -> Pronouncer:
    return Pronouncer.of_lexicon(load_lexicon())


def reading(listener: str, text: str, confidence: float = 0.7) -> Reading:
    words = tuple(
        Word(text=word, start_s=n, end_s=n + 1, confidence=confidence)
        for n, word in enumerate(text.split())
    )
    return Reading(listener=listener, text=text, words=words)


def test_slots_hold_every_word_of_the_other_reading(pronouncer: Pronouncer) -> None:
    domain = reading("a", "deltoid four plus right").words
    other = ["the", "delta", "oid", "for", "plus", "on", "right", "side"]
    found, after = slots(domain, other, pronouncer)
    flat = [w for there, before in found for w in (*before, there) if w] + list(after)
    assert flat == other
