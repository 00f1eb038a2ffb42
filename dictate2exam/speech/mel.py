"""Log-mel spectrograms as the neural listener's encoder expects them, with NumPy alone."""

from functools import lru_cache

import numpy as np
import numpy.typing as npt

RATE = 16000
WINDOW = 400  # samples, 25 ms
STEP = 160  # samples, 10 ms
BANDS = 80

Mel = npt.NDArray[np.float32]


@lru_cache(maxsize=1)
def mel_filters() -> Mel:
    """Triangular filters (80, 201) on Slaney's mel scale, each of unit area."""

    def mel(hertz: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        high = 15 + np.log(np.maximum(hertz, 1000) / 1000) / (np.log(6.4) / 27)
        return np.asarray(np.where(hertz < 1000, hertz * 3 / 200, high))

    def hertz(mels: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        high = 1000 * np.exp((np.log(6.4) / 27) * (mels - 15))
        return np.asarray(np.where(mels < 15, mels * 200 / 3, high))

    bins = np.linspace(0, RATE / 2, WINDOW // 2 + 1)
    top = float(mel(np.array([RATE / 2]))[0])
    edges = hertz(np.linspace(0, top, BANDS + 2))
    rise = (bins[None] - edges[:-2, None]) / (edges[1:-1] - edges[:-2])[:, None]
    fall = (edges[2:, None] - bins[None]) / (edges[2:] - edges[1:-1])[:, None]
    area = 2 / (edges[2:] - edges[:-2])
    return np.asarray(np.maximum(0, np.minimum(rise, fall)) * area[:, None], np.float32)


def log_mel(samples: npt.NDArray[np.float32]) -> Mel:
    """(80, frames of 10 ms) of mono 16 kHz sound, the range below the loudest cut at 80 dB."""
    padded = np.pad(samples.astype(np.float32), WINDOW // 2, mode="reflect")
    frames = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)[::STEP][:-1]
    window = (0.5 - 0.5 * np.cos(2 * np.pi * np.arange(WINDOW) / WINDOW)).astype(np.float32)
    power = np.abs(np.fft.rfft(frames * window, axis=1)).astype(np.float32) ** 2
    logs = np.log10(np.maximum(mel_filters() @ power.T, 1e-10))
    logs = np.maximum(logs, logs.max() - 8)
    return np.asarray((logs + 4) / 4, np.float32)
