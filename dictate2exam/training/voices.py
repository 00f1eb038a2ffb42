"""Speaks the units of `text`: `python -m dictate2exam.training.voices units.jsonl --out FOLDER`.

Voices are those of `dictate2exam.synthesis`, locked ones refused; pace, pitch, liveliness and
accent vary from unit to unit. Sound goes to FOLDER as 16 kHz mono files of joined units with an
index (`*.jsonl`: file, start and end sample, text, kind, voice); with --raw as int16 arrays, else
as Ogg Opus, small enough to carry about.
"""

import argparse
import json
import multiprocessing
import random
import subprocess
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.synthesis.engines import RATE, Manner, Sound, build_speaker, trim
from dictate2exam.synthesis.voices import is_locked


def speak_part(voice: str, part: int, units: list[dict[str, str]], out: Path, raw: bool) -> None:
    """Speaks some units with one voice into one file of sound and its index."""
    import soundfile

    engine, name = voice.split(":", 1)
    speak = build_speaker(voice)
    chance = random.Random(f"{voice} {part}")
    stem = out / f"{engine}_{Path(name).stem.replace('+', '_')}_{part:06d}"
    sounds: list[Sound] = []
    index: list[dict[str, Any]] = []
    at = 0
    for unit in units:
        try:
            sound = trim(speak(unit["say"], Manner.drawn(engine, chance)))
        except (subprocess.SubprocessError, OSError, RuntimeError):
            continue
        if not 0.15 * RATE < len(sound) < 14 * RATE:
            continue
        index.append(
            {"file": stem.name, "start": at, "end": at + len(sound), "voice": voice}
            | {key: unit[key] for key in ("text", "kind")}
        )
        sounds.append(sound)
        at += len(sound)
    if not sounds:
        return
    joined = np.concatenate(sounds)
    if raw:
        np.save(stem.with_suffix(".npy"), (joined * 32767).astype(np.int16))
    else:
        with soundfile.SoundFile(
            stem.with_suffix(".opus"), "w", RATE, 1, "OPUS", format="OGG", compression_level=0.975
        ) as file:
            for start in range(0, at, RATE * 5):  # one long write can exhaust the encoder's stack
                file.write(joined[start : start + RATE * 5])
    with stem.with_suffix(".jsonl").open("w", encoding="utf-8") as handle:
        handle.writelines(json.dumps(row) + "\n" for row in index)


def main() -> None:
    """Shares the units out over the voices and speaks them in `--jobs` processes."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("units", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--voices", nargs="+", required=True)
    parser.add_argument("--first", type=int, default=0, help="number of the first unit to speak")
    parser.add_argument("--each", type=int, default=400, help="units for every voice")
    parser.add_argument("--same", action="store_true", help="every voice says the same units")
    parser.add_argument("--raw", action="store_true")
    parser.add_argument("--chunk", type=int, default=200, help="units joined in one file")
    parser.add_argument("--jobs", type=int, default=1)
    given = parser.parse_args()
    for voice in filter(is_locked, given.voices):
        parser.error(f"{voice} is locked: it is measured on and never learnt from.")
    units = [json.loads(line) for line in given.units.read_text(encoding="utf-8").splitlines()]
    given.out.mkdir(parents=True, exist_ok=True)
    tasks = []
    at = given.first
    for voice in given.voices:
        for done in range(0, given.each, given.chunk):
            size = min(given.chunk, given.each - done)
            some = [units[(at + k) % len(units)] for k in range(size)]
            tasks.append((voice, at, some, given.out, given.raw))
            at += size
        if given.same:
            at = given.first
    with multiprocessing.Pool(given.jobs) as pool:
        pool.starmap(speak_part, tasks, chunksize=1)


if __name__ == "__main__":
    main()
