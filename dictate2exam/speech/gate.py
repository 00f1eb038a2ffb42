"""Examination or talk: the domain's language against general English on the same acoustic model.

What a voice or a room does to the sound cancels in the difference of the two scores.
"""

from typing import Literal

from dictate2exam.lexicon.hearing import GateLimits
from dictate2exam.speech.base import Samples
from dictate2exam.speech.language import Language
from dictate2exam.speech.pocketsphinx_listener import FRAME_S, make_decoder
from dictate2exam.speech.running import Running

SAMPLE_RATE = 16_000
QUIET_DB = 20.0
# Scores need no second pass and no wide beams: half the time, and no more verdicts wrong.
QUICK = {"fwdflat": False}
Verdict = Literal["examination", "talk", "unsure"]


class Gate:
    """Scores one utterance at a time."""

    def __init__(self, language: Language, limits: GateLimits) -> None:
        self.limits = limits
        domain, general = str(language.domain), str(language.general)
        self._domain = make_decoder(domain, str(language.domain_dictionary), QUICK)
        self._general = make_decoder(general, str(language.general_dictionary), QUICK)

    def begin(self) -> "RunningScore":
        """An utterance that will be fed as it is spoken; the one before must have ended."""
        return RunningScore(Running(self._domain), Running(self._general))

    def score(self, samples: Samples) -> float | None:
        """1000 x natural log of domain over general, per 10 ms; None when nothing was heard."""
        score = self.begin()
        score.feed(samples)
        return score.end()


class RunningScore:
    """The score of one utterance while it is being spoken."""

    def __init__(self, domain: Running, general: Running) -> None:
        self._domain, self._general = domain, general
        self._samples = 0

    @property
    def so_far(self) -> float | None:
        """The score of what was heard so far, None while nothing was."""
        return self._score(self._domain.score, self._general.score)

    def feed(self, samples: Samples) -> None:
        """More of its sound."""
        self._samples += len(samples)
        self._domain.feed(samples)
        self._general.feed(samples)

    def end(self) -> float | None:
        """The score of the whole utterance."""
        return self._score(self._domain.end(), self._general.end())

    def abandon(self) -> None:
        """Gives the utterance up."""
        self._domain.abandon()
        self._general.abandon()

    def _score(self, domain: float | None, general: float | None) -> float | None:
        if domain is None or general is None:
            return None
        return 1000 * (domain - general) / max(1.0, self._samples / SAMPLE_RATE / FRAME_S)


def verdict(score: float | None, limits: GateLimits, snr_db: float = QUIET_DB) -> Verdict:
    """What a score means at a level of noise; without a score nothing can be told.

    Noise brings the scores of examination down towards those of talk, so that less is sure.
    """
    if score is None:
        return "unsure"
    if score >= limits.examination:
        return "examination"
    slack = limits.noise_slack * max(0.0, min(QUIET_DB, QUIET_DB - snr_db))
    return "talk" if score < limits.talk - slack else "unsure"
