"""Chooses among a recogniser's best hypotheses with the n-gram language behind its own score.

Once the other listeners have been heard, what they heard has its say too, by sound.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from dictate2exam.speech.combine import align
from dictate2exam.speech.pronounce import Pronouncer

# Chosen on 300 utterances of three voices that were in no training, clean and at 10 dB: word error
# .062 without the language, .047 with it; flat from .2 to .3.
LANGUAGE_SHARE = 0.25
WORD_BONUS = 0.9  # natural log a word, against the language's liking for few words
# With what the other listeners heard. Chosen by hand on ten scripts in each of two synthetic voices
# that are in no training: word error there .065 to .056 and .062 to .059 in quiet, .090 to .089 and
# .093 to .090 at 10 dB, on the words that chose it. Weights fitted to one voice alone, with another
# phonetic distance, took the other from .078 to .073 and .074.
AGREEMENT_SHARE = 0.3  # natural log a sound letter that another listener has otherwise
BESIDE_LANGUAGE_SHARE = 0.15
BESIDE_WORD_BONUS = 0.5
RAREST = -15.0  # natural log of a word that the language does not know
LOG_BASE = math.log(1.0001)  # PocketSphinx counts in powers of 1.0001


@dataclass(frozen=True)
class Hypothesis:
    """Tokens of one reading with their text and their joint log probability (natural)."""

    tokens: tuple[int, ...]
    text: str
    log_probability: float


class Rescorer:
    """The mixed language as a judge of whole readings."""

    def __init__(self, model: Path, pronouncer: Pronouncer | None = None) -> None:
        from pocketsphinx import NGramModel

        self._pronouncer = pronouncer
        self._model: Any = NGramModel.readfile(str(model))

    def language(self, text: str) -> float:
        """Natural log probability of the words, in an utterance of their own."""
        words = ["<s>", *text.split(), "</s>"]
        total = 0.0
        for place in range(1, len(words)):
            newest_first = words[max(0, place - 2) : place + 1][::-1]
            total += max(RAREST, self._model.prob(newest_first) * LOG_BASE)
        return total

    def score(self, hypothesis: Hypothesis, others: Sequence[str] = ()) -> float:
        """Sound and language, and what others heard, together; higher is better."""
        heard = [text for text in others if text]
        words = len(hypothesis.text.split())
        language = self.language(hypothesis.text)
        if not heard or self._pronouncer is None:
            return hypothesis.log_probability + LANGUAGE_SHARE * language + WORD_BONUS * words
        sounds = self._sounds(hypothesis.text)
        apart = sum(sum(align(sounds, self._sounds(text))) for text in heard)
        return (
            hypothesis.log_probability
            + BESIDE_LANGUAGE_SHARE * language
            + BESIDE_WORD_BONUS * words
            - AGREEMENT_SHARE * apart
        )

    def _sounds(self, text: str) -> list[str]:
        assert self._pronouncer is not None
        ways = (self._pronouncer.ways(word, both_sides=False) for word in text.split())
        return [sound for way in ways for sound in way[0]]

    def ranked(
        self, hypotheses: Sequence[Hypothesis], others: Sequence[str] = ()
    ) -> list[tuple[Hypothesis, float]]:
        """The hypotheses, best first, each with its share of belief (they sum to one).

        `others` are texts that other listeners heard; without a pronouncer they are left out.
        """
        scores = [self.score(hypothesis, others) for hypothesis in hypotheses]
        top = max(scores)
        weights = [math.exp(score - top) for score in scores]
        total = sum(weights)
        pairs = zip(hypotheses, (weight / total for weight in weights), strict=True)
        return sorted(pairs, key=lambda pair: -pair[1])
