"""How like stretches of words sound: weighted edits of their sounds, word boundaries ignored."""

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import product

import numpy as np
import numpy.typing as npt
from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.phones import cost, read_phones
from dictate2exam.lexicon.sounds import Pronunciation
from dictate2exam.speech.pronounce import Pronouncer

# Ways of saying a phrase of several words that are compared.
MOST_WAYS = 4
HEARD_WAYS = 1
WAYS_OF_WORD = 4
# Letters said one by one ("fdp") instead of as a word.
LETTERS_UP_TO = 5
# So many of the phrases, those nearest by plain edits of classes of sound, are weighed exactly.
WEIGHED = 96
# So many, those that share most of the classes, are compared by edits at all: faster than all, and
# as many findings right, wrong, missed and invented on the tuned scripts (bench findings).
SHARING = 2000
DIGITS = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen", "twenty",
)  # fmt: skip


class Phonetics:
    """Sounds of words, and the cost of hearing some sounds as others."""

    def __init__(self, lexicon: Lexicon) -> None:
        phones, costs = read_phones(lexicon.folder)
        self.pronouncer = Pronouncer.of_lexicon(lexicon)
        self.codes = {phone.phone: place for place, phone in enumerate(phones)}
        self.swap = np.array([[cost(a, b, costs) for b in phones] for a in phones], np.float32)
        self.drop = np.array([phone.drop for phone in phones], np.float32)
        # Sounds cheaply taken for one another share a letter in the quick comparison.
        self.classes = [
            chr(65 + int(np.flatnonzero(self.swap[place] <= costs.voice + 1e-6)[0]))
            for place in range(len(phones))
        ]
        self._words: dict[str, tuple[Pronunciation, ...]] = {}
        self._likeness = lru_cache(maxsize=16384)(self._likeness_of)

    def ways(self, words: Sequence[str], most: int = MOST_WAYS) -> list[npt.NDArray[np.int8]]:
        """The likeliest ways of saying some words, as codes of sounds."""
        kept = [self._ways_of(word) for word in words]
        made: dict[tuple[str, ...], None] = {}
        for choice in product(*kept):
            made.setdefault(tuple(sound for way in choice for sound in way))
            if len(made) == most:
                break
        return [np.array([self.codes[s] for s in way], np.int8) for way in made if way]

    def _ways_of(self, word: str) -> tuple[Pronunciation, ...]:
        known = self._words.get(word)
        if known is None:
            known = self._words[word] = self._say(word)
        return known

    def _say(self, word: str) -> tuple[Pronunciation, ...]:
        if word.isdigit() and int(word) < len(DIGITS):
            word = DIGITS[int(word)]
        letters = "".join(ch for ch in word if ch.isalpha() or ch == "'")
        if not letters:
            return ()
        spelt = len(letters) <= LETTERS_UP_TO and not self.pronouncer.known(letters)
        if spelt and not set(letters) & set("aeiouy"):
            return (tuple(s for ch in letters for s in self.pronouncer.ways(ch)[0]),)
        return self.pronouncer.ways(letters)[:WAYS_OF_WORD]

    def likeness(self, one: Sequence[str], other: Sequence[str]) -> float:
        """Likeness of two phrases, 0 to 1."""
        return self._likeness(tuple(one), tuple(other))

    def _likeness_of(self, one: tuple[str, ...], other: tuple[str, ...]) -> float:
        return float(SoundTable(self, [other]).likeness(one)[0])

    def coded(self, way: npt.NDArray[np.int8]) -> str:
        """The classes of sounds as a string, for quick comparison."""
        return "".join(self.classes[code] for code in way)


class SoundTable:
    """Phrases with all their ways of being said, to be compared with what was heard."""

    def __init__(self, phonetics: Phonetics, phrases: Iterable[Sequence[str]]) -> None:
        self.phonetics = phonetics
        ways, owners = [], []
        self.size = 0
        for words in phrases:
            for way in phonetics.ways(words):
                ways.append(way)
                owners.append(self.size)
            self.size += 1
        self.owners = np.array(owners, np.int32)
        self.lengths = np.array([len(way) for way in ways], np.int32)
        width = int(self.lengths.max(initial=1))
        self.sounds = np.zeros((len(ways), width), np.int8)
        for row, way in enumerate(ways):
            self.sounds[row, : len(way)] = way
        self.coded = [phonetics.coded(way) for way in ways]
        self.counts = {
            name: np.array([coded.count(name) for coded in self.coded], np.int16)
            for name in sorted(set("".join(self.coded)))
        }

    def likeness(self, heard: Sequence[str]) -> npt.NDArray[np.float32]:
        """Likeness, 0 to 1, of each phrase to the words heard; 0 of those far away."""
        best = np.zeros(self.size, np.float32)
        for way in self.phonetics.ways(heard, HEARD_WAYS):
            rows = self._near(self.phonetics.coded(way))
            if not len(rows):  # nothing among the phrases can be said, as a lone "+" cannot
                continue
            lengths = np.maximum(self.lengths[rows], len(way))
            like = 1.0 - self._distances(way, rows) / lengths
            np.maximum.at(best, self.owners[rows], np.clip(like, 0.0, 1.0))
        return best

    def _near(self, heard: str) -> npt.NDArray[np.intp]:
        """The rows nearest by plain edits of classes of sound, in their order."""
        rows = self._sharing(heard)
        if len(rows) <= WEIGHED:
            return rows
        coded = [self.coded[row] for row in rows]
        quick = process.cdist([heard], coded, scorer=Levenshtein.normalized_similarity)[0]
        least = np.partition(quick, -WEIGHED)[-WEIGHED]
        near: npt.NDArray[np.intp] = rows[quick >= least][: 2 * WEIGHED]
        return near

    def _sharing(self, heard: str) -> npt.NDArray[np.intp]:
        """The rows that share most classes of sound, whatever their order: a bound of likeness."""
        if len(self.coded) <= SHARING:
            return np.arange(len(self.coded))
        shared = np.zeros(len(self.coded), np.int16)
        for name, times in Counter(heard).items():
            if name in self.counts:
                shared += np.minimum(self.counts[name], times)
        bound = shared / np.maximum(self.lengths, len(heard))
        return np.sort(np.argpartition(bound, -SHARING)[-SHARING:])

    def _distances(
        self, heard: npt.NDArray[np.int8], rows: npt.NDArray[np.intp]
    ) -> npt.NDArray[np.float32]:
        """Least cost of turning what was heard into each row, all rows at once."""
        swap, drop = self.phonetics.swap, self.phonetics.drop
        others, lengths = self.sounds[rows], self.lengths[rows]
        width = int(lengths.max())
        others = others[:, :width]
        added = np.zeros((len(rows), width + 1), np.float32)
        np.cumsum(drop[others], axis=1, out=added[:, 1:])
        line = added.copy()
        for sound in heard:
            step = line + drop[sound]
            step[:, 1:] = np.minimum(step[:, 1:], line[:, :-1] + swap[sound][others])
            line = np.minimum.accumulate(step - added, axis=1) + added
        found: npt.NDArray[np.float32] = line[np.arange(len(rows)), lengths]
        return found
