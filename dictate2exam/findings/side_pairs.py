"""Values for either side in turn ("left five, right four"), and which side they leave in force."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import State

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


def carry(line: Line, at: int, side: str, terms: set[str] | None = None) -> None:
    """Carries the side on, unless values of either side are read out in turn here, or the same
    `terms` were just found on the other side."""
    state = line.state
    if side not in OPPOSITE or (state.side in OPPOSITE and _alternates(line, at)):
        return
    if terms and completes_pair(state, terms, side):
        state.side = state.pair_side or side
        return
    state.pair_side = (state.side or side) if terms else side
    state.side = side


def completes_pair(state: State, terms: set[str], side: str) -> bool:
    """Whether the same things were just found on the other side: "left biceps five, right ..."."""
    near = [d for d in state.drafts[-12:] if state.sentence - d.sentence <= 1 and not d.gone]
    return any(d.side == OPPOSITE[side] and d.term.term_id in terms for d in near)


def letters_around(line: Line, at: int) -> str:
    """The values and sides after the last term and before the next one, as "v" and "s"."""
    low = next((p for p in range(at - 1, -1, -1) if line.marks[p].terms), -1)
    out = ""
    for place in range(low + 1, len(line.marks)):
        mark = line.marks[place]
        if mark.terms:
            break
        value = mark.valued and (not mark.light or mark.has("predicative"))
        value = value and (low < 0 or _may_be_of(mark, line.marks[low]))
        letter = "s" if mark.has("side") else "v" if value else ""
        out += letter if letter != "v" or not out.endswith("v") else ""
    return out


def _may_be_of(mark: Mark, name: Mark) -> bool:
    """Whether a value can be of the term: "made" is of the round O alone."""
    bound = not (mark.number or mark.predicates) and all(word.only for word in mark.values)
    name_id = f".{name.terms[0].term_id}"
    return not bound or any(item.endswith(name_id) for word in mark.values for item in word.only)


def _alternates(line: Line, at: int) -> bool:
    """Whether both sides get a value for one term: "left five, right four"."""
    letters = letters_around(line, at)
    if letters.count("s") < 2 or letters.count("v") < 2:
        return False
    near = [m for m in line.marks if m.has("side.left") or m.has("side.right")]
    return len({m.has("side.left") for m in near}) > 1


def completes(state: State, side: str) -> bool:
    """Whether a value for this side goes beside one that the other side was just given."""
    last = [d for d in state.last if not d.gone]
    return bool(last) and all(d.side == OPPOSITE.get(side) for d in last)


def side_follows(line: Line, at: int) -> bool:
    """Whether the next word that counts is one of side: "absent on the left, present on ..."."""
    ahead = line.next_solid(at)
    return ahead < len(line.marks) and line.marks[ahead].has("side")
