"""Finds the utterances in sound as it comes: speech between pauses, short enough to be read well.

One path for files and live sound: a file is fed to the same `Endpointer`, which looks back only, so
that both give the same utterances however the sound is cut into pieces. Two judges must agree that
a frame is silent: a voice activity detector, and the level against the noise floor.
"""

from bisect import bisect_left, insort
from collections import deque
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from dictate2exam.audio.model import SAMPLE_RATE

FRAME = 480  # samples, 30 ms
FRAME_S = FRAME / SAMPLE_RATE
SPLIT_PAUSE_S = 0.6  # a pause this long parts two utterances
CUT_PAUSE_S = 0.15  # long speech is cut at pauses from this length on
LONGEST_S = 12.0  # padding included
AIM_S = 8.0  # a cut of long speech looks for its pause around here
PADDING_BEFORE_S = 0.3
PADDING_AFTER_S = 0.3  # known early, so that reading starts before the pause is long enough
PAUSING_S = 0.15  # the utterance may have ended; longer than the stop of most consonants
SHORTEST_SPEECH_S = 0.09  # shorter bursts alone are clicks
ABOVE_FLOOR_DB = 4.0
LOUD_DB = 12.0  # above the floor: sound, whatever the detector says
QUIETEST_DB = -65.0
FLOOR_WINDOW_S = 20.0  # the noise floor is that of the last so many seconds
QUIETEST_WITHIN_S = 2.0  # even fast speech falls to the floor once in so many seconds
WARM_UP_S = 0.9  # heard before the first decision, so that a floor is known
LEVEL_FALL_S = 20.0  # time in which the remembered peak falls to 37%

SPLIT = round(SPLIT_PAUSE_S / FRAME_S)
BEFORE = round(PADDING_BEFORE_S / FRAME_S)
AFTER = round(PADDING_AFTER_S / FRAME_S)
PAUSING = round(PAUSING_S / FRAME_S)
LONGEST = round(LONGEST_S / FRAME_S) - BEFORE - AFTER

Samples = npt.NDArray[np.float32]
Levels = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Span:
    """A stretch of sound in samples: `start` included, `end` not."""

    start: int
    end: int

    @property
    def length_s(self) -> float:
        """Length in seconds."""
        return (self.end - self.start) / SAMPLE_RATE


def frame_levels(samples: Samples) -> Levels:
    """Level of each whole frame of 30 ms in decibels of full scale."""
    frames = samples[: len(samples) // FRAME * FRAME].reshape(-1, FRAME).astype(np.float64)
    frames = frames - frames.mean(axis=1, keepdims=True) if len(frames) else frames
    return np.asarray(10 * np.log10((frames**2).mean(axis=1) + 1e-12))


class _Window:
    """The levels of the last frames, and the noise floor under them.

    The floor is their tenth part from below, and follows at once where a room has become louder.
    """

    def __init__(self) -> None:
        self._frames = round(FLOOR_WINDOW_S / FRAME_S)
        self._order: deque[float] = deque()
        self._sorted: list[float] = []
        self._near: deque[float] = deque(maxlen=round(QUIETEST_WITHIN_S / FRAME_S))

    def add(self, level: float) -> None:
        self._order.append(level)
        self._near.append(level)
        insort(self._sorted, level)
        if len(self._order) > self._frames:
            del self._sorted[bisect_left(self._sorted, self._order.popleft())]

    @property
    def floor(self) -> float:
        if not self._sorted:
            return -120.0
        usual = self._sorted[len(self._sorted) // 10]
        return max(usual, min(self._near)) if len(self._near) == self._near.maxlen else usual


class SpeechDetector:
    """Tells of each frame of 30 ms whether it holds speech, looking back only."""

    def __init__(self) -> None:
        from pocketsphinx import Vad

        self._vad = Vad(mode=Vad.MEDIUM_LOOSE, sample_rate=SAMPLE_RATE, frame_length=FRAME_S)
        self._window = _Window()
        self._waiting: list[Samples] | None = []
        self._peak = 0.0

    def feed(self, frame: Samples) -> list[tuple[bool, float]]:
        """Speech or not, and the level, of every frame decided now: none while warming up."""
        if self._waiting is None:
            return [self._judge(frame, seen=False)]
        self._waiting.append(frame)
        return self.flush() if len(self._waiting) * FRAME_S >= WARM_UP_S else []

    def flush(self) -> list[tuple[bool, float]]:
        """The frames that still wait for the end of warming up."""
        waiting, self._waiting = self._waiting or [], None
        for frame in waiting:
            self._window.add(float(frame_levels(frame)[0]))
            self._peak = max(self._peak, float(np.abs(frame).max()))
        return [self._judge(frame, seen=True) for frame in waiting]

    def _judge(self, frame: Samples, seen: bool) -> tuple[bool, float]:
        level = float(frame_levels(frame)[0])
        if not seen:
            self._window.add(level)
            fallen = self._peak * (1 - FRAME_S / LEVEL_FALL_S)
            self._peak = max(fallen, float(np.abs(frame).max()))
        gain = min(0.7 / self._peak, 30.0) if self._peak > 0 else 1.0
        pcm = (np.clip(frame * gain, -1, 1) * 32767).astype("<i2")
        voiced = bool(self._vad.is_speech(pcm.tobytes()))
        above = level - self._window.floor
        heard = (voiced and above > ABOVE_FLOOR_DB) or above > LOUD_DB
        return heard and level > QUIETEST_DB, level


class Endpointer:
    """Fed with sound in pieces of any size, gives each utterance as soon as its end is sure.

    Spans count samples from the first one fed. They come in order and don't overlap; every frame
    judged to be speech lies in exactly one, lone clicks apart. The sound itself is not kept.
    """

    def __init__(self) -> None:
        self._detector = SpeechDetector()
        self._rest: Samples = np.zeros(0, np.float32)
        self._frame = 0  # number of the next frame to be judged
        self._fed = 0
        self._free = 0  # first sample that no utterance has taken
        self._runs: list[list[int]] = []  # first and after-last frame of speech, not yet given out
        self._levels: list[float] = []  # of the frames since the first of those runs

    def feed(self, samples: Samples) -> list[Span]:
        """The utterances that ended within this sound (mono, 16 kHz)."""
        self._fed += len(samples)
        joined = np.concatenate([self._rest, samples]) if len(self._rest) else samples
        whole = len(joined) // FRAME * FRAME
        self._rest = joined[whole:].copy()
        found: list[Span] = []
        for place in range(0, whole, FRAME):
            for speech, level in self._detector.feed(joined[place : place + FRAME]):
                found += self._take(speech, level)
        return found

    def flush(self) -> list[Span]:
        """The utterance that the end of the sound ends, if any."""
        found: list[Span] = []
        for speech, level in self._detector.flush():
            found += self._take(speech, level)
        if self._runs:
            found += self._close(self._fed)
        return found

    @property
    def likely(self) -> Span | None:
        """The utterance that will be given out unless speech goes on within the next 0.3 s."""
        if not self._runs or self._frame - self._runs[-1][1] < AFTER or self._is_click():
            return None
        return self._span(self._runs, self._fed)

    @property
    def sure(self) -> Span | None:
        """What surely belongs to the utterance that is being spoken, unless it is cut shorter."""
        if not self._runs or self._is_click():
            return None
        return self._span(self._runs, self._frame * FRAME)

    @property
    def pauses(self) -> bool:
        """Whether the utterance that is being spoken may have ended: 0.15 s without speech."""
        return bool(self._runs) and self._frame - self._runs[-1][1] >= PAUSING

    @property
    def pending(self) -> int:
        """First sample that a later utterance may still hold; older sound can be forgotten."""
        first = self._runs[0][0] if self._runs else self._frame
        return max(self._free, (first - BEFORE) * FRAME, 0)

    def _take(self, speech: bool, level: float) -> list[Span]:
        at, self._frame = self._frame, self._frame + 1
        if speech:
            if self._runs and self._runs[-1][1] == at:
                self._runs[-1][1] = at + 1
            else:
                self._runs.append([at, at + 1])
        if not self._runs:
            return []
        self._levels.append(level)
        if self._frame - self._runs[0][0] > LONGEST and speech:
            return self._cut()
        if self._frame - self._runs[-1][1] >= SPLIT:
            return self._close(self._fed)
        return []

    def _is_click(self) -> bool:
        return sum(end - start for start, end in self._runs) * FRAME_S < SHORTEST_SPEECH_S

    def _close(self, last: int) -> list[Span]:
        """Gives out what waits; a lone click is dropped."""
        found = [] if self._is_click() else [self._give(self._runs, last)]
        self._runs, self._levels = [], []
        return found

    def _give(self, runs: list[list[int]], last: int) -> Span:
        span = self._span(runs, last)
        self._free = span.end
        return span

    def _span(self, runs: list[list[int]], last: int) -> Span:
        start = max(self._free, (runs[0][0] - BEFORE) * FRAME, 0)
        end = min(last, (runs[-1][1] + AFTER) * FRAME)
        return Span(start, end)

    def _cut(self) -> list[Span]:
        """Cuts speech that is too long: at its best pause, else at its quietest frame."""
        start = self._runs[0][0]
        best, best_worth = 0, 0.0
        for place, (run, following) in enumerate(pairwise(self._runs), start=1):
            gap = (following[0] - run[1]) * FRAME_S
            off = abs((following[0] + run[1]) / 2 - start - AIM_S / FRAME_S) / LONGEST
            if gap >= CUT_PAUSE_S and gap * (1.2 - off) > best_worth:
                best, best_worth = place, gap * (1.2 - off)
        if best:
            before, after = self._runs[:best], self._runs[best:]
            middle = (before[-1][1] + after[0][0]) // 2
            limit = min(before[-1][1] + AFTER, middle)
        else:
            low = LONGEST // 3
            window = np.convolve(self._levels[low:], np.ones(3) / 3, mode="valid")
            limit = start + low + 1 + int(np.argmin(window))
            before = [[a, min(b, limit)] for a, b in self._runs if a < limit]
            after = [[max(a, limit), b] for a, b in self._runs if b > limit]
        span = self._give(before, limit * FRAME)
        self._runs = after
        self._levels = self._levels[after[0][0] - start :]
        return [span]


def find_utterances(samples: Samples) -> list[Span]:
    """The utterances of a whole recording, as an `Endpointer` fed with it gives them."""
    endpointer = Endpointer()
    return [*endpointer.feed(samples), *endpointer.flush()]


def speech_frames(samples: Samples) -> Flags:
    """Whether each whole frame of 30 ms holds speech, as the `Endpointer` judges them."""
    detector = SpeechDetector()
    judged: list[tuple[bool, float]] = []
    for place in range(0, len(samples) // FRAME * FRAME, FRAME):
        judged += detector.feed(samples[place : place + FRAME])
    judged += detector.flush()
    return np.array([speech for speech, _ in judged], dtype=bool)
