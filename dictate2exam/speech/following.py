"""One utterance heard while it is being spoken, by those listeners that can."""

from typing import Protocol

import numpy as np

from dictate2exam.lexicon.hearing import GateLimits
from dictate2exam.speech.base import Samples
from dictate2exam.speech.gate import Gate, RunningScore
from dictate2exam.speech.model import Reading

NOTHING: Samples = np.zeros(0, dtype=np.float32)


class RunningReading(Protocol):
    """A listener's reading of an utterance that goes on."""

    @property
    def text(self) -> str:
        """The words so far."""
        ...

    def feed(self, samples: Samples) -> None:
        """More of its sound."""
        ...

    def end(self) -> Reading:
        """The reading of the whole utterance."""
        ...

    def abandon(self) -> None:
        """Gives the utterance up."""
        ...


class Following:
    """Sound of one utterance from its beginning, fed to the gate and to one listener.

    `reading` is None where no listener hears while one speaks. Each part is ended by its own
    method, so that they can be ended in threads of their own.
    """

    def __init__(self, gate: Gate, reading: RunningReading | None) -> None:
        self._limits: GateLimits = gate.limits
        self._score: RunningScore = gate.begin()
        self._reading = reading
        self._heard: Samples = NOTHING

    def begins(self, samples: Samples) -> bool:
        """Whether what was heard so far is the beginning of this sound."""
        heard = len(self._heard)
        return heard <= len(samples) and bool(np.array_equal(self._heard, samples[:heard]))

    def hear(self, samples: Samples) -> str:
        """The utterance as far as it goes; its words so far, none where they are surely talk."""
        new = samples[len(self._heard) :]
        self._heard = samples
        self._score.feed(new)
        if self._reading is None:
            return ""
        self._reading.feed(new)
        score = self._score.so_far
        return self._reading.text if score is not None and score >= self._limits.talk else ""

    def end_score(self, samples: Samples) -> float | None:
        """The gate's score of the whole utterance."""
        self._score.feed(samples[len(self._heard) :])
        return self._score.end()

    def end_reading(self, samples: Samples) -> Reading:
        """The listener's reading of the whole utterance."""
        assert self._reading is not None
        self._reading.feed(samples[len(self._heard) :])
        return self._reading.end()

    def abandon(self) -> None:
        """Gives the utterance up, so that the listeners are free for another."""
        self._score.abandon()
        if self._reading:
            self._reading.abandon()
