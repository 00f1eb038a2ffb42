"""How a voice sounds, in numbers that two utterances can be compared by, with NumPy alone.

The timbre is what a mixture of Gaussians over mel cepstra, fitted to the whole recording, counts in
an utterance (Baum-Welch statistics; a speaker is that mixture adapted to his utterances: Reynolds,
Quatieri and Dunn, Speaker verification using adapted Gaussian mixture models, 2000); so sounds are
compared with like sounds. Beside it the median pitch.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from dictate2exam.speech.base import Samples
from dictate2exam.speech.mel import RATE, log_mel

CEPSTRA = 16
MIXTURES = 16
ROUNDS = 15
RELEVANCE = 16.0  # frames that outweigh the mixture's own mean half
FRAMES_OF_ONE = 12.0  # frames of 10 ms that tell as much as one independent one
LOUD = 1.0  # of log10 mel units below the loudest: frames that count (40 dB)
PITCHES_HZ = (70.0, 380.0)
PITCH_WINDOW = 640
PITCH_STEP = 320
PITCH_SD = 0.12  # of an utterance's median of log pitch, within a speaker
PITCH_AT_MOST = 4.0  # what pitch alone may bring, in natural log

Floats = npt.NDArray[np.float64]
LEAST_FRAMES = 8


def cepstra(samples: Samples) -> Floats:
    """Mel cepstra 1 to 16 of the loud frames of 10 ms, a row each."""
    if len(samples) < RATE // 10:
        return np.zeros((0, CEPSTRA))
    mel = log_mel(samples).T.astype(np.float64)
    level = mel.mean(axis=1)
    mel = mel[level > np.percentile(level, 95) - LOUD * 0.5]
    bands = mel.shape[1]
    place = np.pi * (np.arange(bands) + 0.5) / bands
    basis = np.cos(np.arange(1, CEPSTRA + 1)[:, None] * place[None])
    return np.asarray(mel @ basis.T)


def log_pitch(samples: Samples) -> float:
    """Natural log of the median pitch in hertz; nan where too little is voiced."""
    if len(samples) < 2 * PITCH_WINDOW:
        return float("nan")
    frames = np.lib.stride_tricks.sliding_window_view(samples, PITCH_WINDOW)[::PITCH_STEP]
    frames = frames - frames.mean(axis=1, keepdims=True)
    energy = (frames**2).sum(axis=1)
    frames = frames[energy > 0.05 * np.percentile(energy, 95)] * np.hanning(PITCH_WINDOW)
    spectrum = np.fft.rfft(frames, 2 * PITCH_WINDOW, axis=1)
    alike = np.fft.irfft(np.abs(spectrum) ** 2, axis=1)[:, :PITCH_WINDOW]
    window = np.fft.irfft(np.abs(np.fft.rfft(np.hanning(PITCH_WINDOW), 2 * PITCH_WINDOW)) ** 2)
    first, last = int(RATE / PITCHES_HZ[1]), int(RATE / PITCHES_HZ[0])
    alike = alike / np.maximum(alike[:, :1], 1e-12) / (window[:PITCH_WINDOW] / window[0])
    within = alike[:, first:last]
    best = within.max(axis=1, keepdims=True)
    # A tone is as alike itself after two periods as after one.
    peaks = (within[:, 1:-1] >= within[:, :-2]) & (within[:, 1:-1] >= within[:, 2:])
    lags = first + 1 + np.argmax(peaks & (within[:, 1:-1] > 0.9 * best), axis=1)
    sure = alike[np.arange(len(lags)), lags] > 0.6
    return float(np.log(RATE / np.median(lags[sure]))) if sure.sum() >= 3 else float("nan")


@dataclass(frozen=True)
class Voiceprints:
    """The utterances of a recording in numbers: `counts` (utterances, mixtures) and `sums` of
    whitened cepstra (utterances, mixtures, cepstra), centred on their mixture; `pitch`."""

    counts: Floats
    sums: Floats
    pitch: Floats

    def liken(self, first: Floats, second: Floats) -> Floats:
        """Natural log of how much better each utterance suits the first speaker than the second.

        The speakers are weights of the utterances (0 to 1); no utterance speaks for itself.
        """
        scores = np.zeros(len(self.counts))
        for place in range(len(scores)):
            own = np.arange(len(scores)) != place
            one, two = self._speaker(first * own), self._speaker(second * own)
            linear = ((one - two) * self.sums[place]).sum()
            square = (((one**2 - two**2).sum(axis=1)) * self.counts[place]).sum() / 2
            scores[place] = (linear - square) / FRAMES_OF_ONE
            scores[place] += self._pitch(place, first * own, second * own)
        return scores

    def _speaker(self, weights: Floats) -> Floats:
        counts = (weights[:, None] * self.counts).sum(axis=0)
        sums = (weights[:, None, None] * self.sums).sum(axis=0)
        return np.asarray(sums / (counts + RELEVANCE)[:, None])

    def _pitch(self, place: int, first: Floats, second: Floats) -> float:
        known = ~np.isnan(self.pitch)
        if not known[place] or not (first * known).sum() or not (second * known).sum():
            return 0.0
        far = []
        for weights in (first, second):
            values, shares = self.pitch[known], weights[known]
            order = np.argsort(values)
            middle = values[order][np.searchsorted(np.cumsum(shares[order]), shares.sum() / 2)]
            far.append(((self.pitch[place] - middle) / PITCH_SD) ** 2 / 2)
        return float(np.clip(far[1] - far[0], -PITCH_AT_MOST, PITCH_AT_MOST))


def voiceprints(utterances: Sequence[Samples], seed: int = 1) -> Voiceprints:
    """The voiceprints of the utterances of one recording (mono, 16 kHz)."""
    frames = [cepstra(samples) for samples in utterances]
    every = np.concatenate(frames) if frames else np.zeros((0, CEPSTRA))
    if len(every) < MIXTURES * 10:
        empty = np.zeros((len(utterances), MIXTURES))
        return Voiceprints(empty, np.zeros((*empty.shape, CEPSTRA)), np.full(len(empty), np.nan))
    means, spreads, shares = _mixture(every, seed)
    counts, sums = [], []
    for rows in frames:
        belongs = _belongs(rows, means, spreads, shares)
        counts.append(belongs.sum(axis=0))
        centred = (belongs.T @ rows) - counts[-1][:, None] * means
        sums.append(centred / np.sqrt(spreads))
    pitch = np.array([log_pitch(samples) for samples in utterances])
    return Voiceprints(np.array(counts), np.array(sums), pitch)


def _belongs(rows: Floats, means: Floats, spreads: Floats, shares: Floats) -> Floats:
    """The probability of each frame to be of each mixture."""
    far = ((rows[:, None] - means[None]) ** 2 / spreads[None]).sum(axis=2)
    logs = np.log(shares)[None] - 0.5 * (far + np.log(spreads).sum(axis=1)[None])
    logs -= logs.max(axis=1, keepdims=True) if len(logs) else 0
    chances = np.exp(logs)
    return np.asarray(chances / chances.sum(axis=1, keepdims=True))


def _mixture(rows: Floats, seed: int) -> tuple[Floats, Floats, Floats]:
    """Means, variances and shares of a mixture of Gaussians with diagonal covariance."""
    chance = np.random.default_rng(seed)
    means = rows[chance.choice(len(rows), MIXTURES, replace=False)]
    whole = rows.var(axis=0) + 1e-6
    spreads, shares = np.tile(whole, (MIXTURES, 1)), np.full(MIXTURES, 1 / MIXTURES)
    for _ in range(ROUNDS):
        belongs = _belongs(rows, means, spreads, shares)
        counts = belongs.sum(axis=0) + 1e-3
        means = belongs.T @ rows / counts[:, None]
        spreads = np.maximum(belongs.T @ rows**2 / counts[:, None] - means**2, 0.05 * whole)
        shares = counts / counts.sum()
    return means, spreads, shares
