"""Ways in which sound is made worse before it is listened to: noise, room, telephone, distance.

Names: clean; pink15 (or white, babble, hum and any number of decibels of speech over noise);
reverberation; telephone; far. Each is drawn with a seed of its own, the same in every run.
"""

import re
import zlib
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from dictate2exam.errors import InputError
from dictate2exam.synthesis.engines import RATE
from dictate2exam.synthesis.rooms import hum, pink, reverberate, speech_level

Sound = npt.NDArray[np.float32]
CONDITIONS = (
    "clean",
    "pink20",
    "pink15",
    "pink10",
    "babble15",
    "hum15",
    "reverberation",
    "telephone",
    "far",
)
_NOISE = re.compile(r"(pink|white|babble|hum)(-?\d+)")
VOICES_IN_BABBLE = 4
REVERBERATION_S = 0.6
REVERBERATION_LEVEL = 1.0  # of the tail beside the direct sound
FAR_ROOM_S = 0.4
FAR_DB = -24.0
FAR_SNR_DB = 18.0
TELEPHONE_HZ = (300.0, 3400.0)
TELEPHONE_SNR_DB = 25.0
MU = 255.0  # of the companding that telephone lines use (ITU-T G.711)


def check_condition(name: str) -> str:
    """The name itself; InputError where there is no such condition."""
    if name in CONDITIONS or _NOISE.fullmatch(name):
        return name
    raise InputError(
        f"There is no condition {name!r}; there are {', '.join(CONDITIONS)}, and pink, white, "
        f"babble or hum with any number of decibels."
    )


def worsen(sound: Sound, name: str, others: Sequence[Sound], key: str) -> Sound:
    """The sound under a condition; `others` are what babble is made of, `key` seeds the chance.

    Without others the babble is made of the sound itself, from other places.
    """
    check_condition(name)
    if name == "clean":
        return sound
    chance = np.random.default_rng(zlib.crc32(f"{key} {name}".encode()))
    samples: npt.NDArray[np.float64] = sound.astype(np.float64)
    if name == "reverberation":
        made = reverberate(samples, REVERBERATION_S, REVERBERATION_LEVEL, chance)
        made *= speech_level(samples) / max(speech_level(made), 1e-9)
    elif name == "telephone":
        made = _telephone(samples, chance)
    elif name == "far":
        room = reverberate(samples, FAR_ROOM_S, REVERBERATION_LEVEL, chance)
        room *= speech_level(samples) / max(speech_level(room), 1e-9) * 10 ** (FAR_DB / 20)
        made = add_noise(room, pink(len(room), chance), FAR_SNR_DB)
    else:
        found = _NOISE.fullmatch(name)
        assert found is not None
        noise = _noise(found[1], samples, others, chance)
        made = add_noise(samples, noise, float(found[2]))
    return np.asarray(np.clip(made, -1, 1), np.float32)


def add_noise(
    samples: npt.NDArray[np.float64], noise: npt.NDArray[np.float64], snr_db: float
) -> npt.NDArray[np.float64]:
    """The sum, with the speech so many decibels above the noise; softer where it would clip."""
    level = float(np.sqrt(np.mean(noise**2)))
    scale = speech_level(samples) / max(level, 1e-12) * 10 ** (-snr_db / 20)
    mixed = samples + noise * scale
    return np.asarray(mixed * min(1.0, 0.95 / max(float(np.abs(mixed).max()), 1e-9)))


def _noise(
    kind: str,
    samples: npt.NDArray[np.float64],
    others: Sequence[Sound],
    chance: np.random.Generator,
) -> npt.NDArray[np.float64]:
    count = len(samples)
    if kind == "pink":
        return pink(count, chance)
    if kind == "white":
        return chance.standard_normal(count)
    if kind == "hum":
        return hum(count, float(chance.choice([50.0, 60.0])))
    made = np.zeros(count)
    for _ in range(VOICES_IN_BABBLE):
        one = others[int(chance.integers(len(others)))] if others else samples
        talk = np.resize(one, count).astype(np.float64)
        made += np.roll(talk, int(chance.integers(count))) / max(speech_level(talk), 1e-9)
    return made


def _telephone(
    samples: npt.NDArray[np.float64], chance: np.random.Generator
) -> npt.NDArray[np.float64]:
    """Through a line of 8 kHz with its band, its companding to 8 bits and a little noise."""
    import soxr

    narrow = soxr.resample(
        add_noise(samples, pink(len(samples), chance), TELEPHONE_SNR_DB), RATE, 8000
    )
    spectrum = np.fft.rfft(narrow)
    hertz = np.fft.rfftfreq(len(narrow), 1 / 8000)
    spectrum[(hertz < TELEPHONE_HZ[0]) | (hertz > TELEPHONE_HZ[1])] = 0
    narrow = np.clip(np.fft.irfft(spectrum, len(narrow)), -1, 1)
    pressed = np.sign(narrow) * np.log1p(MU * np.abs(narrow)) / np.log1p(MU)
    pressed = np.round(pressed * 127) / 127
    opened = np.sign(pressed) * np.expm1(np.abs(pressed) * np.log1p(MU)) / MU
    wide = soxr.resample(opened, 8000, RATE)
    return np.asarray(np.resize(wide, len(samples)), np.float64)
