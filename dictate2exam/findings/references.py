"""The good side as what ten means is no finding and no change of side: "left equals ten"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import OPPOSITE

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

FULL = 10
LIGHT = frozenset({"list.light"})
SIDES = ("side.left", "side.right", "side.good", "side.other")


def set_aside(line: Line) -> None:
    """Makes the side and the ten of a reference words that only hold speech together."""
    between = set(line.vocabulary.phrases.cues["reference.between"])
    full = [m for m in line.marks if m.number and m.number.value == FULL and not m.terms]
    if len(full) != 1 or _given(line):
        return
    ten = line.marks.index(full[0])
    for step in (-1, 1):
        at = ten + step
        while 0 <= at < len(line.marks) and not _is_side(line.marks[at]):
            mark = line.marks[at]
            if mark.terms or not set(mark.text.split()) <= between:
                break
            at += step
        else:
            if 0 <= at < len(line.marks) and _stands_alone(line, min(at, ten), max(at, ten)):
                for mark in (line.marks[at], full[0]):
                    mark.roles, mark.values, mark.number = LIGHT, (), None
                return


def _is_side(mark: Mark) -> bool:
    return any(mark.has(side) for side in SIDES)


def _stands_alone(line: Line, low: int, high: int) -> bool:
    """Whether the clause from `low` to `high` names nothing that could have the score."""
    while low and not line.marks[low - 1].has("pause"):
        low -= 1
    after = line.marks[high + 1] if high + 1 < len(line.marks) else None
    if after is not None and not (after.has("pause") or after.light or not after.terms):
        return False
    return not any(m.terms for m in line.marks[low : high + 1])


def _given(line: Line) -> bool:
    """Whether something waits for the score, or the other side was just given one."""
    state = line.state
    if state.open or any(m.number and m.number.value < FULL for m in line.marks):
        return True
    last = [d for d in state.last if not d.gone and state.sentence - d.sentence <= 1]
    return any(d.item.startswith("sensation.") and d.side in OPPOSITE for d in last)
