"""How a text is written so that a synthesiser says it right: readable words, terms as phones."""

import re
import sys
from functools import lru_cache
from pathlib import Path
from typing import Any

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

TABLE = Path(__file__).parent / "pronunciations.toml"
NUMBERS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]
VOWELS = set(
    ["aa", "ae", "ah", "ao", "aw", "ax", "ay", "eh", "er", "ey", "ih", "iy", "ow", "oy", "uh", "uw"]
)
# The phones of the CMU dictionary in espeak's mnemonics and in the international alphabet.
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


@lru_cache(maxsize=1)
def _table() -> dict[str, Any]:
    table: dict[str, Any] = tomllib.loads(TABLE.read_text(encoding="utf-8"))
    return table


def latin_phones() -> dict[str, str]:
    """Words that letter-to-sound rules get wrong, in phones of the CMU dictionary."""
    return dict(_table()["latin"])


def espeak_words() -> set[str]:
    """Those of the words that espeak-ng, and whatever reads by its rules, needs help with."""
    return set(_table()["espeak"]["words"])


def readable(text: str) -> str:
    """Abbreviations and levels as a voice has to be told to say them: FDP, C5, T1, M4, 4+/5."""
    text = text.replace("’", "'")
    text = re.sub(r"\b(\d+)([+-])(?=\W|$)", lambda m: m[1] + _SIGNS[m[2]], text)
    text = re.sub(r"/(\d+)", r" out of \1", text)
    text = re.sub(r"\b([CTM])(\d)\b", r"\1 \2", text)
    text = re.sub(r"\b[A-Z]{2,5}\b", _spelled, text)
    text = re.sub(r"\bA(?= [A-Z]\b)", "ay", text)
    return re.sub(r"\b(10|\d)\b", lambda m: NUMBERS[int(m[1])], text)


_SIGNS = {"+": " plus", "-": " minus"}


def _spelled(found: "re.Match[str]") -> str:
    return found[0] if found[0] == "OK" else " ".join(found[0])


def with_phones(text: str, words: set[str], table: dict[str, str], mark: str) -> str:
    """The text with those words written as phones in [[ ]], `mark` before the stressed vowel."""
    latin = latin_phones()

    def swap(found: "re.Match[str]") -> str:
        word = found[0].lower()
        if word not in words:
            return found[0]
        made = []
        for phone in latin[word].split():
            name = phone.rstrip("01")
            made.append((mark if phone.endswith("1") else "") + table.get(name, name))
        return f"[[{''.join(made)}]]"

    return re.sub(r"[A-Za-z']+", swap, text)


def festival_syllables(phones: str) -> str:
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
