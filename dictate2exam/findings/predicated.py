"""Wasting that is said to be there or not, place by place: "wasting was evident in the first dorsal
interosseous, absent in the thenar"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.phrases import Predicate

KIND = "wasting"
PRESENT = frozenset({"present", "positive"})
ABSENT = frozenset({"absent", "nothing"})
THERE = frozenset({"there is", "there it is", "there are", "is there"})
SHOWN = frozenset({"pulse", "sign", "posture", "reflex"})
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


def say_there(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "Radial pulse, there is": what closes a sentence behind a name and a pause says that it is
    there."""
    if len(marks) < 3 or marks[-1].text not in THERE or not marks[-2].has("pause"):
        return
    named = [m for m in marks[:-2] if m.terms]
    if not named or named[-1].terms[0].category not in SHOWN:
        return
    if any(m.valued or m.has("negation") or m.scope for m in marks[:-1]):
        return
    marks[-1].values = vocabulary.words_named("present")
    marks[-1].roles = frozenset()


def _denied(said: Predicate) -> Predicate:
    return said.model_copy(update={"value": said.denied, "denied": said.value})


def _before_muscle(marks: list[Mark], at: int) -> bool:
    ahead = marks[at + 1 : at + 4]
    if not ahead or not ahead[0].has("list.prepose"):
        return False
    term = next((m.terms[0] for m in ahead if m.terms), None)
    return term is not None and term.category in BULK
