"""Hearing while paused: sound is listened to for an order, and let go."""

import numpy as np

from dictate2exam.live.ears import as_samples
from dictate2exam.speech.model import Utterance
from dictate2exam.speech.stream import Reader, Stream


class Aside:
    """A stream of sound that is never stored."""

    def __init__(self, reader: Reader) -> None:
        self._stream = Stream(reader, ahead=False)

    def hear(self, pcm: bytes) -> list[Utterance]:
        """Feeds signed 16 bit samples; the utterances read by now."""
        return self._stream.feed(as_samples(np.frombuffer(pcm, dtype="<i2")))

    def close(self) -> None:
        """Ends the thread that reads."""
        self._stream.close()
