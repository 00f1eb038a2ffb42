"""Speaks the units of `text`: `python -m dictate2exam.training.voices units.jsonl --out FOLDER`.

A voice is `engine:name`: flite:slt, espeak:en-gb+f3, festival:ked_diphone, piper:FILE.onnx, or
kokoro:NAME+NAME (the mean of two styles). Pace and pitch vary from unit to unit. Sound goes to
FOLDER as 16 kHz mono files of joined units with an index (`*.jsonl`: file, start and end sample,
text, kind, voice); with --raw as int16 arrays, else as Ogg Opus, small enough to carry about.
The synthesisers are programs and packages of their own and no part of this package's needs.
"""

import argparse
import json
import multiprocessing
import os
import random
import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

Sound = npt.NDArray[np.float32]
RATE = 16000
# espeak's phonemes in the letters that Kokoro's were trained on.
KOKORO_LETTERS = (
    ("tʃ", "ʧ"), ("dʒ", "ʤ"), ("eɪ", "A"), ("aɪ", "I"), ("aʊ", "W"), ("oʊ", "O"), ("əʊ", "Q"),
    ("ɔɪ", "Y"), ("əl", "ᵊl"), ("r", "ɹ"), ("ɚ", "əɹ"), ("ɜː", "ɜɹ"), ("ː", ""), ("e", "A"),
    ("ɐ", "ə"),
)  # fmt: skip


def _resample(sound: Sound, rate: int) -> Sound:
    import soxr

    return sound if rate == RATE else np.asarray(soxr.resample(sound, rate, RATE), np.float32)


def _run(command: list[str], feed: str | None = None) -> Sound:
    import soundfile

    with tempfile.NamedTemporaryFile(suffix=".wav") as target:
        full = [part.replace("@OUT", target.name) for part in command]
        subprocess.run(full, input=feed, text=True, capture_output=True, timeout=60, check=True)
        sound, rate = soundfile.read(target.name, dtype="float32")
    return _resample(sound, rate)


def _flite(name: str) -> Callable[[str, random.Random], Sound]:
    def speak(say: str, chance: random.Random) -> Sound:
        stretch = f"duration_stretch={chance.uniform(0.78, 1.25):.2f}"
        return _run(["flite", "-voice", name, "--setf", stretch, "-t", say, "-o", "@OUT"])

    return speak


def _espeak(name: str) -> Callable[[str, random.Random], Sound]:
    def speak(say: str, chance: random.Random) -> Sound:
        pace, pitch = str(chance.randint(120, 210)), str(chance.randint(20, 80))
        return _run(["espeak-ng", "-v", name, "-s", pace, "-p", pitch, "-w", "@OUT", say])

    return speak


def _festival(name: str) -> Callable[[str, random.Random], Sound]:
    def speak(say: str, chance: random.Random) -> Sound:
        stretch = f"(Parameter.set 'Duration_Stretch {chance.uniform(0.85, 1.2):.2f})"
        return _run(["text2wave", "-eval", f"(voice_{name})", "-eval", stretch, "-o", "@OUT"], say)

    return speak


def _piper(path: str) -> Callable[[str, random.Random], Sound]:
    from piper import PiperVoice, SynthesisConfig  # type: ignore[import-not-found,unused-ignore]

    voice = PiperVoice.load(path)
    voice.session = _session(path)

    def speak(say: str, chance: random.Random) -> Sound:
        shape = SynthesisConfig(
            length_scale=chance.uniform(0.75, 1.3),
            noise_scale=chance.uniform(0.4, 1.0),
            noise_w_scale=chance.uniform(0.5, 1.1),
        )
        parts = [chunk.audio_float_array for chunk in voice.synthesize(say, shape)]
        return _resample(np.concatenate(parts).astype(np.float32), voice.config.sample_rate)

    return speak


def _session(path: str) -> Any:
    """A model on one thread; threads that wait for each other cost more than they bring."""
    import onnxruntime  # type: ignore[import-not-found,unused-ignore]

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = 1
    return onnxruntime.InferenceSession(path, options, providers=["CPUExecutionProvider"])


def _kokoro(name: str) -> Callable[[str, random.Random], Sound]:
    """The model's file and folder of styles are named by DICTATE2EXAM_KOKORO=MODEL:FOLDER."""
    model, folder = os.environ["DICTATE2EXAM_KOKORO"].split(":")
    session = _session(model)
    letters: dict[str, int] = json.loads((Path(folder) / "vocab.json").read_text())["vocab"]
    styles = np.load(Path(folder) / "voices_ja.npz")
    style = np.mean([styles[part] for part in name.split("+")], axis=0)

    def speak(say: str, chance: random.Random) -> Sound:
        accent = chance.choice(("en-us", "en-gb"))
        tokens: list[int] = []
        for clause in say.split(","):
            command = ["espeak-ng", "-q", "--ipa", "-v", accent, clause]
            heard = subprocess.run(command, capture_output=True, text=True, check=True).stdout
            for old, new in KOKORO_LETTERS:
                heard = heard.replace(old, new)
            tokens += [letters[c] for c in " ".join(heard.split()) if c in letters]
            tokens += [letters[","], letters[" "]]
        tokens = [*tokens[:-2], letters["."]]
        feeds: dict[str, Any] = {
            "tokens": np.array([[0, *tokens, 0]], np.int64),
            "style": style[min(len(tokens), len(style) - 1)].reshape(1, 256).astype(np.float32),
            "speed": np.array([chance.uniform(0.85, 1.3)], np.float32),
        }
        return _resample(np.asarray(session.run(None, feeds)[0], np.float32).ravel(), 24000)

    return speak


ENGINES = {
    "flite": _flite,
    "espeak": _espeak,
    "festival": _festival,
    "piper": _piper,
    "kokoro": _kokoro,
}


def trim(sound: Sound, keep_s: float = 0.06) -> Sound:
    """Without the silence at both ends but for `keep_s` seconds; peak at 0.9."""
    loud = np.flatnonzero(np.abs(sound) > 0.02 * max(1e-6, float(np.abs(sound).max())))
    if not len(loud):
        return sound[:0]
    keep = int(keep_s * RATE)
    cut = sound[max(0, loud[0] - keep) : loud[-1] + keep]
    return np.asarray(cut * (0.9 / np.abs(cut).max()), np.float32)


def speak_part(voice: str, part: int, units: list[dict[str, str]], out: Path, raw: bool) -> None:
    """Speaks some units with one voice into one file of sound and its index."""
    import soundfile

    engine, name = voice.split(":", 1)
    speak = ENGINES[engine](name)
    chance = random.Random(f"{voice} {part}")
    stem = out / f"{engine}_{Path(name).stem.replace('+', '_')}_{part:06d}"
    sounds: list[Sound] = []
    index: list[dict[str, Any]] = []
    at = 0
    for unit in units:
        try:
            sound = trim(speak(unit["say"], chance))
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
