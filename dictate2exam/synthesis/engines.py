"""One function an engine, each making a speaker that gives mono sound at 16 kHz.

A voice is `engine:name`: flite:slt, espeak:en-gb+f3, festival:ked_diphone, piper:NAME (or a file)
or kokoro:NAME+NAME (a mixture of styles). Flite, festival and espeak-ng are programs; piper is
the package piper-tts with a voice file that DICTATE2EXAM_PIPER names (several joined by colons);
kokoro a model that DICTATE2EXAM_KOKORO=MODEL:FOLDER names (its folder holds vocab.json and
voices_ja.npz) and onnxruntime. None of them is part of this package's needs.
"""

import json
import os
import random
import shutil
import subprocess
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.errors import InputError
from dictate2exam.synthesis.wording import (
    IPA,
    MNEMONIC,
    espeak_words,
    festival_syllables,
    latin_phones,
    with_phones,
)

Sound = npt.NDArray[np.float32]
RATE = 16000
PROGRAMS = {"flite": "flite", "espeak": "espeak-ng", "festival": "text2wave", "kokoro": "espeak-ng"}
# From how slow to how fast each engine still sounds like speech, 1 being its usual pace.
PACES = {
    "flite": (0.8, 1.28),
    "espeak": (0.75, 1.3),
    "festival": (0.83, 1.18),
    "piper": (0.77, 1.33),
    "kokoro": (0.85, 1.3),
    "hibari": (0.8, 1.35),
}
# espeak's phonemes in the letters that Kokoro's were trained on.
KOKORO_LETTERS = (
    ("tʃ", "ʧ"), ("dʒ", "ʤ"), ("eɪ", "A"), ("aɪ", "I"), ("aʊ", "W"), ("oʊ", "O"), ("əʊ", "Q"),
    ("ɔɪ", "Y"), ("əl", "ᵊl"), ("r", "ɹ"), ("ɚ", "əɹ"), ("ɜː", "ɜɹ"), ("ː", ""), ("e", "A"),
    ("ɐ", "ə"),
)  # fmt: skip


@dataclass(frozen=True)
class Manner:
    """How something is said: pace and liveliness (1 is usual), pitch (0 to 100, 50 is usual).

    Each engine takes what it can: pitch is espeak's, liveliness piper's; kokoro's are the accent
    and the `blend` of its styles, a seed of the shares (0 is equal shares).
    """

    pace: float = 1.0
    pitch: int = 50
    liveliness: float = 1.0
    accent: str = "en-us"
    blend: int = 0

    @classmethod
    def drawn(cls, engine: str, chance: random.Random) -> "Manner":
        """Any manner in which the engine still sounds like speech."""
        return cls(
            pace=chance.uniform(*PACES[engine]),
            pitch=chance.randint(20, 80),
            liveliness=chance.uniform(0.6, 1.45),
            accent=chance.choice(("en-us", "en-gb")),
            blend=chance.randint(1, 2**31),
        )


Speaker = Callable[[str, Manner], Sound]


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


def _flite(name: str, help_terms: bool) -> Speaker:
    rows = [f'"{word}" n : {phones}' for word, phones in latin_phones().items()]

    def speak(text: str, manner: Manner) -> Sound:
        stretch = f"duration_stretch={1 / manner.pace:.3f}"
        command = ["flite", "-voice", name, "--setf", stretch, "-t", text, "-o", "@OUT"]
        if not help_terms:
            return _run(command)
        with tempfile.NamedTemporaryFile("w", suffix=".lex") as addenda:
            addenda.write("\n".join(rows) + "\n")
            addenda.flush()
            return _run([*command, "-add_lex", addenda.name])

    return speak


def _festival(name: str, help_terms: bool) -> Speaker:
    rows = [
        f'(lex.add.entry \'("{word}" nil ({festival_syllables(phones)})))'
        for word, phones in latin_phones().items()
    ]

    def speak(text: str, manner: Manner) -> Sound:
        setup = [f"(voice_{name})", f"(Parameter.set 'Duration_Stretch {1 / manner.pace:.3f})"]
        with tempfile.NamedTemporaryFile("w", suffix=".scm") as file:
            file.write("\n".join(setup + (rows if help_terms else [])) + "\n")
            file.flush()
            return _run(["text2wave", "-eval", file.name, "-o", "@OUT"], text)

    return speak


def _espeak(name: str, help_terms: bool) -> Speaker:
    words = espeak_words() if help_terms else set()

    def speak(text: str, manner: Manner) -> Sound:
        said = with_phones(text, words, MNEMONIC, "'")
        shape = ["-s", str(round(160 * manner.pace)), "-p", str(manner.pitch)]
        return _run(["espeak-ng", "-v", name, *shape, "-w", "@OUT", said])

    return speak


def piper_files() -> dict[str, Path]:
    """The voice files that DICTATE2EXAM_PIPER names, by their stem."""
    named = filter(None, os.environ.get("DICTATE2EXAM_PIPER", "").split(":"))
    return {path.stem: path for path in map(Path, named) if path.is_file()}


def _piper(name: str, help_terms: bool) -> Speaker:
    from piper import PiperVoice, SynthesisConfig  # type: ignore[import-not-found,unused-ignore]

    path = str(piper_files().get(name, name))
    voice = PiperVoice.load(path)
    voice.session = _session(path)
    words = espeak_words() if help_terms else set()

    def speak(text: str, manner: Manner) -> Sound:
        shape = SynthesisConfig(
            length_scale=1 / manner.pace,
            noise_scale=0.667 * manner.liveliness,
            noise_w_scale=0.8 * manner.liveliness,
        )
        said = with_phones(text, words, IPA, "ˈ")
        parts = [chunk.audio_float_array for chunk in voice.synthesize(said, shape)]
        return _resample(np.concatenate(parts).astype(np.float32), voice.config.sample_rate)

    return speak


def _session(path: str) -> Any:
    """A model on one thread; threads that wait for each other cost more than they bring."""
    import onnxruntime  # type: ignore[import-not-found,unused-ignore]

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = 1
    return onnxruntime.InferenceSession(path, options, providers=["CPUExecutionProvider"])


def kokoro_files() -> tuple[Path, Path] | None:
    """The model and the folder of styles, where DICTATE2EXAM_KOKORO names both."""
    model, _, folder = os.environ.get("DICTATE2EXAM_KOKORO", "").partition(":")
    if not model or not Path(model).is_file() or not (Path(folder) / "vocab.json").is_file():
        return None
    return Path(model), Path(folder)


def _kokoro(name: str, help_terms: bool) -> Speaker:
    files = kokoro_files()
    assert files is not None  # `why_not` has been asked
    model, folder = files
    session = _session(str(model))
    letters: dict[str, int] = json.loads((folder / "vocab.json").read_text())["vocab"]
    styles = np.load(folder / "voices_ja.npz")
    parts = [styles[part] for part in name.split("+")]
    words = espeak_words() if help_terms else set()

    def speak(text: str, manner: Manner) -> Sound:
        tokens: list[int] = []
        for clause in filter(str.strip, text.split(",")):
            said = with_phones(clause, words, MNEMONIC, "'")
            command = ["espeak-ng", "-q", "--ipa", "-v", manner.accent, said]
            heard = subprocess.run(command, capture_output=True, text=True, check=True).stdout
            for old, new in KOKORO_LETTERS:
                heard = heard.replace(old, new)
            tokens += [letters[c] for c in " ".join(heard.split()) if c in letters]
            tokens += [letters[","], letters[" "]]
        tokens = [*tokens[:-2], letters["."]]
        feeds: dict[str, Any] = {
            "tokens": np.array([[0, *tokens, 0]], np.int64),
            "style": blended(parts, manner.blend, len(tokens)).astype(np.float32),
            "speed": np.array([manner.pace], np.float32),
        }
        return _resample(np.asarray(session.run(None, feeds)[0], np.float32).ravel(), 24000)

    return speak


def blended(parts: list[npt.NDArray[Any]], seed: int, length: int) -> npt.NDArray[Any]:
    """One style (1, 256) of several, for an utterance of `length` letters.

    Shares are drawn, mostly one style with a little of the others, and at times go beyond it, so
    that one model speaks with many voices.
    """
    rows = np.stack([part[min(length, len(part) - 1)].reshape(256) for part in parts])
    shares = np.full(len(parts), 1 / len(parts))
    if seed and len(parts) > 1:
        chance = np.random.default_rng(seed)
        shares = chance.gamma(0.7, size=len(parts)) + 1e-3
        shares /= shares.sum()
        shares += (shares - 1 / len(parts)) * chance.uniform(0, 0.35)
    return np.asarray(shares @ rows).reshape(1, 256)


def _hibari(name: str, help_terms: bool) -> Speaker:
    """The package hibari-tts and the voice in its wheel, `heart`; it knows most terms itself."""
    from hibari import Hibari

    tts = Hibari(voice=name, threads=1)

    def speak(text: str, manner: Manner) -> Sound:
        return _resample(np.asarray(tts(text, speed=manner.pace), np.float32), 24000)

    return speak


ENGINES: dict[str, Callable[[str, bool], Speaker]] = {
    "flite": _flite,
    "espeak": _espeak,
    "festival": _festival,
    "piper": _piper,
    "kokoro": _kokoro,
    "hibari": _hibari,
}


def why_not(voice: str) -> str:
    """What is missing for a voice on this machine, in plain words; empty when it can speak."""
    engine, _, name = voice.partition(":")
    if engine not in ENGINES or not name:
        return f"{voice!r} is no voice: write engine:name, the engine one of {', '.join(ENGINES)}"
    program = PROGRAMS.get(engine)
    if program and not shutil.which(program):
        return f"the program {program} is not installed"
    if engine == "piper" and not (name in piper_files() or Path(name).is_file()):
        return f"DICTATE2EXAM_PIPER names no file {name}.onnx"
    if engine == "kokoro" and kokoro_files() is None:
        return "DICTATE2EXAM_KOKORO does not name MODEL:FOLDER"
    if engine in ("piper", "kokoro", "hibari"):
        from importlib.util import find_spec

        package = {"piper": "piper", "kokoro": "onnxruntime", "hibari": "hibari"}[engine]
        if find_spec(package) is None:
            return f"the package {package} is not installed"
    if engine == "festival" and not any(
        path.name == name for path in Path("/usr/share/festival/voices").glob("*/*")
    ):
        return f"festival's voice {name} is not installed"
    return ""


def build_speaker(voice: str, help_terms: bool = False) -> Speaker:
    """The speaker of a voice; InputError says what it lacks on this machine.

    With `help_terms` the Latin words of pronunciations.toml are said as the table has them, else
    by the engine's own rules.
    """
    missing = why_not(voice)
    if missing:
        raise InputError(f"The voice {voice} cannot speak: {missing}.")
    engine, _, name = voice.partition(":")
    return ENGINES[engine](name, help_terms)


def trim(sound: Sound, keep_s: float = 0.06) -> Sound:
    """Without the silence at both ends but for `keep_s` seconds; peak at 0.9."""
    loud = np.flatnonzero(np.abs(sound) > 0.02 * max(1e-6, float(np.abs(sound).max())))
    if not len(loud):
        return sound[:0]
    keep = int(keep_s * RATE)
    cut = sound[max(0, loud[0] - keep) : loud[-1] + keep]
    return np.asarray(cut * (0.9 / np.abs(cut).max()), np.float32)
