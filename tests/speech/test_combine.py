"""Confidence: agreement by sound, ordered as reason demands, and never outside its limits."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dictate2exam.lexicon.hearing import read_hearing
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.combine import agreement, align, combine, probability, sound_cost
from dictate2exam.speech.gate import verdict
from dictate2exam.speech.model import Reading, Word
from dictate2exam.speech.pronounce import Pronouncer

HEARING = read_hearing(load_lexicon().folder)
WEIGHTS = HEARING.confidence


@pytest.fixture(scope="module")
def pronouncer() -> Pronouncer:
    return Pronouncer.of_lexicon(load_lexicon())


def words(text: str, confidence: float | None = 0.99) -> tuple[Word, ...]:
    return tuple(
        Word(text=word, start_s=n, end_s=n + 1, confidence=confidence)
        for n, word in enumerate(text.split())
    )


def test_alignment_by_hand() -> None:
    assert align(["B", "AH"], ["B", "AH"]) == [0, 0]
    assert align(["B", "AH"], ["P", "AH"]) == [pytest.approx(0.4), 0]
    assert align(["B", "AH"], []) == [1, 1]
    assert align([], ["B"]) == []
    assert sound_cost("S", "M") == 1


def test_a_misspelt_reading_agrees_by_sound(pronouncer: Pronouncer) -> None:
    scores = agreement(words("supraspinatus four"), "super spin eight us for", pronouncer)
    assert min(scores) > 0.6
    other = agreement(words("supraspinatus four"), "see you on thursday then", pronouncer)
    assert max(other) < 0.6


def test_the_word_that_differs_is_the_one_that_disagrees(pronouncer: Pronouncer) -> None:
    scores = agreement(words("radial ptosis present"), "the radial pulse is present", pronouncer)
    assert scores[1] < 0.6
    assert scores[0] > 0.8 and scores[2] > 0.8


# A busy machine is slow to draw, too.
@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.floats(0, 1),
    st.lists(st.floats(0, 1), max_size=3),
    st.floats(-3, 3) | st.none(),
    st.floats(-5, 60),
)
def test_probabilities_rise_with_each_reason(
    posterior: float, agreements: list[float], score: float | None, snr: float
) -> None:
    here = probability(posterior, agreements, score, snr, WEIGHTS)
    assert WEIGHTS.lowest <= here <= WEIGHTS.highest
    assert probability(1.0, agreements, score, snr, WEIGHTS) >= here
    assert probability(posterior, [1.0] * len(agreements), score, snr, WEIGHTS) >= here
    assert probability(posterior, agreements, score, snr + 10, WEIGHTS) >= here
    assert probability(posterior, agreements, (score or 0) + 1, snr, WEIGHTS) >= here


def test_all_words_of_a_noisy_recording_are_doubtful(pronouncer: Pronouncer) -> None:
    domain = Reading(listener="a", text="deltoid four", words=words("deltoid four"))
    same = Reading(listener="b", text="deltoid four")
    sure = combine(domain, [same], 1.5, 40, WEIGHTS, pronouncer)
    assert all(word.confidence and word.confidence > 0.9 for word in sure)
    noisy = combine(domain, [same], 1.5, 40, WEIGHTS, pronouncer, too_noisy=True)
    assert all(word.confidence and word.confidence <= 0.6 for word in noisy)
    alone = combine(domain, [], None, 40, WEIGHTS, pronouncer)
    assert [word.text for word in alone] == ["deltoid", "four"]


def test_the_gate_has_three_answers() -> None:
    limits = HEARING.gate
    assert verdict(limits.examination, limits) == "examination"
    assert verdict(limits.talk - 0.01, limits) == "talk"
    assert verdict((limits.talk + limits.examination) / 2, limits) == "unsure"
    assert verdict(None, limits) == "unsure"
    # in noise less is sure
    assert verdict(limits.talk - 0.01, limits, snr_db=10) == "unsure"
    assert verdict(limits.talk - 2, limits, snr_db=10) == "talk"
