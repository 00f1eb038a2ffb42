"""A seeded model of how recognisers go wrong, made from what recognisers wrote of known speech.

`python3 -m dictate2exam.bench.confusion PAIRS.json... > lexicon/speech/confusions.csv` makes the
table out of files that each hold a JSON list of pairs: the words said and the words heard.
"""

import csv
import json
import random
import sys
from collections import Counter
from collections.abc import Iterable, Sequence
from difflib import SequenceMatcher
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from dictate2exam.bench.hearing import spoken
from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.phrases import read_phrases
from dictate2exam.speech.phonetic import Phonetics

# Longer stretches are not one confusion but a stretch that was lost.
MOST_SAID, MOST_HEARD = 5, 7
# Stretches that sound less alike than this were aligned by chance.
ALIKE = 0.55
# Longer words that were not heard at all were lost with their stretch.
SMALL = 3
# Sounds of a word to each word that it is written as.
SOUNDS_PER_WORD = 4.5
# Sounds out of this many go wrong where the table does not know a word.
SOUNDS_PER_ERROR = 5


def confusions(pairs: Iterable[tuple[str, str]]) -> Counter[tuple[str, str]]:
    """What was heard for what was said, counted, in spoken form; empty where it was dropped."""
    sounds = Phonetics(load_lexicon())
    found: Counter[tuple[str, str]] = Counter()
    for one, other in pairs:
        said, heard = spoken(one).split(), spoken(other).split()
        matcher = SequenceMatcher(None, said, heard, autojunk=False)
        for kind, i, j, k, m in matcher.get_opcodes():
            a, b = said[i:j], heard[k:m]
            if kind == "equal" or not a or len(a) > MOST_SAID or len(b) > MOST_HEARD:
                continue
            if len(b) == 0 and (len(a) > 1 or len(a[0]) > SMALL):
                continue
            if b and sounds.likeness(b, a) < ALIKE:
                continue
            found[" ".join(a), " ".join(b)] += 1
    return found


@lru_cache(maxsize=1)
def confusion_table(path: Path) -> dict[tuple[str, ...], tuple[tuple[str, int], ...]]:
    """The table by what was said; LexiconError names a broken line."""
    found: dict[tuple[str, ...], list[tuple[str, int]]] = {}
    with path.open(encoding="utf-8", newline="") as file:
        for number, row in enumerate(csv.DictReader(file), start=2):
            try:
                found.setdefault(tuple(row["said"].split()), []).append(
                    (row["heard"], int(row["count"]))
                )
            except (KeyError, ValueError):
                where = f"speech/confusions.csv, line {number}"
                raise LexiconError(f"{where}: write what was said, heard and how often.") from None
    return {said: tuple(heard) for said, heard in found.items()}


class Confuser:
    """Makes words wrong as the table does; words that it lacks go wrong by their sounds."""

    def __init__(self) -> None:
        lexicon = load_lexicon(with_users=False)
        self.table = confusion_table(lexicon.folder / "speech" / "confusions.csv")
        self.longest = max(len(said) for said in self.table)
        self.sounds = Phonetics(lexicon)
        self.common = read_phrases(lexicon.folder).ordinary
        ordinary = sorted(self.common)
        self.spellings = {self._sounds([word]): word for word in reversed(ordinary)}
        self.swaps = self._swaps()
        self.respell = lru_cache(maxsize=8192)(self._respell)

    def _sounds(self, words: Sequence[str]) -> str:
        """How words sound, a letter for each sound, without heed to classes of sound."""
        ways = self.sounds.ways(words, 1)
        return "".join(chr(65 + int(code)) for code in ways[0]) if ways else ""

    def _swaps(self) -> dict[str, list[tuple[str, int]]]:
        """What sounds were heard for each sound (none where it was dropped), counted."""
        counted: dict[str, Counter[str]] = {}
        for said, ways in self.table.items():
            for heard, count in ways:
                if not heard:
                    continue
                one, other = self._sounds(said), self._sounds(heard.split())
                for edit in Levenshtein.editops(one, other):
                    if edit.tag != "insert":
                        sound = other[edit.dest_pos] if edit.tag == "replace" else ""
                        counted.setdefault(one[edit.src_pos], Counter())[sound] += count
        return {sound: sorted(found.items()) for sound, found in counted.items()}

    def _respell(self, sounds: str) -> str:
        best = process.extractOne(sounds, list(self.spellings), scorer=Levenshtein.distance)
        return self.spellings[best[0]] if best else ""

    def by_sound(self, word: str, chance: random.Random) -> list[str]:
        """Ordinary words that sound like a word of which some sounds were heard as others."""
        sounds = list(self._sounds([word]))
        for _ in range(max(1, len(sounds) // SOUNDS_PER_ERROR)):
            at = chance.randrange(len(sounds)) if sounds else 0
            if sounds and (ways := self.swaps.get(sounds[at])):
                sounds[at] = chance.choices([s for s, _ in ways], [n for _, n in ways])[0]
        joined = "".join(sounds)
        pieces = max(1, min(3, round(len(joined) / SOUNDS_PER_WORD)))
        step = len(joined) / pieces
        cuts = [round(step * n) + (chance.choice((-1, 0, 1)) if 0 < n < pieces else 0)
                for n in range(pieces + 1)]  # fmt: skip
        return [self.respell(joined[a:b]) for a, b in pairwise(cuts) if b > a]

    def corrupt(self, words: Sequence[str], seed: int, rate: float) -> list[str]:
        """The words with about `rate` (0 to 1) of them wrong; the same for the same seed."""
        chance = random.Random(f"{seed} {' '.join(words)}")
        made: list[str] = []
        at = 0
        while at < len(words):
            if chance.random() >= rate:
                made.append(words[at])
                at += 1
                continue
            size = chance.choice(
                [n for n in range(self.longest, 0, -1) if self._known(words, at, n)] or [0]
            )
            made.extend(self._heard(tuple(words[at : at + (size or 1)]), chance))
            at += size or 1
        return made

    def mishear(self, words: Sequence[str], seed: int, rate: float) -> list[str]:
        """As a recogniser might write them of one voice: `rate` of the rarer words, or runs with
        one, go wrong, each always in the same way; the same for the same seed."""
        made: list[str] = []
        at = 0
        while at < len(words):
            for size in (*range(self.longest, 1, -1), 1):
                said = tuple(words[at : at + size])
                known = self._known(words, at, size)
                if not known and size > 1:
                    continue
                chance = random.Random(f"{seed} {' '.join(said)}")
                rare = any(word not in self.common for word in said)
                if rare and chance.random() < rate:
                    made.extend(self._heard(said, chance))
                    at += size
                    break
            else:
                made.append(words[at])
                at += 1
        return made

    def _heard(self, said: tuple[str, ...], chance: random.Random) -> list[str]:
        """What is written for words that go wrong: as in the table, else by their sounds."""
        if said not in self.table:
            return self.by_sound(said[0], chance)
        ways = self.table[said]
        heard: str = chance.choices([h for h, _ in ways], [n for _, n in ways])[0]
        return heard.split()

    def _known(self, words: Sequence[str], at: int, size: int) -> bool:
        return len(words) >= at + size and tuple(words[at : at + size]) in self.table


@lru_cache(maxsize=1)
def _confuser() -> Confuser:
    return Confuser()


def corrupt(words: Sequence[str], seed: int, rate: float) -> list[str]:
    """Words in spoken form as a recogniser might have written them; see Confuser.corrupt."""
    return _confuser().corrupt(words, seed, rate)


def mishear(words: Sequence[str], seed: int, rate: float) -> list[str]:
    """Words in spoken form as they might be written of one voice; see Confuser.mishear."""
    return _confuser().mishear(words, seed, rate)


def _write(paths: Sequence[str]) -> None:
    pairs = [
        (said, heard)
        for path in paths
        for said, heard in json.loads(Path(path).read_text(encoding="utf-8"))
    ]
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(("said", "heard", "count"))
    for (said, heard), count in sorted(confusions(pairs).items()):
        out.writerow((said, heard, count))


if __name__ == "__main__":
    _write(sys.argv[1:])
