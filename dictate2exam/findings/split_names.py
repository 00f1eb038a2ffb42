"""Signs whose name is cut by a denial, and contractions that are only said to be there:
"the shoulder isn't drooping or subluxed", "and there was a contraction"."""

from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

SIGNS = frozenset({"sign", "posture"})
OR = frozenset({"or", "nor", "and", ","})
VERBS = frozenset({"is", "was", "are", "were"})
# Marks between "there was" and "contraction": "a small".
BETWEEN = 3
# Marks that may say what is denied of the noun: "sticking out".
LONGEST = 3


def name_split(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Names the sign of which a denial parts the noun from what is said of it."""
    for at, mark in enumerate(marks):
        if not (at and mark.has("negation.before")) or marks[at - 1].terms:
            continue
        verb = at > 1 and marks[at - 1].text in VERBS and not marks[at - 2].terms
        noun = marks[at - 2 if verb else at - 1].text.split()[-1:]
        place = at + 1
        while place < len(marks):
            found, size = _longest(noun, marks[place : place + LONGEST], vocabulary)
            for other in marks[place : place + size]:
                other.leave()
            other = marks[place]
            if found:
                other.terms, other.roles = found, frozenset()
            elif not (other.terms or other.text in OR or other.light):
                break
            place += max(size, 1)


def _longest(
    noun: list[str], marks: list[Mark], vocabulary: Vocabulary
) -> tuple[tuple[Term, ...], int]:
    """The sign that the noun makes with as many of these marks as possible, and how many."""
    for size in range(len(marks), 0, -1):
        found = _sign(noun, [word for m in marks[:size] for word in m.text.split()], vocabulary)
        if found:
            return found, size
    return (), 0


def _sign(noun: list[str], said: list[str], vocabulary: Vocabulary) -> tuple[Term, ...]:
    """ "Shoulder" and "drooping" make "shoulder is drooping"; "droop" makes "shoulder droops"."""
    ways = ([*noun, "is", *said], [*noun, *said], [*noun, *said[:-1], f"{said[-1]}s"])
    for way in ways:
        found = vocabulary.terms.get(tuple(way), ())
        if found and found[0].category in SIGNS:
            return found
    return ()


def name_contraction(sentence: Sentence, vocabulary: Vocabulary) -> None:
    """Makes "there was a contraction" the value of the muscle that was spoken of."""
    marks = sentence.marks
    words = tuple(p for p in vocabulary.phrases.predicates if p.name == "contracts")
    for at, mark in enumerate(marks):
        if not mark.has("kind.contraction") or mark.valued or mark.terms or sentence.asked:
            continue
        start = max(0, at - BETWEEN)
        there = [n for n in range(start, at) if marks[n].has("list.there")]
        if not there or any(
            m.has("negation.before")
            or m.has("pause")
            or m.number
            or m.scope == "question"
            or any(word.means.get("contraction") for word in m.values)
            for m in marks[there[-1] : at]
        ):
            continue
        mark.predicates = words
        for other in marks[there[-1] : at]:
            other.values = ()
        for other in marks[there[-1] :]:
            other.scope = "" if other.scope == "instruction" else other.scope
