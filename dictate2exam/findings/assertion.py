"""Whether any stretch of a sentence is denied, past, or said of another person.

The same words and reaches that decide it for the terms of an examination, for any given words.
"""

from dataclasses import dataclass

from dictate2exam.findings.denial import turn_denial
from dictate2exam.findings.marking import sentences
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.nlp import Pipeline
from dictate2exam.findings.scopes import scope_tokens
from dictate2exam.speech.model import Utterance, Word
from dictate2exam.text.model import Written

# A denial that follows stands within so many marks.
FOLLOWS_WITHIN = 6
DENYING = frozenset({"absent", "negative"})


@dataclass(frozen=True, slots=True)
class Assertion:
    """What is said of a stretch of words."""

    negated: bool
    historical: bool
    other_person: bool


def assert_words(words: list[str], first: int, last: int, pipeline: Pipeline) -> Assertion:
    """What a sentence says of its words `first` to `last` (included), counted from 0.

    Raises IndexError where the sentence has no such words.
    """
    if not 0 <= first <= last < len(words):
        raise IndexError(f"A sentence of {len(words)} words has no words {first} to {last}.")
    utterance = Utterance(
        index=0,
        start_s=0.0,
        end_s=float(len(words)),
        words=tuple(Word(text=w, start_s=n, end_s=n + 1.0) for n, w in enumerate(words)),
    )
    written = pipeline.vocabulary.normaliser.write(utterance)
    doc = pipeline.mark(written)
    for sentence in sentences(doc, written, pipeline.vocabulary):
        inside = [m for m in sentence.marks if _covers(m, written, first, last)]
        if inside:
            scopes = [(s.start, s.end) for s in doc.spans["scopes"]]
            return Assertion(
                negated=_is_denied(sentence.marks, inside),
                historical=_in_scope(sentence, inside, scopes, "history", pipeline, written),
                other_person=_in_scope(sentence, inside, scopes, "other_person", pipeline, written),
            )
    return Assertion(False, False, False)


def _covers(mark: Mark, written: Written, first: int, last: int) -> bool:
    tokens = written.tokens[mark.start : mark.end]
    return any(t.first_word <= last and t.last_word >= first for t in tokens)


def _is_denied(marks: list[Mark], inside: list[Mark]) -> bool:
    denial: Mark | None = None
    doubt = ""
    for mark in marks:
        if mark is inside[0]:
            break
        denial, doubt = turn_denial(mark, denial, doubt)
    if denial is not None and not doubt:
        return True
    if any(m.has("negation.before") and not m.has("negation.doubt") for m in inside):
        return True
    after = marks[marks.index(inside[-1]) + 1 :][:FOLLOWS_WITHIN]
    for place, mark in enumerate(after):
        said = any(word.name in DENYING for word in mark.values)
        if said or mark.has("negation.after"):
            return not any(m.has("negation.before") for m in after[:place])
        if not (mark.light or mark.has("negation") or mark.text in {"by", "also"}):
            return False
    return False


def _in_scope(
    sentence: Sentence,
    inside: list[Mark],
    scopes: list[tuple[int, int]],
    name: str,
    pipeline: Pipeline,
    written: Written,
) -> bool:
    """Whether talk of one kind alone reaches the words."""
    for mark in sentence.marks:
        mark.scope = mark.reach = ""
    scope_tokens(sentence, scopes, pipeline.vocabulary, written, only=name)
    return all(mark.scope == name for mark in inside)
