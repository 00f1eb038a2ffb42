"""Examination or talk: the domain's language against general English on the same acoustic model.

What a voice or a room does to the sound cancels in the difference of the two scores.
"""

from typing import Literal

from dictate2exam.lexicon.hearing import GateLimits
from dictate2exam.speech.base import Samples
from dictate2exam.speech.language import Language
from dictate2exam.speech.pocketsphinx_listener import FRAME_S, decode, make_decoder, pcm16

SAMPLE_RATE = 16_000
Verdict = Literal["examination", "talk", "unsure"]


class Gate:
    """Scores one utterance at a time."""

    def __init__(self, language: Language, limits: GateLimits) -> None:
        self.limits = limits
        self._domain = make_decoder(str(language.domain), str(language.domain_dictionary))
        self._general = make_decoder(str(language.general), str(language.general_dictionary))

    def score(self, samples: Samples) -> float | None:
        """1000 x natural log of domain over general, per 10 ms; None when nothing was heard."""
        pcm = pcm16(samples)
        domain, general = decode(self._domain, pcm), decode(self._general, pcm)
        if domain is None or general is None:
            return None
        return 1000 * (domain - general) / max(1.0, len(samples) / SAMPLE_RATE / FRAME_S)


def verdict(score: float | None, limits: GateLimits) -> Verdict:
    """What a score means; without a score nothing can be told."""
    if score is None:
        return "unsure"
    if score >= limits.examination:
        return "examination"
    return "talk" if score < limits.talk else "unsure"
