"""What can stand in a place of a sentence: a muscle before a grade, a sign before "positive"."""

from dictate2exam.findings.heard_numbers import HIGHEST_SCORE
from dictate2exam.findings.marks import Mark

# Categories of term that a value of each kind can be of.
OF_KIND = {
    "power": {"muscle", "movement"},
    "sensation": {"area"},
    "sign": {"sign", "percussion", "posture"},
    "posture": {"posture"},
    "reflex": {"reflex"},
    "pulse": {"pulse"},
    "range": {"movement"},
    "wasting": {"muscle", "bulk"},
    "contraction": {"muscle"},
    "needle": {"muscle"},
}
HIGHEST_GRADE = 5
NOUNS = frozenset({"muscle", "muscles", "reflex", "jerk"})


def in_place(marks: list[Mark], low: int, high: int) -> bool:
    """Whether a term may stand here: before a value, or after one that says "in" or "of"."""
    for mark in marks[high:]:
        if mark.valued or mark.has("homophone") or mark.predicates or mark.terms:
            return True
        if not (mark.light or mark.has("pause") or mark.has("side") or mark.has("kind")):
            break
    for mark in reversed(marks[:low]):
        if mark.valued or mark.terms or mark.has("negation"):
            return True
        if not (mark.light or mark.has("pause") or mark.has("side")):
            return False
    return low == 0 and high == len(marks)


def graded_next(marks: list[Mark], end: int) -> bool:
    """Whether a grade follows directly: only then is a strange word an unknown term."""
    for mark in marks[end : end + 3]:
        if mark.number:
            # "Elbow at ninety" is how it was held.
            return mark.number.value <= HIGHEST_SCORE
        if not (mark.has("list.copula") or mark.text in NOUNS or mark.has("side")):
            return False
    return False


def opens(marks: list[Mark], at: int) -> bool:
    """Whether a term begins here: the first words, or after a pause, value, side or "and"."""
    before = marks[at - 1] if at else None
    return (
        before is None
        or before.has("pause")
        or bool(before.number)
        or bool(before.values)
        or before.text in {"and", "the", "then"}
        or before.has("side")
    )


def allowed(marks: list[Mark], end: int) -> frozenset[str]:
    """The categories of term that the value after `end` can be of; empty where any can."""
    for mark in marks[end : end + 3]:
        if mark.number:
            if mark.number.sign or 0 < mark.number.scale <= HIGHEST_GRADE:
                return frozenset({"muscle", "movement"})
            if mark.number.value > HIGHEST_GRADE or mark.number.scale:
                return frozenset({"area"})
            return frozenset({"muscle", "movement", "area", "reflex"})
        kinds = {kind for value in mark.values for kind in value.means}
        kinds |= {predicate.kind for predicate in mark.predicates}
        if kinds:
            return frozenset().union(*(OF_KIND.get(kind, set()) for kind in kinds))
        if mark.terms or not (mark.light or mark.has("side") or mark.text in NOUNS):
            break
    return frozenset()
