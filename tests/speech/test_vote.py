"""Two readings that agree outvote the domain listener; nothing is voted away."""

import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.model import Reading, Word
from dictate2exam.speech.pronounce import Pronouncer
from dictate2exam.speech.vote import slots, vote


@pytest.fixture(scope="module")
def pronouncer() -> Pronouncer:
    return Pronouncer.of_lexicon(load_lexicon())


def reading(listener: str, text: str, confidence: float = 0.7) -> Reading:
    words = tuple(
        Word(text=word, start_s=n, end_s=n + 1, confidence=confidence)
        for n, word in enumerate(text.split())
    )
    return Reading(listener=listener, text=text, words=words)


@pytest.mark.parametrize(
    ("domain", "second", "free", "result"),
    [
        # two agree against one
        ("radial ptosis present", "radial pulse present", "the radial pulse present",
         "radial pulse present"),
        # a lost negation that both others heard comes back
        ("he could lift it", "he could not lift it", "he could not lift it",
         "he could not lift it"),
        ("winging of the scapula", "no winging of the scapula", "no winging of the scapula",
         "no winging of the scapula"),
        ("deltoid four", "deltoid four plus", "deltoid for plus", "deltoid four plus"),
        # they disagree with each other: the domain listener's word stays
        ("deltoid four", "deltoid five", "the toyed for", "deltoid four"),
        # nothing is voted away
        ("no winging", "winging", "winging", "no winging"),
        ("deltoid four", "", "", "deltoid four"),
    ],
)  # fmt: skip
def test_votes(domain: str, second: str, free: str, result: str, pronouncer: Pronouncer) -> None:
    voted = vote(reading("a", domain), [reading("b", second), reading("c", free)], pronouncer)
    assert voted.text == result
    assert [word.text for word in voted.words] == result.split()
    starts = [word.start_s for word in voted.words]
    assert starts == sorted(starts)


def test_one_other_reading_has_no_majority(pronouncer: Pronouncer) -> None:
    domain = reading("a", "radial ptosis")
    assert vote(domain, [reading("b", "radial pulse")], pronouncer) is domain


def test_slots_hold_every_word_of_the_other_reading(pronouncer: Pronouncer) -> None:
    domain = reading("a", "deltoid four plus right").words
    other = ["the", "delta", "oid", "for", "plus", "on", "right", "side"]
    found, after = slots(domain, other, pronouncer)
    flat = [w for there, before in found for w in (*before, there) if w] + list(after)
    assert flat == other


def test_a_sure_word_is_not_outvoted(pronouncer: Pronouncer) -> None:
    domain = reading("a", "radial ptosis present", confidence=0.95)
    others = [reading("b", "radial pulse present"), reading("c", "radial pulse present")]
    assert vote(domain, others, pronouncer).text == "radial ptosis present"
