"""What kind of thing words are by the lexicon, as the small networks see them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from dictate2exam.findings.evidence import LINE, labels
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.nlp import Pipeline
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.speech.model import Utterance, Word
from dictate2exam.text.model import Written

NONE = "_"  # a word that is nothing
Stretch = tuple[int, int]
# What a word of steering is: the first of these roles that it plays.
ROLES = (
    "side",
    "negation",
    "list.copula",
    "list.join",
    "list.prepose",
    "kind",
    "scale",
    "hedge",
    "correction",
    "modality",
    "answer",
    "list.all",
    "list.except",
    "patient",
)


def kinds(words: Sequence[str], pipeline: Pipeline) -> list[str]:
    """What each word is ("B-muscle", "S-number"), "_" where it is nothing."""
    vocabulary = pipeline.vocabulary
    heard = tuple(Word(text=word, start_s=0, end_s=0) for word in words)
    written = vocabulary.normaliser.write(Utterance(index=0, start_s=0, end_s=0, words=heard))
    texts = [token.text for token in written.tokens]
    doc = pipeline.mark(written)
    chosen = [(span.start, span.end) for span in doc.spans["chosen"]]
    made = [NONE] * len(words)
    for start, end, kind in _stretches(texts, chosen, vocabulary):
        first, last = written.tokens[start].first_word, written.tokens[end - 1].last_word
        made[first : last + 1] = labels(kind, last + 1 - first)
    return made


def token_kinds(
    texts: Sequence[str], chosen: Iterable[Stretch], vocabulary: Vocabulary
) -> list[str]:
    """What each token of an utterance is; `chosen` are its phrases, first and end."""
    made = [NONE] * len(texts)
    for start, end, kind in _stretches(texts, chosen, vocabulary):
        made[start:end] = labels(kind, end - start)
    return made


class Stream:
    """All tokens of an examination in order, each utterance opened by its speaker, and what each
    token is; `at` tells where a token of an utterance stands."""

    def __init__(
        self, phrases: Iterable[tuple[Written, tuple[Stretch, ...]]], vocabulary: Vocabulary
    ) -> None:
        self.words: list[str] = []
        self.kinds: list[str] = []
        self.at: dict[tuple[int, int], int] = {}
        for written, chosen in phrases:
            texts = [token.text for token in written.tokens]
            self.words.append(f"{LINE}{written.utterance.speaker}")
            self.kinds.append("LINE")
            first = len(self.words)
            self.at |= {(written.utterance.index, n): first + n for n in range(len(texts))}
            self.words += texts
            self.kinds += token_kinds(texts, chosen, vocabulary)

    def stretch(self, mark: Mark) -> Stretch | None:
        """First and end of a mark; None where it was not read with the examination."""
        index = mark.written.utterance.index
        first, last = self.at.get((index, mark.start)), self.at.get((index, mark.end - 1))
        return None if first is None or last is None else (first, last + 1)


def _stretches(
    texts: Sequence[str], chosen: Iterable[Stretch], vocabulary: Vocabulary
) -> Iterator[tuple[int, int, str]]:
    for at, text in enumerate(texts):
        if text[:1].isdigit():
            yield at, at + 1, "number"
    for start, end in chosen:
        if kind := _kind(tuple(texts[start:end]), vocabulary):
            yield start, end, kind


def _kind(form: tuple[str, ...], vocabulary: Vocabulary) -> str:
    if terms := vocabulary.terms.get(form):
        return terms[0].category
    if any(form in table for table in vocabulary.bare.values()):
        return "bare"
    if form in vocabulary.values or form in vocabulary.predicates:
        return "value"
    roles = vocabulary.cues.get(form, frozenset())
    return next((r for r in ROLES if any(x == r or x.startswith(r + ".") for x in roles)), "")
