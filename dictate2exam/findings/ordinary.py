"""Ordinary English words that are like a term: taken for it only where a term must stand."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

# A stretch of so many words is hardly said by chance in the sounds of a term.
SPLIT = 2
ARTICLES = frozenset({"a", "an"})
NAMED_ALONE = frozenset({"sign", "posture", "bulk"})


def stands_for_itself(
    marks: list[Mark], low: int, high: int, term: Term, vocabulary: Vocabulary
) -> bool:
    """Whether the words from `low` to `high` are ordinary ones where no term need stand."""
    words = [word for mark in marks[low:high] for word in mark.text.split()]
    if any(mark.valued for mark in marks[low:high]):
        return True
    if not all(word in vocabulary.phrases.ordinary for word in words if len(word) > 1):
        return False
    if _valued_next(marks, high, term):
        return False
    denied = low > 0 and marks[low - 1].has("negation.before")
    return not (len(words) >= SPLIT and denied)


def describes_a_thing(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """Whether the word at `at` only describes something that is not examined: "a thin coat"."""
    before = marks[at - 1].text.split()[-1] if at else ""
    after = marks[at + 1] if at + 1 < len(marks) else None
    if after is None or after.roles or after.terms or after.valued:
        return False
    return before in ARTICLES and after.text in vocabulary.phrases.ordinary


def _valued_next(marks: list[Mark], high: int, term: Term) -> bool:
    """Whether a value of the kind that the term takes follows, with light words between."""
    for mark in marks[high:]:
        if mark.valued or mark.has("homophone"):
            if term.category in NAMED_ALONE:
                return any("sign" in word.means or "wasting" in word.means for word in mark.values)
            return mark.number is not None or mark.has("homophone") or bool(mark.values)
        if not (mark.light or mark.has("side") or mark.has("kind")):
            return False
    return False
