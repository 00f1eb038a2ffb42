"""Finds the user's added terms in what was heard: the neural listener has not learnt their words.

It writes something that sounds alike in their place. Where that and what another listener heard are
near enough to an added term, the term takes its place, and is asked about unless it was heard.
"""

from collections.abc import Iterator, Sequence
from itertools import islice, product

from rapidfuzz.distance import Levenshtein

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.speech.combine import CLASS_OF
from dictate2exam.speech.model import Reading, Word
from dictate2exam.speech.pronounce import Pronouncer
from dictate2exam.units import Probability

WAYS = 8  # of saying one term
# Mean unlikeness of the two nearest readings up to which a term may have been said: of 1,442
# sentences without them, one to eighteen come so near to an invented term by a single reading.
NEAR = 0.48
HEARD = 0.6  # the same for the words replaced, where another listener heard the very term
SURE = 0.9  # words at least so probable are left as they are
UNSURE = 0.7  # the name of another term gives way only to one that was heard, and below this
AGREED, GUESSED = 0.5, 0.05  # probability of a term put in that another heard, or that none did
_PHONES = {phone: chr(97 + place) for place, phone in enumerate(sorted(CLASS_OF))}
_CLASSES = {phone: chr(97 + number) for phone, number in CLASS_OF.items()}

Sounds = tuple[str, str]  # phones and their broad classes, a letter each


class AddedTerms:
    """The user's terms by sound; without any it changes nothing."""

    def __init__(self, lexicon: Lexicon, pronouncer: Pronouncer) -> None:
        self._pronouncer = pronouncer
        self._known = {form for term in lexicon.terms for form in term.spoken}
        self._terms = {said: list(self._ways(said.split())) for said in lexicon.added}

    def restore(self, words: tuple[Word, ...], others: Sequence[Reading]) -> tuple[Word, ...]:
        """The words with each added term that was probably said in place of what sounds like it."""
        for said, ways in self._terms.items():
            heard = [word.text for word in words]
            if f" {said} " in f" {' '.join(heard)} ":
                continue
            unlike, start, end = self._nearest(heard, ways)
            nearest = min((self._nearest(o.text.split(), ways)[0] for o in others), default=1.0)
            near = (unlike + nearest) / 2 <= NEAR or (nearest == 0 and unlike <= HEARD)
            stretch = words[start:end]
            sure = min((word.confidence or 0 for word in stretch), default=1.0)
            known = " ".join(heard[start:end]) in self._known
            if not near or sure >= SURE or (known and (nearest or sure >= UNSURE)):
                continue
            belief = GUESSED if nearest or known else AGREED
            words = (*words[:start], *_spread(said, stretch, belief), *words[end:])
        return words

    def _ways(self, words: Sequence[str]) -> Iterator[Sounds]:
        ways = [self._pronouncer.ways(word, both_sides=False)[:3] for word in words]
        for way in islice(product(*ways), WAYS):
            phones = [phone for part in way for phone in part]
            yield "".join(_PHONES[p] for p in phones), "".join(_CLASSES[p] for p in phones)

    def _nearest(self, heard: list[str], ways: list[Sounds]) -> tuple[float, int, int]:
        """The stretch of heard words most like a term: its unlikeness (0 to 1), start and end."""
        sounds = [next(self._ways([word])) for word in heard]
        best = (1.0, 0, 0)
        for start in range(len(heard)):
            phones = classes = ""
            for end in range(start, len(heard)):
                phones, classes = phones + sounds[end][0], classes + sounds[end][1]
                if len(phones) > 2 * len(ways[0][0]):
                    break
                for way, broad in ways:
                    wrong = Levenshtein.distance(phones, way) + Levenshtein.distance(classes, broad)
                    best = min(best, (wrong / 2 / max(len(phones), len(way)), start, end + 1))
        return best


def _spread(said: str, stretch: Sequence[Word], belief: Probability) -> Iterator[Word]:
    """The term's words over the time of the stretch, all as probable."""
    words = said.split()
    first, length = stretch[0].start_s, stretch[-1].end_s - stretch[0].start_s
    for place, text in enumerate(words):
        yield Word(
            text=text,
            start_s=round(first + length * place / len(words), 3),
            end_s=round(first + length * (place + 1) / len(words), 3),
            confidence=belief,
        )
