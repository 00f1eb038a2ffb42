"""A grade said over again only to be put right: "serratus I called four plus, make it a four"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.marks import Mark
from dictate2exam.lexicon.terms import Term

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

SAID = frozenset(
    {"called", "said", "wrote", "written", "had", "gave", "given", "put", "marked", "recorded"}
    | {"scored", "graded", "noted", "dictated", "entered", "from"}
)
DENIED = frozenset({"not", "not a", "rather than", "instead of", "instead of a", "rather than a"})
HIGHEST = 10
# Sentences of urging that may stand before a grade that is put right.
URGED = 4
# A grade, a denial, and the grade denied.
DENIED_GRADE = [True, False, True]
GRADED = frozenset({"muscle", "movement", "area", "level", "grip"})


def pass_over(line: Line) -> None:
    """Passes over the grade that stands already, so that the next one said takes its place."""
    marks, state = line.marks, line.state
    numbers = [n for n, m in enumerate(marks) if m.number is not None]
    if not numbers or line.asked or line.speaker == "patient" or line.group:
        return
    old = [n for n in numbers if _is_told_again(marks, n)]
    if not old:
        return
    terms = {m.terms[0].term_id: m.terms[0] for m in marks if m.terms}
    if not terms:
        terms = {s.term.term_id: s.term for s in state.open if state.sentence - s.sentence <= 2}
    if not terms and _corrects_alone(marks):
        last = [d for d in state.last if not d.gone and state.sentence - d.sentence <= URGED]
        terms = {d.term.term_id: d.term for d in last if d.item.startswith("power.")}
    if len(terms) != 1:
        return
    term = next(iter(terms.values()))
    standing = _standing(line, term)
    for n in old:
        number = marks[n].number
        if number is None or number.text not in standing:
            continue
        low = _clause(marks, n)
        for mark in marks[low : n + 1]:
            if not (mark.terms or mark.has("pause") or mark.has("side")):
                _quiet(mark)
        if n + 1 < len(marks) and marks[n + 1].text == "to":
            _quiet(marks[n + 1])
        state.correcting, state.correcting_since = "again", state.sentence
        if term.category == "muscle":  # a grade of power, though the reflexes were spoken of last
            state.context.kind = state.context.topic = "power"
        for mark in marks[n + 1 :]:  # "it ought to be two plus"
            mark.scope = "" if mark.scope == "teaching" else mark.scope
        for mark in marks[:n]:  # "with the elbow at ninety"
            if mark.number is not None and mark.number.value > HIGHEST:
                mark.number, mark.roles = None, frozenset({"list.light"})


def _corrects_alone(marks: list[Mark]) -> bool:
    """Whether a sentence says no more than which grade it is and is not: "one, not a two"."""
    said = [m for m in marks if not (m.has("pause") or m.light) or m.number]
    return len(said) == len(DENIED_GRADE) and [bool(m.number) for m in said] == DENIED_GRADE


def _quiet(mark: Mark) -> None:
    mark.number, mark.values, mark.predicates = None, (), ()
    mark.roles, mark.scope = frozenset({"list.light"}), ""


def _clause(marks: list[Mark], at: int) -> int:
    """Where the words begin that tell of the grade at this place."""
    low = at
    while low and not (marks[low - 1].has("pause") or marks[low - 1].number is not None):
        low -= 1
    return low


def _is_told_again(marks: list[Mark], at: int) -> bool:
    """Whether the words before a grade say that it was given before, or that it is not that."""
    if at and marks[at - 1].text in DENIED:
        return True
    words = [word for m in marks[_clause(marks, at) : at] for word in m.text.split()]
    return bool(SAID & set(words))


def _standing(line: Line, term: Term) -> set[str]:
    """The grades that a term, or any part of it, has now."""
    if term.category not in GRADED:
        return set()
    kind = "sensation" if term.category in {"area", "level"} else "power"
    names = (term.members or ()) if term.is_group else (term.term_id,)
    drafts = [line.state.of_item(f"{kind}.{name}")[-2:] for name in names]
    return {d.value for known in drafts for d in known if not d.gone}
