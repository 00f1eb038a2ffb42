"""Among a recogniser's own best readings: the language's choice, and that of what others heard."""

from functools import lru_cache

import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.language import build_language
from dictate2exam.speech.pronounce import Pronouncer
from dictate2exam.speech.rescore import Hypothesis, Rescorer


@lru_cache(maxsize=1)
def rescorer() -> Rescorer:
    lexicon = load_lexicon()
    return Rescorer(build_language(lexicon).mixed, Pronouncer.of_lexicon(lexicon))


def best(texts: dict[str, float], *others: str) -> str:
    hypotheses = [Hypothesis((n,), text, sure) for n, (text, sure) in enumerate(texts.items())]
    return rescorer().ranked(hypotheses, others)[0][0].text


def belief(text: str, texts: dict[str, float], *others: str) -> float:
    hypotheses = [Hypothesis((n,), text, sure) for n, (text, sure) in enumerate(texts.items())]
    return {h.text: share for h, share in rescorer().ranked(hypotheses, others)}[text]


def test_the_language_prefers_what_is_said_in_examinations() -> None:
    assert best({"biceps fife": -1.0, "biceps five": -1.5}) == "biceps five"


@pytest.mark.parametrize(
    ("right", "wrong", "other"),
    [
        # a number, a side and a negation that others heard win a close race (one that the choice
        # leaves out comes back by the vote, tests/speech/test_vote.py)
        ("deltoid four plus", "deltoid five plus", "deltoid for plus"),
        ("on the left side", "on the right side", "on the left side"),
        ("no winging of the scapula", "winging of the scapula", "no winging of the scapular"),
    ],
)
def test_what_two_others_heard_decides_a_close_race(right: str, wrong: str, other: str) -> None:
    close = {wrong: -2.0, right: -2.3}
    assert best(close, other, other) == right
    assert belief(right, close, other, other) > belief(right, close, wrong, wrong) + 0.3


def test_a_reading_that_the_sound_speaks_for_is_kept() -> None:
    sure = {"deltoid five": -0.5, "deltoid four": -9.0}
    assert best(sure, "deltoid four", "the toyed four") == "deltoid five"


def test_nothing_is_chosen_that_is_none_of_the_readings() -> None:
    texts = {"biceps five": -1.0, "biceps four": -1.2}
    assert best(texts, "triceps zero", "triceps zero") in texts


def test_others_that_heard_nothing_have_no_say() -> None:
    texts = {"deltoid four": -1.0, "deltoid five": -1.1}
    assert best(texts, "", "") == best(texts)
