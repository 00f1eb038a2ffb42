"""How like a stretch of heard words is to each term: by spelling and by sound."""

from functools import lru_cache

from rapidfuzz import fuzz, process
from rapidfuzz.distance import JaroWinkler, Levenshtein
from spacy.lang.en.stop_words import STOP_WORDS

from dictate2exam.findings.vocabulary import Form, Vocabulary

CATEGORIES = frozenset(
    {"percussion", "muscle", "movement", "sign", "area", "reflex", "posture", "bulk"}
)
SHORTEST = 5
KEPT = 8
# Stretches of at least so many sounds that sound the same are so alike.
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


class Likeness:
    """Ranks the terms of a vocabulary by their likeness to a heard stretch."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        forms: list[Form] = []
        for form, terms in vocabulary.terms.items():
            text = "".join(form)
            if terms[0].category in CATEGORIES and len(text) >= SHORTEST:
                forms.append(form)
        self.forms = forms
        self.texts = ["".join(form) for form in forms]
        self.keys = [sound_key(text) for text in self.texts]
        words = {word for form in vocabulary.terms for word in form}
        self.words = words | set(STOP_WORDS)
        self.plain = (STOP_WORDS | vocabulary.known_words | vocabulary.examining) - words
        self.rank = lru_cache(maxsize=16384)(self._rank)

    def _rank(self, text: str) -> list[tuple[float, Form]]:
        joined = "".join(ch for ch in text if ch.isalnum())
        key = sound_key(joined)
        if not key:
            return []
        spelt = process.cdist([joined], self.texts, scorer=Levenshtein.normalized_similarity)[0]
        heard = process.cdist([key], self.keys, scorer=Levenshtein.normalized_similarity)[0]
        start = process.cdist([joined], self.texts, scorer=JaroWinkler.normalized_similarity)[0]
        total = 0.4 * spelt + 0.45 * heard + 0.15 * start
        if len(key) >= SAME_SOUND:
            for place, other in enumerate(self.keys):
                if other == key:
                    total[place] = max(total[place], SAME)
        order = total.argsort()[::-1][:KEPT]
        return [(float(total[place]), self.forms[place]) for place in order]


@lru_cache(maxsize=4)
def _cached(key: int) -> Likeness:
    return Likeness(_VOCABULARIES[key])


_VOCABULARIES: dict[int, Vocabulary] = {}


def likeness_for(vocabulary: Vocabulary) -> Likeness:
    """The likeness of a vocabulary, built once."""
    _VOCABULARIES[id(vocabulary)] = vocabulary
    return _cached(id(vocabulary))


def partial(one: str, other: str) -> float:
    """Likeness of the best matching part, 0 to 1."""
    return float(fuzz.partial_ratio(one, other)) / 100.0
