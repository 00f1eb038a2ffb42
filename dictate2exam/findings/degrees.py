"""Degrees of what was said: "and, less, of the supraspinatus", "the thenar only doubtfully so"."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings.asking import ask_about
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

OF = frozenset({"of", "in"})
SO = frozenset({"list.so", "list.so.not", "list.so.doubt"})


def soften(marks: list[Mark]) -> None:
    """Makes a word of degree between the names of a list hold it together, and say no value."""
    for at, mark in enumerate(marks[:-1]):
        if not (at and mark.has("list.degree")):
            continue
        before, after = marks[at - 1], marks[at + 1]
        set_off = before.has("pause") or before.text in {"and", "but"}
        named = any(m.terms for m in marks[:at]) and any(m.terms for m in marks[at + 1 :])
        if set_off and named and (after.has("pause") or after.text.split()[0] in OF):
            mark.values, mark.predicates = (), ()
            mark.roles = frozenset({"list.light"})


def read_so(line: Line, at: int) -> bool:
    """Reads "so" for what was said last: "wasted, the thenar only doubtfully so"."""
    mark, state = line.marks[at], line.state
    said = state.last_claim
    if said is None or line.speaker == "patient":
        return False
    waiting = [s for s in state.open if s.sentence == state.sentence]
    if not waiting or not line.group:
        return False
    if said.number is not None:
        # "Biceps four, triceps less so" says no grade.
        ask_about(line, waiting, f'"{mark.text}" says no value; what was it?', mark)
        state.open = []
        return True
    claim = copy(said)
    claim.mark = mark
    claim.denied = said.denied != mark.has("list.so.not")
    claim.uncertain = said.uncertain or mark.has("list.so.doubt")
    kept, kind = state.context.kind, line.group[-1].item.partition(".")[0]
    state.context.kind = kind
    made = assign(line, claim, waiting, rule="so too")
    state.context.kind = kept
    if made is None:
        return False
    state.open = []
    return True
