"""A second look at words hardly heard: which term of the lexicon does the sound itself speak for?

Candidates are the terms that sound most like what was written; the domain listener then says how
well each of them, in the place of those words, explains the sound (a forced score).
"""

from collections.abc import Sequence
from functools import cached_property
from typing import Protocol

import numpy as np

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.speech.base import Samples
from dictate2exam.speech.model import Look, Word
from dictate2exam.speech.phonetic import Phonetics, SoundTable

CATEGORIES = frozenset(
    {"percussion", "muscle", "movement", "sign", "area", "reflex", "posture", "bulk"}
)
DOUBTFUL = 0.5  # words below are looked at again
LONGEST = 6  # words of one span
SHORTEST = 4  # letters of one span; less is no term
MOST_SPANS = 2  # of one utterance
WEIGHED = 12  # candidates whose sound is compared
KEPT = 4
LIKE_ENOUGH = 0.4
# Of 37 terms misheard at 3 to 8 dB of noise the true one was among the first three of the likeness
# in 49%, with the forced score in 57% (first: 8% and 19%); flat from .1 to .4.
FORCED_SHARE = 0.2


class Forced(Protocol):
    """A listener that can say how well texts explain an utterance."""

    def forced(self, samples: Samples, texts: Sequence[str]) -> list[float]:
        """Mean natural log probability a piece, one for each text."""
        ...


def doubtful_spans(words: Sequence[Word]) -> list[tuple[int, int]]:
    """First and after-last place of each run of doubtful words that a term could stand behind."""
    spans: list[tuple[int, int]] = []
    start: int | None = None
    for place in range(len(words) + 1):
        sure = words[place].confidence if place < len(words) else 1.0
        if sure is not None and sure < DOUBTFUL:
            start = place if start is None else start
        elif start is not None:
            letters = sum(len(word.text) for word in words[start:place])
            if place - start <= LONGEST and letters >= SHORTEST:
                spans.append((start, place))
            start = None
    return spans[:MOST_SPANS]


class SecondLook:
    """Ranks the lexicon's terms for doubtful spans."""

    def __init__(self, lexicon: Lexicon) -> None:
        self._lexicon = lexicon

    @cached_property
    def _table(self) -> SoundTable:
        """Made when it is first needed: it takes most of a second."""
        return SoundTable(Phonetics(self._lexicon), self._forms)

    @cached_property
    def _forms(self) -> list[tuple[str, ...]]:
        said = {
            tuple(spoken.split())
            for term in self._lexicon.terms
            if term.category in CATEGORIES
            for spoken in term.aloud
        }
        return sorted(said)

    def looks(self, words: Sequence[Word], listener: Forced, samples: Samples) -> tuple[Look, ...]:
        """The best candidates for each doubtful span of `words`, heard in `samples`."""
        texts = [word.text for word in words]
        found = []
        for start, end in doubtful_spans(words):
            likeness = self._table.likeness(texts[start:end])
            places = [int(p) for p in np.argsort(-likeness)[:WEIGHED] if likeness[p] > LIKE_ENOUGH]
            if not places:
                continue
            forms = [" ".join(self._forms[place]) for place in places]
            whole = [" ".join([*texts[:start], form, *texts[end:]]) for form in forms]
            scores = [
                float(likeness[place]) + FORCED_SHARE * forced
                for place, forced in zip(places, listener.forced(samples, whole), strict=True)
            ]
            order = sorted(range(len(forms)), key=lambda k: -scores[k])[:KEPT]
            found.append(
                Look(
                    first_word=start,
                    last_word=end - 1,
                    candidates=tuple(forms[k] for k in order),
                )
            )
        return tuple(found)
