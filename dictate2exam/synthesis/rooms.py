"""What a room does to a voice: noise that falls with frequency, hum of the mains, reverberation."""

import numpy as np
import numpy.typing as npt

from dictate2exam.synthesis.engines import RATE

Samples = npt.NDArray[np.float64]
FRAME = 320  # samples, 20 ms
BELOW_LOUD_DB = 30.0


def pink(count: int, chance: np.random.Generator) -> Samples:
    """Pink noise of unit power: white noise shaped by one over the root of frequency."""
    spectrum = np.fft.rfft(chance.standard_normal(count))
    shape = 1 / np.sqrt(np.maximum(np.fft.rfftfreq(count, 1 / RATE), 20.0))
    noise = np.fft.irfft(spectrum * shape, count)
    return np.asarray(noise / np.sqrt(np.mean(noise**2)))


def hum(count: int, hertz: float, overtones: int = 5) -> Samples:
    """Hum of unit power: the mains and its overtones, each weaker than the one before."""
    time = np.arange(count) / RATE
    waves = [np.sin(2 * np.pi * hertz * k * time) / k for k in range(1, overtones + 1)]
    sound = np.sum(waves, axis=0)
    return np.asarray(sound / np.sqrt(np.mean(sound**2)))


def reverberate(
    samples: npt.NDArray[np.floating], seconds: float, wet: float, chance: np.random.Generator
) -> Samples:
    """The sound with a decaying tail: reverberation time in seconds, `wet` its level beside 1."""
    count = int(seconds * RATE)
    tail = chance.standard_normal(count) * 10 ** (-3 * np.arange(count) / count)
    tail *= wet / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    size = 1 << int(np.ceil(np.log2(len(samples) + count)))
    mixed = np.fft.irfft(np.fft.rfft(samples, size) * np.fft.rfft(tail, size), size)
    return np.asarray(mixed[: len(samples)])


def speech_level(samples: npt.NDArray[np.floating]) -> float:
    """Root mean square of the frames (20 ms) that lie within 30 dB of the loud ones."""
    frames = samples[: len(samples) // FRAME * FRAME].reshape(-1, FRAME).astype(np.float64)
    if not len(frames):
        return 0.0
    power = (frames**2).mean(axis=1)
    loud = power > np.percentile(power, 95) * 10 ** (-BELOW_LOUD_DB / 10)
    return float(np.sqrt(power[loud].mean())) if loud.any() else 0.0
