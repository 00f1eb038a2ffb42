"""Speech mixed with noise at a stated level, sent through rooms and telephones.

The level of speech is the mean power of its loud frames (within 25 dB of the loudest), that of
noise the mean power of all of it, both above 100 Hz.
"""

import shutil
import subprocess
import tempfile
from functools import lru_cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

from dictate2exam.audio.load import load_recording

RATE = 16_000
Sound = npt.NDArray[np.float64]

LINES = (
    "deltoid four plus and biceps three",
    "the infraspinatus is three out of five",
    "sensation in the little finger is seven out of ten",
    "there is no winging of the scapula on the right",
    "push your hand up to the ceiling for me please",
    "triceps five wrist extension four",
    "brachioradialis is two and the supinator is three",
    "flexor carpi ulnaris four minus, adductor pollicis four",
)
TALK = (
    "we went to the market in the morning and bought apples and some bread for the children",
    "could you tell her that the meeting was moved to the other room upstairs after lunch",
    "it was raining all day yesterday so nobody came to the garden party we had planned",
    "please bring me the green folder from the desk in the office next to the window",
)
VOICES = (("flite", "slt"), ("flite", "rms"), ("espeak-ng", "en-gb"), ("espeak-ng", "en-us+f3"))
TALKERS = (
    ("espeak-ng", "en-gb+f2"),
    ("espeak-ng", "en-us+m3"),
    ("flite", "awb"),
    ("espeak-ng", "en-gb-scotland"),
    ("espeak-ng", "en-us+f4"),
    ("flite", "kal16"),
)
PAUSES = {"with pauses": (0.8, 1.6), "hardly a pause": (0.02, 0.12)}


def can_speak() -> bool:
    """Whether the programs that make the voices are there."""
    return bool(shutil.which("flite") and shutil.which("espeak-ng"))


@lru_cache(maxsize=64)
def said(text: str, engine: str, voice: str) -> Sound:
    """One line by one voice, peak at 1."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "said.wav"
        commands = {
            "flite": ["flite", "-voice", voice, "-t", text, "-o", str(out)],
            "espeak-ng": ["espeak-ng", "-v", voice, "-w", str(out), text],
        }
        subprocess.run(commands[engine], check=True, capture_output=True)
        sound = load_recording([out]).samples.astype(np.float64)
    loud = np.flatnonzero(np.abs(sound) > 0.01 * np.abs(sound).max())
    return np.asarray(sound[loud[0] : loud[-1] + 800] / np.abs(sound).max())


def speech(engine: str, voice: str, gap_s: tuple[float, float], seed: int = 1) -> Sound:
    """The lines in a drawn order with pauses drawn between two lengths in seconds."""
    rng = np.random.default_rng(seed)
    parts = [np.zeros(int(RATE * gap_s[0]))]
    for place in rng.permutation(len(LINES)):
        level = 0.3 * 10 ** (rng.normal(0, 2) / 20)
        parts += [
            said(LINES[place], engine, voice) * level,
            np.zeros(int(RATE * rng.uniform(*gap_s))),
        ]
    return np.concatenate(parts)


def highpass(sound: Sound, hertz: float = 100.0, top: float = RATE / 2) -> Sound:
    """What lies between two frequencies, cut sharply."""
    spectrum = np.fft.rfft(sound)
    place = np.fft.rfftfreq(len(sound), 1 / RATE)
    spectrum[(place < hertz) | (place > top)] = 0
    return np.asarray(np.fft.irfft(spectrum, len(sound)))


def speech_level(sound: Sound) -> float:
    """Decibels of the loud frames of clean speech above 100 Hz."""
    cut = highpass(sound)
    power = (cut[: len(cut) // 480 * 480].reshape(-1, 480) ** 2).mean(axis=1) + 1e-12
    loud = power > 10 ** ((10 * np.log10(np.percentile(power, 95)) - 25) / 10)
    return float(10 * np.log10(power[loud].mean()))


def noise(kind: str, count: int, seed: int = 2) -> Sound:
    """Pink noise, babble of six or three talkers, or mains hum with its overtones."""
    rng = np.random.default_rng(seed)
    if kind == "pink":
        spectrum = np.fft.rfft(rng.normal(size=count))
        place = np.arange(len(spectrum)).clip(1)
        return np.asarray(np.fft.irfft(spectrum / np.sqrt(place), count))
    if kind == "hum":
        time = np.arange(count) / RATE
        return np.asarray(
            sum(
                np.sin(2 * np.pi * 50 * k * time + rng.uniform(0, 6)) / k
                for k in (1, 2, 3, 5, 7, 9)
            )
        )
    total = np.zeros(count)
    for place in range(3 if kind == "babble of three" else 6):
        talk = said(TALK[place % len(TALK)], *TALKERS[place])
        talk = talk / np.sqrt((talk**2).mean())
        total += np.resize(np.roll(talk, rng.integers(len(talk))), count)
    return total


def mix(sound: Sound, kind: str, snr_db: float, seed: int = 2) -> npt.NDArray[np.float32]:
    """The speech with noise so many decibels below it, and a little white noise of a microphone."""
    other = noise(kind, len(sound), seed)
    level = speech_level(sound)
    own = 10 * np.log10((highpass(other) ** 2).mean())
    white = np.random.default_rng(seed).normal(size=len(sound)) * 10 ** ((level - 55) / 20)
    made = sound + other * 10 ** ((level - own - snr_db) / 20) + white
    return np.asarray(made / np.abs(made).max() * 0.5, dtype=np.float32)


def telephone(sound: Sound) -> Sound:
    """The band of a telephone, 300 to 3400 Hz (ITU-T G.712)."""
    return highpass(sound, 300.0, 3400.0)


def room(sound: Sound, seconds: float, direct: float, seed: int = 3) -> Sound:
    """The sound in a room that takes so long to decay by 60 dB; `direct` is the near share."""
    rng = np.random.default_rng(seed)
    count = int(seconds * RATE)
    tail = rng.normal(size=count) * np.exp(-6.9 * np.arange(count) / count) * 0.03
    tail[0] = direct
    size = len(sound) + count
    made = np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(tail, size), size)
    return np.asarray(made[: len(sound)])
