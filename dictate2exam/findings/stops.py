"""Where sentences and clauses end in recognised speech, as a small tagger learnt it.

The tagger (spaCy; made by `dictate2exam/training/stops.py`, see MODEL_CARD.md beside its weights)
sees the words around each gap, what kind of thing each is by the lexicon, and where the speaker
paused. Its files are checked against their SHA-256 before they are loaded.
"""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher
from functools import lru_cache
from pathlib import Path

import numpy as np
import spacy
from spacy.tokens import Doc

from dictate2exam.findings.joining import LONGEST_PAUSE, as_one, is_bare
from dictate2exam.findings.nlp import Pipeline
from dictate2exam.findings.word_kinds import NONE, kinds
from dictate2exam.provenance import check_released
from dictate2exam.speech.model import Utterance, Word
from dictate2exam.text.model import Stopped

WEIGHTS = Path(__file__).parent / "weights" / "stops"
CUT = "|"  # stands where the speaker paused
OF_CUT = "-"  # the label of a cut; a word without a stop has that of nothing
ENDS = (".", "?")
LABELS = (NONE, ",", *ENDS, OF_CUT)
# How likely the end of a sentence, or any stop, must be to be set. A missing end costs more than
# one too many: of 3,886 findings of scripts that were not learnt from .3 leaves 118 wrong, .5 134.
SENTENCE, PAUSE = 0.3, 0.5
# From so many words on the end of a sentence is overdue.
LONG, LATER = 18, 0.15
# A question takes all that its sentence found back, and one that was joined may be long.
ASKED = 0.5
# A sentence that goes on and on is none.
MOST_WORDS = 120


class StopFinder:
    """Tells for every word which stop follows it."""

    def __init__(self, folder: Path = WEIGHTS) -> None:
        check_released(folder, "The weights of the finder of stops")
        self._nlp = spacy.load(folder)
        self._model = self._nlp.get_pipe("tagger").model  # type: ignore[attr-defined]
        labels = self._nlp.get_pipe("tagger").labels  # type: ignore[attr-defined]
        self._places = [labels.index(label) for label in (NONE, ",", *ENDS)]

    def chances(self, pieces: Sequence[Sequence[str]], kinds: Sequence[str]) -> np.ndarray:
        """Chances (words, 4) of no stop, a comma, a full stop, a question mark after each word;
        `pieces` are the words between pauses, `kinds` what each of all words is."""
        words: list[str] = []
        lemmas: list[str] = []
        said: list[int] = []
        left = iter(kinds)
        for piece in pieces:
            for word in piece:
                said.append(len(words))
                words.append(word or NONE)  # a word that an answer has emptied
                lemmas.append(next(left))
            words.append(CUT)
            lemmas.append("CUT")
        if not said:
            return np.zeros((0, len(self._places)))
        doc = Doc(self._nlp.vocab, words=words, lemmas=lemmas)
        scores = np.asarray(self._model.predict([doc])[0])[said][:, self._places]
        chances = np.exp(scores - scores.max(axis=1, keepdims=True))
        return np.asarray(chances / chances.sum(axis=1, keepdims=True))


@lru_cache(maxsize=1)
def stop_finder() -> StopFinder:
    """The one of the package, loaded at first use."""
    return StopFinder()


def stops_of(chances: np.ndarray, kinds: Sequence[str]) -> list[str]:
    """The stop that follows each word, or nothing; none parts a name but the end of a sentence."""
    made: list[str] = []
    since = 0
    for (comma, full, question), kind in zip(chances[:, 1:].tolist(), kinds, strict=True):
        since += 1
        end = full + question
        if end > (SENTENCE if since < LONG else LATER):
            made.append("?" if question > ASKED else ".")
            since = 0
        else:
            parted = comma + end > PAUSE and not kind.startswith(("B-", "I-"))
            made.append("," if parted else "")
    return made


def with_stops(utterances: Sequence[Utterance], pipeline: Pipeline) -> tuple[Utterance, ...]:
    """The utterances with stops, joined where no sentence ends between them; those that have
    stops, and talk, stay as they are."""
    bare = [one for one in utterances if is_bare(one)]
    pieces = [[word.text for word in one.words] for one in bare]
    every = [word for piece in pieces for word in piece]
    told = kinds(every, pipeline)
    after = iter(stops_of(stop_finder().chances(pieces, told), told))
    made: list[Utterance] = []
    parts: list[Utterance] = []
    stops: list[str] = []

    def close() -> None:
        if parts:
            made.append(as_one(parts).model_copy(update={"stops": tuple(stops)}))
            parts.clear()
            stops.clear()

    for one in utterances:
        if parts and not (is_bare(one) and _may_go_on(parts[-1], one)):
            close()
        if not is_bare(one):
            made.append(one)
            continue
        parts.append(one)
        stops += [next(after) for _ in one.words]
        if (stops and stops[-1] in ENDS) or len(stops) > MOST_WORDS:
            close()
    close()
    return tuple(made)


def _may_go_on(first: Utterance, second: Utterance) -> bool:
    return (
        first.speaker == second.speaker
        and first.domain == second.domain
        and second.start_s - first.end_s <= LONGEST_PAUSE
    )


def carried(mine: Stopped, words: Sequence[Word]) -> tuple[str, ...]:
    """The stops of an utterance laid on other words that were heard for it."""
    if not mine.stops:
        return ()
    made = [""] * len(words)
    ours, theirs = [word.text for word in mine.words], [word.text for word in words]
    matcher = SequenceMatcher(None, ours, theirs, autojunk=False)
    for kind, a, b, c, d in matcher.get_opcodes():
        if kind == "equal":
            made[c:d] = mine.stops[a:b]
        elif d > c and b > a:
            made[d - 1] = mine.stops[b - 1]
    return tuple(made)
