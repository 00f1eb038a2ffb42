"""Reads sound files of any usual kind into one mono 16 kHz recording."""

import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.audio.model import SAMPLE_RATE, Recording
from dictate2exam.errors import AudioError

SILENCE = 3e-4  # loudest stretch's root mean square, about -70 dB of full scale
STRETCH = 1_600  # samples, 0.1 s
SHORTEST_S = 0.1

Samples = npt.NDArray[np.float32]


def load_recording(paths: Sequence[Path]) -> Recording:
    """Joins files in order: WAV, FLAC, MP3, OGG, Opus, M4A or AAC, any rate and channels.

    Raises AudioError, naming the file, for what is missing, unreadable, empty or silent.
    """
    if not paths:
        raise AudioError("No sound file was given; name at least one.")
    parts: list[Samples] = []
    digests: list[str] = []
    for path in map(Path, paths):
        parts.append(_read(path))
        digests.append(hashlib.sha256(path.read_bytes()).hexdigest())
    return Recording(
        samples=np.concatenate(parts),
        source=tuple(str(path) for path in paths),
        sha256=tuple(digests),
    )


def _read(path: Path) -> Samples:
    if path.is_dir():
        raise AudioError(f"{path} is a folder; give the sound file itself.")
    if not path.exists():
        raise AudioError(f"The sound file {path} does not exist; check its name.")
    try:
        size = path.stat().st_size
        with path.open("rb") as handle:
            handle.read(1)
    except OSError as error:
        raise AudioError(f"The sound file {path} cannot be read: {error.strerror}.") from None
    if size == 0:
        raise AudioError(f"The sound file {path} is empty (0 bytes); record or export it again.")
    channels, rate = _decode(path)
    samples = _mono_16k(channels, rate)
    if len(samples) < SHORTEST_S * SAMPLE_RATE:
        raise AudioError(f"The sound file {path} holds no sound (shorter than {SHORTEST_S} s).")
    if loudest(samples) < SILENCE:
        raise AudioError(
            f"The sound file {path} is silent; check that the microphone was on and chosen."
        )
    return samples


def _decode(path: Path) -> tuple[Samples, int]:
    """Samples by channels, and their rate."""
    import soundfile

    try:
        samples, rate = soundfile.read(str(path), dtype="float32", always_2d=True)
        return samples, int(rate)
    except soundfile.LibsndfileError:
        pass
    except (RuntimeError, TypeError, ValueError):
        pass
    from dictate2exam.audio.mp4 import read_aac

    found = read_aac(path)
    if found is None:
        raise AudioError(
            f"{path} is no sound file that can be read; give WAV, FLAC, MP3, OGG, Opus, M4A or AAC."
        )
    return found


def _mono_16k(channels: Samples, rate: int) -> Samples:
    """One channel at 16 kHz: the mean of the channels that carry sound."""
    finite = np.nan_to_num(channels, nan=0.0, posinf=0.0, neginf=0.0)
    if finite.shape[1] > 1:
        power = np.sqrt((finite.astype(np.float64) ** 2).mean(axis=0))
        finite = finite[:, power > 0.01 * power.max()] if power.max() > 0 else finite
    mono: Any = finite.mean(axis=1)
    if rate != SAMPLE_RATE:
        import soxr

        mono = soxr.resample(mono, rate, SAMPLE_RATE, quality="HQ")
    return np.clip(np.asarray(mono, dtype=np.float32), -1.0, 1.0)


def loudest(samples: Samples) -> float:
    """Root mean square of the loudest tenth of a second."""
    whole = len(samples) // STRETCH * STRETCH
    if whole == 0:
        return float(np.sqrt(np.mean(samples.astype(np.float64) ** 2))) if len(samples) else 0.0
    steady = samples[:whole].reshape(-1, STRETCH).astype(np.float64)
    steady = steady - steady.mean(axis=1, keepdims=True)  # a constant offset is no sound
    return float(np.sqrt((steady**2).mean(axis=1)).max())
