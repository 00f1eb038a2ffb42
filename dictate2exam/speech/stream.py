"""Sound as it comes, to utterances as they end: endpointing here, reading in a thread beside it.

Files and live sound both go through a `Stream`. How noisy the sound is, which the reading takes
into account, is measured on the half minute up to the end of each utterance and not on the whole
recording, so that a file and the same sound live give the same utterances.
"""

from collections import deque
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from typing import NamedTuple, Protocol, runtime_checkable

import numpy as np

from dictate2exam.audio.model import SAMPLE_RATE
from dictate2exam.lexicon.hearing import Hearing
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import Endpointer, Span
from dictate2exam.speech.model import Utterance
from dictate2exam.speech.signal import measure_signal

FOLLOW_STEP = 1_600  # samples, 0.1 s: what is new is handed on when there is so much
NOISE_WINDOW = 30 * SAMPLE_RATE  # samples before the end of an utterance that tell of its noise


class Reader(Protocol):
    """What reads one utterance of sound: `listen.Stage`."""

    @property
    def hearing(self) -> Hearing:
        """Its thresholds."""
        ...

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        """The utterance, or None when nobody heard a word."""
        ...


@runtime_checkable
class Follower(Protocol):
    """A reader that takes an utterance while it is being spoken too."""

    def follow(self, samples: Samples, pauses: bool) -> str:
        """Hears it as far as it goes, from its beginning; the words so far, which may change.

        `pauses`: it may have ended.
        """
        ...


class _Sound:
    """The last sound fed, in the pieces that it came in."""

    def __init__(self) -> None:
        self._pieces: deque[tuple[int, Samples]] = deque()
        self.end = 0

    def add(self, samples: Samples) -> None:
        self._pieces.append((self.end, samples))
        self.end += len(samples)

    def forget(self, before: int) -> None:
        while self._pieces and self._pieces[0][0] + len(self._pieces[0][1]) <= before:
            self._pieces.popleft()

    def cut(self, start: int, end: int) -> Samples:
        parts = [
            piece[max(0, start - first) : end - first]
            for first, piece in self._pieces
            if first < end and first + len(piece) > start
        ]
        return parts[0] if len(parts) == 1 else np.concatenate(parts)


class _Followed(NamedTuple):
    """What was handed on last of an utterance that is being spoken."""

    span: Span
    pauses: bool
    words: "Future[str]"


class Stream:
    """Fed with mono 16 kHz sound in pieces of any size; never waits for the reading.

    With `ahead` an utterance is heard while it is spoken, by a reader that can (`words`), read
    0.3 s after its speech ends (`early`), and read again where speech goes on within another
    0.3 s: the words come earlier, for more work. `spans` are all utterances found so far, wordless
    ones included; times count from the first sample fed. The sound must not be changed later.
    """

    def __init__(self, reader: Reader, ahead: bool = True) -> None:
        self.spans: list[Span] = []
        self._reader = reader
        self._ahead = ahead
        self._endpointer = Endpointer()
        self._sound = _Sound()
        self._thread = ThreadPoolExecutor(max_workers=1)  # a reader reads one utterance at a time
        self._early: tuple[Span, Future[Utterance | None]] | None = None
        self._followed: _Followed | None = None
        self._words = ""
        self._waiting: deque[Future[Utterance | None]] = deque()
        self._given = 0

    def feed(self, samples: Samples) -> list[Utterance]:
        """The utterances whose reading is done by now, in order; errors of the reader come here."""
        self._sound.add(samples)
        self._take(self._endpointer.feed(samples))
        if self._ahead:
            self._read_ahead()
            self._follow()
        self._sound.forget(min(self._endpointer.pending, self._sound.end - NOISE_WINDOW))
        found = []
        while self._waiting and self._waiting[0].done():
            found += self._give(self._waiting.popleft())
        if not self._waiting and self._endpointer.sure is None:
            self._words = ""
        return found

    @property
    def words(self) -> str:
        """What was heard so far of speech that is not given out yet; it may still change."""
        return self._words

    @property
    def early(self) -> Utterance | None:
        """The utterance read ahead, once it is: final unless speech goes on before its pause is
        long enough, and then withdrawn. Its number means nothing yet.
        """
        if self._early is None or not self._early[1].done():
            return None
        return self._early[1].result()

    def flush(self) -> Iterator[Utterance]:
        """Ends the sound; gives the utterances still to come, each as soon as it is read."""
        self._take(self._endpointer.flush())
        return self._rest()

    def close(self) -> None:
        """Ends the thread; what was not read yet is given up."""
        self._thread.shutdown(wait=True, cancel_futures=True)

    def _rest(self) -> Iterator[Utterance]:
        while self._waiting:
            yield from self._give(self._waiting.popleft())

    def _give(self, reading: "Future[Utterance | None]") -> list[Utterance]:
        found = reading.result()
        if found is None:
            return []
        self._given += 1
        return [found.model_copy(update={"index": self._given - 1})]

    def _take(self, spans: list[Span]) -> None:
        for span in spans:
            early, self._early = self._early, None
            if early and early[0] == span:
                self._waiting.append(early[1])
            else:
                if early:
                    early[1].cancel()
                self._waiting.append(self._start(span))
            self.spans.append(span)

    def _read_ahead(self) -> None:
        likely = self._endpointer.likely
        if self._early and self._early[0] != likely:
            self._early[1].cancel()
            self._early = None
        if likely and not self._early:
            self._early = (likely, self._start(likely))

    def _follow(self) -> None:
        """Hands on what is new of the utterance that is being spoken, once the last was heard."""
        if not isinstance(self._reader, Follower) or (
            self._followed and not self._followed.words.done()
        ):
            return
        span, pauses = self._endpointer.sure, self._endpointer.pauses
        if span is None:
            return
        known = self._followed
        if known and known.words.exception():
            known = self._followed = None  # what is wrong is told when the utterance is read
        if known and known.span.start == span.start:
            self._words = known.words.result()
            new = span.end - known.span.end >= FOLLOW_STEP or (pauses and not known.pauses)
        else:
            new = True
        if new and not self._early:
            sound = self._sound.cut(span.start, span.end)
            words = self._thread.submit(self._reader.follow, sound, pauses)
            self._followed = _Followed(span, pauses, words)

    def _start(self, span: Span) -> "Future[Utterance | None]":
        first, spans = noise_window([*self.spans, span])
        sound = self._sound.cut(first, span.end)
        return self._thread.submit(read_span, self._reader, sound, spans, first)


def noise_window(spans: list[Span]) -> tuple[int, list[Span]]:
    """Where the half minute before the end of the last span begins, and the spans from there."""
    first = max(0, min(spans[-1].start, spans[-1].end - NOISE_WINDOW))
    near = [Span(max(0, s.start - first), s.end - first) for s in spans if s.end > first]
    return first, near


def read_span(
    reader: Reader, sound: Samples, spans: list[Span], first: int = 0
) -> Utterance | None:
    """Reads the last span of a stretch of sound whose place in the stream is `first`."""
    span = spans[-1]
    snr_db = measure_signal(sound, spans, reader.hearing.signal).snr_db
    start_s = (first + span.start) / SAMPLE_RATE
    return reader.read(sound[span.start : span.end], 0, start_s, snr_db)
