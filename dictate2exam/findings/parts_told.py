"""Parts listed in a sentence behind the grade of their whole: "Deltoid, five. Anterior, middle and
posterior."."""

from __future__ import annotations

from copy import copy
from itertools import pairwise
from typing import TYPE_CHECKING

from dictate2exam.findings.marks import Mark

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


def name_listed(line: Line) -> None:
    """Gives the grade of the whole to the parts that are only listed behind it."""
    state = line.state
    listed = [m for m in line.marks if m.terms or any(r.startswith("part.") for r in m.roles)]
    last = [d for d in state.last if not d.gone and d.item.startswith("power.")]
    if len(listed) < 2 or not last or state.sentence - last[-1].sentence > 1 or state.open:
        return
    if not all(m in listed or m.light or m.has("pause") or m.has("list.join") for m in line.marks):
        return
    if any(m.number or m.values or m.predicates or m.scope for m in line.marks):
        return
    first = last[0].term
    wholes = [first, *line.vocabulary.groups_of.get(first.term_id, ())]
    for whole in wholes:
        members = [*(whole.members or ()), *whole.parts]
        parts = [_part(m.terms, m.roles, members) for m in listed]
        if not members or not all(parts):
            continue
        graded = {d.term.term_id for d in last}
        if len({(d.value, d.side) for d in last}) > 1:
            return
        if first is whole and len(last) == 1:
            made = []
            for name in dict.fromkeys(parts):
                twin = copy(last[0])
                twin.term = line.vocabulary.by_id[(whole.category, name)]
                twin.item, twin.detail = f"power.{name}", dict(last[0].detail)
                made.append(twin)
            last[0].dropped = True
            state.drafts.extend(made)
            state.last = made
        elif not set(parts) <= graded:
            return
        for mark in listed:
            mark.terms, mark.values, mark.shared = (), (), []
            mark.roles = frozenset({"list.light"})
        return


def leave_summed(marks: list[Mark]) -> None:
    """ "Of the cuff, the two others are preserved: teres minor five, subscapularis five": what is
    only summed up before a colon is told behind it."""
    colon = next((n for n, m in enumerate(marks) if m.text == ":"), 0)
    head, rest = marks[:colon], marks[colon + 1 :]
    whole = [m for m in head if m.terms]
    others = any(m.has("list.rest") for m in head)
    graded = any(a.terms and b.number for a, b in pairwise(rest))
    if len(whole) != 1 or not (whole[0].terms[0].is_group and others and graded):
        return
    for mark in head:
        if mark.terms or mark.valued or mark.has("list.rest"):
            mark.leave()
            mark.number = None


def _part(terms: tuple, roles: frozenset[str], members: list[str]) -> str:  # type: ignore[type-arg]
    """The part among the members that a mark names; empty where it names none of them."""
    named = [t.term_id for t in terms if t.term_id in members]
    spoken = sorted(r.partition(".")[2] for r in roles if r.startswith("part."))
    return next((name for name in (*named, *spoken) if name in members), "")
