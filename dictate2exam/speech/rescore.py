"""Chooses among a recogniser's best hypotheses with the n-gram language behind its own score."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

# Chosen on 300 utterances of three voices that were in no training, clean and at 10 dB: word error
# .062 without the language, .047 with it; flat from .2 to .3.
LANGUAGE_SHARE = 0.25
WORD_BONUS = 0.9  # natural log a word, against the language's liking for few words
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

    def __init__(self, model: Path) -> None:
        from pocketsphinx import NGramModel

        self._model: Any = NGramModel.readfile(str(model))

    def language(self, text: str) -> float:
        """Natural log probability of the words, in an utterance of their own."""
        words = ["<s>", *text.split(), "</s>"]
        total = 0.0
        for place in range(1, len(words)):
            newest_first = words[max(0, place - 2) : place + 1][::-1]
            total += max(RAREST, self._model.prob(newest_first) * LOG_BASE)
        return total

    def score(self, hypothesis: Hypothesis) -> float:
        """Sound and language together; higher is better."""
        words = len(hypothesis.text.split())
        return (
            hypothesis.log_probability
            + LANGUAGE_SHARE * self.language(hypothesis.text)
            + WORD_BONUS * words
        )

    def ranked(self, hypotheses: Sequence[Hypothesis]) -> list[tuple[Hypothesis, float]]:
        """The hypotheses, best first, each with its share of belief (they sum to one)."""
        scores = [self.score(hypothesis) for hypothesis in hypotheses]
        top = max(scores)
        weights = [math.exp(score - top) for score in scores]
        total = sum(weights)
        pairs = zip(hypotheses, (weight / total for weight in weights), strict=True)
        return sorted(pairs, key=lambda pair: -pair[1])
