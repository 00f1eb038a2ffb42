"""Makes the sound of the sample examinations: python tests/samples/make_audio.py FOLDER [NAME...]

For each NAME.toml in FOLDER it reads NAME.script.txt, speaks it sentence by sentence with the
voices named there, adds pauses, changes of level, a small room and room noise, and writes
NAME.flac (16 kHz, mono) and NAME.times.csv (first and last second of each script line). A blank
line of the script is a long pause. The same seed gives the same pauses, levels, room and noise;
piper varies its own voice a little from run to run.
"""

import csv
import re
import sys
from pathlib import Path
from typing import Any

import numpy as np
import soundfile
from voices import RATE, say, tomllib

SENTENCE = re.compile(r"(?<=[.?!])\s+")


def pink(count: int, chance: np.random.Generator) -> np.ndarray:
    """Pink noise of unit power: white noise shaped by one over the root of frequency."""
    spectrum = np.fft.rfft(chance.standard_normal(count))
    shape = 1 / np.sqrt(np.maximum(np.fft.rfftfreq(count, 1 / RATE), 20.0))
    noise = np.fft.irfft(spectrum * shape, count)
    return noise / np.sqrt(np.mean(noise**2))


def room(samples: np.ndarray, seconds: float, wet: float, chance: np.random.Generator) -> Any:
    """The sound with a decaying tail: reverberation time in seconds, `wet` its level beside 1."""
    count = int(seconds * RATE)
    decay = 10 ** (-3 * np.arange(count) / count)
    tail = chance.standard_normal(count) * decay
    tail *= wet / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    size = 1 << int(np.ceil(np.log2(len(samples) + count)))
    mixed = np.fft.irfft(np.fft.rfft(samples, size) * np.fft.rfft(tail, size), size)
    return mixed[: len(samples) + count]


def speak(
    script: list[str], plan: dict[str, Any], chance: np.random.Generator
) -> tuple[np.ndarray, np.ndarray, list[tuple[int, float, float]]]:
    """The script as clean sound, where somebody speaks, and the seconds of each line."""
    parts: list[np.ndarray] = []
    spoken: list[np.ndarray] = []
    times: list[tuple[int, float, float]] = []
    length = 0

    def add(samples: np.ndarray, voice: bool) -> None:
        nonlocal length
        parts.append(samples)
        spoken.append(np.full(len(samples), voice))
        length += len(samples)

    def pause(low: float, high: float) -> None:
        add(np.zeros(int(chance.uniform(low, high) * RATE)), False)

    pause(0.6, 1.0)
    for number, line in enumerate(script, start=1):
        if not line.strip():
            pause(*plan["pauses"]["blank_line_s"])
            continue
        speaker, text = line.split(":", 1)
        voice = plan["voices"][speaker.strip().lower()]
        started = length
        for position, sentence in enumerate(SENTENCE.split(text.strip())):
            if position:
                pause(*plan["pauses"]["sentence_s"])
            rate = voice.get("rate", 1.0) * chance.uniform(0.96, 1.05)
            samples = say(sentence, voice["engine"], voice["voice"], rate)
            spread = plan["level_spread_db"]
            gain = voice.get("level_db", 0.0) + chance.uniform(-spread, spread)
            power = np.sqrt(np.mean(samples**2))
            add(samples * (0.07 / power) * 10 ** (gain / 20), True)
        times.append((number, started / RATE, length / RATE))
        pause(*plan["pauses"]["line_s"])
    return np.concatenate(parts), np.concatenate(spoken), times


def make(folder: Path, name: str) -> None:
    """Writes the sound and the times of one sample."""
    plan = tomllib.loads((folder / f"{name}.toml").read_text(encoding="utf-8"))["sound"]
    script = (folder / f"{name}.script.txt").read_text(encoding="utf-8").splitlines()
    chance = np.random.default_rng(plan["seed"])
    clean, spoken, times = speak(script, plan, chance)
    level = np.sqrt(np.mean(clean[spoken] ** 2))
    wet = room(clean, plan["room_s"], plan["room_level"], chance)
    hum = np.sin(2 * np.pi * plan["hum_hz"] * np.arange(len(wet)) / RATE)
    noise = pink(len(wet), chance) + 0.3 * hum
    noise *= level / np.sqrt(np.mean(noise**2)) * 10 ** (-plan["snr_db"] / 20)
    mixed = wet + noise
    mixed *= min(1.0, 0.95 / np.abs(mixed).max())
    soundfile.write(folder / f"{name}.flac", mixed, RATE, subtype="PCM_16")
    with (folder / f"{name}.times.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["line", "start_s", "end_s"])
        writer.writerows([n, f"{start:.2f}", f"{end:.2f}"] for n, start, end in times)
    size = (folder / f"{name}.flac").stat().st_size / 1e6
    print(f"{name}: {len(mixed) / RATE:.0f} s, {size:.1f} MB")


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit("usage: python make_audio.py FOLDER [NAME...]")
    home = Path(sys.argv[1])
    for wanted in sys.argv[2:] or sorted(path.stem for path in home.glob("*.toml")):
        make(home, wanted)
