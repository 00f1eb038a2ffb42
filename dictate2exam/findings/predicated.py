"""Wasting that is said to be there or not, place by place: "wasting was evident in the first dorsal
interosseous, absent in the thenar"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.lexicon.phrases import Predicate

KIND = "wasting"
PRESENT = frozenset({"present", "positive"})
ABSENT = frozenset({"absent", "nothing"})
BULK = frozenset({"muscle", "bulk"})


def say_where(marks: list[Mark]) -> None:
    """Gives words for "there" and "not there" before a muscle the kind that opened the list."""
    opened: Predicate | None = None
    first = -1
    for at, mark in enumerate(marks):
        if mark.number:
            opened = None
        wasted = next((p for p in mark.predicates if p.kind == KIND), None)
        if mark.predicates:
            opened, first = wasted, at
            continue
        names = {word.name for word in mark.values}
        if opened is None or not names & (PRESENT | ABSENT) or not _before_muscle(marks, at):
            continue
        said = opened if names & PRESENT else _denied(opened)
        if all(m.light for m in marks[first + 1 : at]) and marks[first].predicates:
            marks[first].predicates, marks[first].values = (), ()
            marks[first].roles = frozenset({"list.light"})
        mark.predicates, mark.values, mark.roles = (said,), (), frozenset()


def _denied(said: Predicate) -> Predicate:
    return said.model_copy(update={"value": said.denied, "denied": said.value})


def _before_muscle(marks: list[Mark], at: int) -> bool:
    ahead = marks[at + 1 : at + 4]
    if not ahead or not ahead[0].has("list.prepose"):
        return False
    term = next((m.terms[0] for m in ahead if m.terms), None)
    return term is not None and term.category in BULK
