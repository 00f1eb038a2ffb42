"""Finds the utterances in sound: speech between pauses, none longer than can be read well.

One pure function over samples, for files and live sound alike. Two judges must agree that a frame
is silent: a voice activity detector, and the level against the noise floor.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from dictate2exam.audio.model import SAMPLE_RATE

FRAME = 480  # samples, 30 ms
FRAME_S = FRAME / SAMPLE_RATE
SPLIT_PAUSE_S = 0.6  # a pause this long parts two utterances
CUT_PAUSE_S = 0.15  # long speech is cut at pauses from this length on
LONGEST_S = 12.0
AIM_S = 8.0  # a cut of long speech looks for its pause around here
PADDING_S = 0.3
SHORTEST_SPEECH_S = 0.09  # shorter bursts alone are clicks
ABOVE_FLOOR_DB = 4.0
LOUD_DB = 12.0  # above the floor: sound, whatever the detector says
QUIETEST_DB = -65.0

Samples = npt.NDArray[np.float32]
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


def frame_levels(samples: Samples) -> npt.NDArray[np.float64]:
    """Level of each whole frame of 30 ms in decibels of full scale."""
    frames = samples[: len(samples) // FRAME * FRAME].reshape(-1, FRAME).astype(np.float64)
    frames = frames - frames.mean(axis=1, keepdims=True) if len(frames) else frames
    return np.asarray(10 * np.log10((frames**2).mean(axis=1) + 1e-12))


def noise_floor(levels: npt.NDArray[np.float64]) -> float:
    """The level of the quiet frames (tenth percentile) in decibels of full scale."""
    return float(np.percentile(levels, 10)) if len(levels) else -120.0


def speech_frames(samples: Samples) -> Flags:
    """Whether each frame of 30 ms holds speech."""
    from pocketsphinx import Vad

    levels = frame_levels(samples)
    if not len(levels):
        return np.zeros(0, dtype=bool)
    floor = noise_floor(levels)
    peak = float(np.abs(samples).max()) or 1.0
    gain = min(0.7 / peak, 30.0)
    pcm = (np.clip(samples * gain, -1, 1) * 32767).astype("<i2")
    detector = Vad(mode=Vad.MEDIUM_LOOSE, sample_rate=SAMPLE_RATE, frame_length=FRAME_S)
    voiced = np.fromiter(
        (
            bool(detector.is_speech(pcm[place : place + FRAME].tobytes()))
            for place in range(0, len(levels) * FRAME, FRAME)
        ),
        dtype=bool,
        count=len(levels),
    )
    heard = (voiced & (levels > floor + ABOVE_FLOOR_DB)) | (levels > floor + LOUD_DB)
    steady = floor > -45 and float(np.percentile(levels, 95)) < floor + ABOVE_FLOOR_DB + 2
    if steady:  # speech without a pause has no floor to rise above
        heard = voiced
    return np.asarray(heard & (levels > QUIETEST_DB))


def _runs(flags: Flags) -> list[tuple[int, int]]:
    """First and after-last index of each run of true flags."""
    edges = np.diff(np.concatenate(([0], flags.astype(np.int8), [0])))
    return list(
        zip(np.flatnonzero(edges == 1).tolist(), np.flatnonzero(edges == -1).tolist(), strict=True)
    )


def _drop_clicks(runs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Drops short bursts that stand alone; next to speech they may be the end of a word."""
    reach = SPLIT_PAUSE_S / FRAME_S
    kept = []
    for place, (start, end) in enumerate(runs):
        near_before = place > 0 and start - runs[place - 1][1] < reach
        near_after = place + 1 < len(runs) and runs[place + 1][0] - end < reach
        if (end - start) * FRAME_S >= SHORTEST_SPEECH_S or near_before or near_after:
            kept.append((start, end))
    return kept


def _cut(
    group: list[tuple[int, int]], levels: npt.NDArray[np.float64]
) -> list[list[tuple[int, int]]]:
    """Cuts a group of runs that is too long: at the best pause, else at the quietest frame."""
    start, end = group[0][0], group[-1][1]
    if (end - start) * FRAME_S <= LONGEST_S:
        return [group]
    aim = start + AIM_S / FRAME_S
    reach = LONGEST_S / FRAME_S
    best, best_worth = 0, 0.0
    for place in range(1, len(group)):
        gap = (group[place][0] - group[place - 1][1]) * FRAME_S
        middle = (group[place][0] + group[place - 1][1]) / 2
        off = abs(middle - aim) / reach
        if gap >= CUT_PAUSE_S and middle - start <= reach and gap * (1.2 - off) > best_worth:
            best, best_worth = place, gap * (1.2 - off)
    if best:
        return [group[:best], *_cut(group[best:], levels)]
    low, high = start + int(reach / 3), start + int(reach)
    window = np.convolve(levels[low:high], np.ones(3) / 3, mode="same")
    quiet = low + 1 + int(np.argmin(window[1:-1]))
    before = [(a, min(b, quiet)) for a, b in group if a < quiet]
    after = [(max(a, quiet), b) for a, b in group if b > quiet]
    return [before, *_cut(after, levels)]


def find_utterances(samples: Samples) -> list[Span]:
    """The utterances in order, not overlapping, each with up to 0.3 s of pause around it.

    Every frame judged to be speech lies in exactly one utterance, lone clicks apart.
    """
    levels = frame_levels(samples)
    runs = _drop_clicks(_runs(speech_frames(samples)))
    if not runs:
        return []
    groups: list[list[tuple[int, int]]] = [[runs[0]]]
    for run in runs[1:]:
        if (run[0] - groups[-1][-1][1]) * FRAME_S >= SPLIT_PAUSE_S:
            groups.append([run])
        else:
            groups[-1].append(run)
    pieces = [piece for group in groups for piece in _cut(group, levels)]
    padding = int(PADDING_S * SAMPLE_RATE)
    spans = []
    for place, piece in enumerate(pieces):
        start, end = piece[0][0] * FRAME, piece[-1][1] * FRAME
        before = (start - pieces[place - 1][-1][1] * FRAME) // 2 if place else start
        after = (
            (pieces[place + 1][0][0] * FRAME - end) - (pieces[place + 1][0][0] * FRAME - end) // 2
            if place + 1 < len(pieces)
            else len(samples) - end
        )
        spans.append(Span(start - min(padding, before), end + min(padding, after)))
    return spans
