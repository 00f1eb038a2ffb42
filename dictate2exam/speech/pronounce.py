"""How each word sounds: by hand, from the general dictionary, by its parts, or by rule."""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.sounds import Pronunciation, read_sounds
from dictate2exam.speech.letters import sound_out

VOICELESS = frozenset(["P", "T", "K", "F", "TH"])
SIBILANT = frozenset(["S", "Z", "SH", "ZH", "CH", "JH"])
VOWELS = frozenset(
    ["AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW"]
)
MAXIMUM_VARIANTS = 10


class GeneralDictionary(Mapping[str, tuple[Pronunciation, ...]]):
    """The CMU Pronouncing Dictionary as PocketSphinx ships it (BSD licence), by word.

    Lines are taken apart when they are asked for: there are 134,000.
    """

    def __init__(self, path: Path) -> None:
        lines = path.read_text(encoding="utf-8").splitlines()
        self._lines = dict(line.split(" ", 1) for line in lines if " " in line)

    def __getitem__(self, word: str) -> tuple[Pronunciation, ...]:
        ways = [tuple(self._lines[word].split())]
        while (more := self._lines.get(f"{word}({len(ways) + 1})")) is not None:
            ways.append(tuple(more.split()))
        return tuple(ways)

    def __contains__(self, word: object) -> bool:
        return word in self._lines

    def __iter__(self) -> Iterator[str]:
        return (word for word in self._lines if not word.endswith(")"))

    def __len__(self) -> int:
        return sum(1 for _ in self)


@lru_cache(maxsize=1)
def general_dictionary() -> GeneralDictionary:
    """The general dictionary in the installed pocketsphinx wheel."""
    from pocketsphinx import get_model_path

    return GeneralDictionary(Path(get_model_path("en-us/cmudict-en-us.dict")))


def british(sounds: Pronunciation) -> Pronunciation:
    """The same word without R before a consonant or at the end, and with a weak final -er."""
    made: list[str] = []
    for place, sound in enumerate(sounds):
        following = sounds[place + 1] if place + 1 < len(sounds) else ""
        if sound == "R" and made and made[-1] in ("AA", "AO") and following not in VOWELS:
            continue
        last = place == len(sounds) - 1 or (place == len(sounds) - 2 and following in ("Z", "D"))
        made.append("AH" if sound == "ER" and last and place > 1 else sound)
    return tuple(made)


class Pronouncer:
    """Gives every word at least one pronunciation, likeliest first."""

    def __init__(self, by_hand: dict[str, tuple[Pronunciation, ...]]) -> None:
        self.by_hand = by_hand
        self.general = general_dictionary()

    @classmethod
    def of_lexicon(cls, lexicon: Lexicon) -> "Pronouncer":
        """The pronouncer that knows the lexicon's hand-written pronunciations, and the user's."""
        sounds = read_sounds(lexicon.folder)
        mine: dict[str, tuple[Pronunciation, ...]] = {}
        for word, way in lexicon.added_sounds:
            mine[word] = (*mine.get(word, ()), way)
        return cls({**sounds, **mine})

    def known(self, word: str) -> bool:
        """Whether a person or the general dictionary says how the word sounds."""
        return word in self.by_hand or word in self.general

    def ways(self, word: str, both_sides: bool = True) -> tuple[Pronunciation, ...]:
        """Pronunciations of one lower-case word; `both_sides` adds British forms."""
        ways = self.by_hand.get(word) or self.general.get(word) or self._by_parts(word)
        if both_sides:
            ways = (*ways, *(british(way) for way in ways))
        return tuple(dict.fromkeys(ways))[:MAXIMUM_VARIANTS]

    def _stem(self, word: str) -> tuple[Pronunciation, ...]:
        return self.by_hand.get(word) or self.general.get(word) or ()

    def _by_parts(self, word: str) -> tuple[Pronunciation, ...]:
        bare = word.replace("'", "")
        for ending in ("'s", "s'", "s"):
            if word.endswith(ending) and (stem := self._stem(word[: -len(ending)])):
                return tuple((*way, *_plural(way)) for way in stem)
        for ending, sounds in (("ing", ("IH", "NG")), ("ness", ("N", "AH", "S"))):
            if word.endswith(ending) and (stem := self._stem(word[: -len(ending)])):
                return tuple((*way, *sounds) for way in stem)
        if word.endswith("ed") and (stem := self._stem(word[:-2]) or self._stem(word[:-1])):
            return tuple((*way, *_past(way)) for way in stem)
        for cut in range(4, len(bare) - 3):
            first, second = self._stem(bare[:cut]), self._stem(bare[cut:])
            if first and second:
                return tuple((*one, *two) for one in first[:2] for two in second[:2])
        return sound_out(bare)


def _plural(way: Pronunciation) -> Pronunciation:
    if way[-1] in SIBILANT:
        return ("IH", "Z")
    return ("S",) if way[-1] in VOICELESS else ("Z",)


def _past(way: Pronunciation) -> Pronunciation:
    if way[-1] in ("T", "D"):
        return ("IH", "D")
    return ("T",) if way[-1] in VOICELESS | {"S", "SH", "CH"} else ("D",)


def write_dictionary(
    words: list[str], pronouncer: Pronouncer, path: Path, domain: frozenset[str]
) -> None:
    """Writes a PocketSphinx dictionary; `domain` words get British forms as well."""
    lines: list[str] = []
    for word in words:
        for number, way in enumerate(pronouncer.ways(word, word in domain), start=1):
            mark = f"({number})" if number > 1 else ""
            lines.append(f"{word}{mark} {' '.join(way)}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
