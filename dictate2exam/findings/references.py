"""The good side as what ten means is no finding and no change of side: "left equals ten"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import ONE_SIDE, OPPOSITE

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

FULL = 10
REACH = 6
LIGHT = frozenset({"list.light"})


def set_aside(line: Line) -> None:
    """Makes the side and the ten of a reference words that only hold speech together."""
    if line.state.open or _given(line):
        return
    between = set(line.vocabulary.phrases.cues["reference.between"])
    for ten, mark in enumerate(line.marks):
        if mark.number is None or mark.number.value != FULL or mark.terms:
            continue
        if _is_compared(line, ten):
            continue
        side = _side_beside(line, ten, between)
        if side >= 0 and _stands_alone(line, min(side, ten), max(side, ten)):
            for said in (line.marks[side], mark):
                said.roles, said.values, said.number = LIGHT, (), None


def _is_compared(line: Line, ten: int) -> bool:
    """Silences what a ten is only compared with: "against the left little finger as ten"."""
    said = [line.marks[ten]]
    for mark in reversed(line.marks[max(0, ten - REACH) : ten]):
        if mark.has("comparison") and any(_is_side(m) for m in said):
            for one in said:
                one.roles, one.values, one.number, one.terms = LIGHT, (), None, ()
            return True
        if mark.has("pause") or mark.valued:
            return False
        said.append(mark)
    return False


def _side_beside(line: Line, ten: int, between: set[str]) -> int:
    """The place of a side that only such words part from the ten; -1 where there is none."""
    for step in (-1, 1):
        at = ten + step
        while 0 <= at < len(line.marks):
            mark = line.marks[at]
            if _is_side(mark):
                return at
            if mark.terms or not set(mark.text.split()) <= between:
                break
            at += step
    return -1


def _is_side(mark: Mark) -> bool:
    return any(mark.has(side) for side in ONE_SIDE)


def _stands_alone(line: Line, low: int, high: int) -> bool:
    """Whether the clause from `low` to `high` names nothing that could have the score, and gives
    no other."""
    while low and not line.marks[low - 1].has("pause"):
        low -= 1
    after = line.marks[high + 1] if high + 1 < len(line.marks) else None
    if after is not None and not (after.has("pause") or after.light or not after.terms):
        return False
    clause = line.marks[low : high + 1]
    named = any(m.terms for m in line.marks[: high + 1])
    return not named and not any(m.number and m.number.value < FULL for m in clause)


def _given(line: Line) -> bool:
    """Whether the other side was just given a score, and this is that of the second."""
    state = line.state
    if any(m.terms for m in line.marks):
        return False
    last = [d for d in state.last if not d.gone and state.sentence - d.sentence <= 1]
    return any(d.item.startswith("sensation.") and d.side in OPPOSITE for d in last)
