"""How like a stretch of heard words is to each term: by spelling and by sound."""

from functools import cached_property, lru_cache

import numpy as np
import numpy.typing as npt
from rapidfuzz import process
from rapidfuzz.distance import JaroWinkler, Levenshtein
from spacy.lang.en.stop_words import STOP_WORDS

from dictate2exam.findings.forms import Form
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.speech.phonetic import Phonetics, SoundTable

CATEGORIES = frozenset(
    {"percussion", "muscle", "movement", "sign", "area", "reflex", "posture", "bulk", "pulse"}
)
SHORTEST = 5
KEPT = 12
NEAR = 0.7
STEM = 3
# A word of so few letters may be a piece of a longer one.
LIGHT = 6
# Likeness is a weighted sum of these; measured on misheard terms, see tests/findings.
SPELT, KEYED, STARTED, SOUNDED = 0.2, 0.1, 0.1, 0.6
# Stretches of at least so many letters of key that sound the same are so alike.
SAME_SOUND = 5
SAME = 0.93

# Sounds that recognisers confuse fall together, longest spelling first.
SOUNDS = (
    ("ough", "f"), ("tion", "5n"), ("sion", "5n"), ("ph", "f"), ("ck", "k"), ("qu", "kw"),
    ("sch", "sk"), ("sh", "5"), ("ch", "k"), ("th", "t"), ("gh", "g"), ("ps", "s"), ("wr", "r"),
    ("x", "ks"), ("z", "s"), ("v", "f"), ("b", "p"), ("d", "t"), ("g", "k"), ("q", "k"),
    ("j", "k"), ("m", "n"), ("w", ""), ("h", ""),
)  # fmt: skip
VOWELS = str.maketrans({"a": "a", "e": "a", "i": "a", "o": "a", "u": "a", "y": "a"})

Ranked = list[tuple[float, Form]]


@lru_cache(maxsize=65536)
def sound_key(text: str) -> str:
    """A rough key of how letters sound; word boundaries are ignored."""
    key = "".join(ch for ch in text if ch.isalnum())
    if key[:2] in {"pt", "ps", "mn", "kn"}:
        key = key[1:]
    key = key.replace("ce", "se").replace("ci", "si").replace("cy", "si").replace("c", "k")
    for spelt, sound in SOUNDS:
        key = key.replace(spelt, sound)
    key = key.translate(VOWELS)
    out: list[str] = []
    for ch in key:
        if not out or out[-1] != ch:
            out.append(ch)
    return "".join(out)


def stem(word: str) -> str:
    """A word without its plural."""
    return word[:-1] if len(word) > STEM and word.endswith("s") else word


class Likeness:
    """Ranks the terms of a vocabulary by their likeness to a heard stretch."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        forms: list[Form] = []
        for form, terms in vocabulary.terms.items():
            text = "".join(form)
            if terms[0].category in CATEGORIES and len(text) >= SHORTEST:
                forms.append(form)
        self.forms = forms
        self.categories = np.array([vocabulary.terms[form][0].category for form in forms])
        self.texts = ["".join(form) for form in forms]
        self.keys = [sound_key(text) for text in self.texts]
        self.places_of: dict[str, list[int]] = {}
        for place, key in enumerate(self.keys):
            self.places_of.setdefault(key, []).append(place)
        words = {word for form in vocabulary.terms for word in form}
        self.words = words | set(STOP_WORDS)
        tests = {name.split()[0] for name in vocabulary.phrases.cues["aside.test"]}
        known = STOP_WORDS | vocabulary.known_words | vocabulary.examining | tests
        self.plain = known - words
        self.rank = lru_cache(maxsize=16384)(self._rank)
        self.is_near = lru_cache(maxsize=16384)(self._is_near)
        self._total = lru_cache(maxsize=256)(self._sum)

    @cached_property
    def phonetics(self) -> Phonetics:
        """The sounds of words; read when first needed, for they take a moment."""
        return Phonetics(self.vocabulary.lexicon)

    @cached_property
    def table(self) -> SoundTable:
        """The sounds of all forms."""
        return SoundTable(self.phonetics, self.forms)

    def is_ordinary(self, text: str) -> bool:
        """Whether all its words are of general English, and so may have been meant."""
        known = self.vocabulary.phrases.ordinary
        return all(len(word) == 1 or word in known or word in STOP_WORDS for word in text.split())

    def is_certain(self, word: str) -> bool:
        """Whether it is a long word of terms alone, hardly heard by chance."""
        known = word in self.words or stem(word) in self.words
        return known and len(word) > LIGHT and not self.is_ordinary(word)

    def _is_near(self, text: str) -> bool:
        """Whether some term is spelt much like a text, by a quick comparison."""
        best = process.extractOne(
            text, self.texts, scorer=Levenshtein.normalized_similarity, score_cutoff=NEAR
        )
        return best is not None

    def _rank(self, text: str, allowed: frozenset[str] = frozenset()) -> Ranked:
        """One form of each of the terms most like a text, best first.

        Only terms of the categories `allowed` are ranked, or all where none is named.
        """
        joined = "".join(ch for ch in text if ch.isalnum())
        if not sound_key(joined):
            return []
        total = self._total(text, joined)
        if allowed:
            total = np.where(np.isin(self.categories, list(allowed)), total, 0.0)
        ranked: Ranked = []
        named: set[str] = set()
        near = np.flatnonzero(total)
        for place in near[total[near].argsort()[::-1][: 20 * KEPT]]:
            form = self.forms[place]
            label = self.vocabulary.terms[form][0].label
            if len(ranked) == KEPT:
                break
            if label not in named:
                named.add(label)
                ranked.append((self._where_unlike(text.split(), form, float(total[place])), form))
        return sorted(ranked, key=lambda entry: -entry[0])

    def _where_unlike(self, words: list[str], form: Form, score: float) -> float:
        """The score brought down where the words that differ from the form's are unlike them.

        "shoulder is limited" shares a word with "shoulder is lower", which makes it no droop.
        """
        heard, meant = [], "".join(form)
        whole = {stem(word) for word in form}
        for word in words:
            bare = stem(word)
            if bare in whole or (len(word) > LIGHT and bare in meant):
                meant = meant.replace(bare, "", 1)
            else:
                heard.append(word)
        if len(heard) == len(words) or not (heard and len(meant) > 1):
            return score
        rest = max(
            self.phonetics.likeness(heard, [meant]),
            Levenshtein.normalized_similarity("".join(heard), meant),
        )
        return min(score, (score + rest) / 2)

    def _sum(self, text: str, joined: str) -> npt.NDArray[np.float64]:
        """Likeness of each form, 0 of those that sound far away."""
        key = sound_key(joined)
        total = np.zeros(len(self.forms))
        sounded = self.table.likeness(text.split())
        near = np.flatnonzero(sounded)
        if len(near):
            spelt, start = (
                process.cdist([joined], [self.texts[place] for place in near], scorer=scorer)[0]
                for scorer in (
                    Levenshtein.normalized_similarity,
                    JaroWinkler.normalized_similarity,
                )
            )
            keys = [self.keys[place] for place in near]
            keyed = process.cdist([key], keys, scorer=Levenshtein.normalized_similarity)[0]
            total[near] = SPELT * spelt + KEYED * keyed + STARTED * start + SOUNDED * sounded[near]
        if len(key) >= SAME_SOUND:
            same = self.places_of.get(key, [])
            total[same] = np.maximum(total[same], SAME)
        return total


_LIKENESS: dict[int, Likeness] = {}


def likeness_for(vocabulary: Vocabulary) -> Likeness:
    """The likeness of a vocabulary, built once."""
    made = _LIKENESS.get(id(vocabulary))
    if made is None or made.vocabulary is not vocabulary:
        made = _LIKENESS[id(vocabulary)] = Likeness(vocabulary)
    return made
