"""The good side as what ten means is no finding and no change of side: "left equals ten"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import (
    ONE_SIDE,
    OPPOSITE,
    affected,
    compared,
    named_side,
)

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

FULL, TEN = 10, "10"
# Behind a comma these still speak of the side: "feel the right, that is a ten".
POINTS = frozenset({"that", "thats", "this", "it", "its"})
# So far before a ten a word of comparison may stand.
REACH = 6
# So many words without a meaning may part a side from its ten: "ten's what you got on the left".
STRANGE = 2
SPEAKS = ("pause", "side", "correction", "negation", "history")
# Before a side behind words of comparison: "next to the right", "next to his right".
OWNING = frozenset({"the", "his", "her", "your", "their"})
SHOWS = frozenset({"heres", "here", "this", "thats"})
LIGHT = frozenset({"list.light"})
# So many sentences back the side may have been touched that "that is your ten" speaks of.
BACK = 3


def set_aside(line: Line) -> None:
    """Makes the side and the ten of a reference words that only hold speech together, and turns
    from a side that is only the reference to the one that is compared with it."""
    if line.marks[0].text.split()[0] in SHOWS and _shown(line):
        return
    _turn_from_compared(line)
    _leave_scale(line)
    tens = [at for at, m in enumerate(line.marks) if m.number is not None or m.text == TEN]
    if not tens or line.speaker == "patient":
        return
    tens = [at for at in tens if not (_is_full(line.marks[at]) and _is_compared(line, at))]
    if not tens or _named(line, tens) or _touched(line, tens):
        return
    if line.state.open or _given(line):
        return
    between = set(line.vocabulary.phrases.cues["reference.between"])
    for ten in tens:
        mark = line.marks[ten]
        if not _is_full(mark) or mark.terms:
            continue
        side = _side_beside(line, ten, between)
        if side >= 0 and _stands_alone(line, min(side, ten), max(side, ten)):
            good = OPPOSITE.get(affected(line.state), "")
            of_good = good if line.marks[side].has("side.good") else ""
            _turn_from(line, named_side(line.marks[side]) or of_good)
            # Of strength there is no ten: what follows is felt.
            line.state.context.topic = line.state.context.heading = "sensation"
            for said in line.marks[min(side, ten) : max(side, ten) + 1]:
                if not said.has("pause"):
                    said.roles, said.values, said.number = LIGHT, (), None


def _turn_from_compared(line: Line) -> None:
    """Turns from the side that a sentence only compares with, which is not the one it is about:
    "On the right, triceps five. Touch, graded against the right: C5 two"."""
    state = line.state
    sides = [at for at, m in enumerate(line.marks) if m.has("side")]
    names = {named_side(line.marks[at]) for at in sides}
    if line.speaker == "patient" or names != {state.side} or state.side not in OPPOSITE:
        return
    if state.open or any(line.marks[at].scope not in {"", "question"} for at in sides):
        return
    if all(_only_compared(line, at) for at in sides) and _turn_from(line, state.side):
        for at in sides:
            line.marks[at].roles = LIGHT


def _only_compared(line: Line, at: int) -> bool:
    """Whether a side is what is compared with: "relative to the right", "taking the right as the
    standard"."""
    cues = line.vocabulary.phrases.cues
    before = [word for m in line.marks[:at] for word in m.text.split()]
    while before and before[-1] in OWNING:
        before.pop()
    after = f" {' '.join(m.text for m in line.marks[at + 1 : at + 4])} "
    stands = before[-1:] and before[-1] in cues["reference.taking"]
    if stands and any(f" {word} " in after for word in cues["reference.taken"]):
        return True
    said = f" {' '.join(before)}"
    return compared(line, at) or said.endswith(tuple(f" {w}" for w in cues["reference.beside"]))


def _leave_scale(line: Line) -> None:
    """Passes over the nought that is only the other end of the scale: "ten is like the left, nought
    is numb"."""
    marks = line.marks
    numbers = [m for m in marks if m.number is not None]
    ends = {m.number.value for m in numbers if m.number is not None}
    if line.speaker == "patient" or any(m.terms for m in marks) or line.state.open:
        return
    if len(numbers) != 2 or ends != {0, FULL}:
        return
    at = next(n for n, m in enumerate(marks) if m.number is not None and m.number.value == 0)
    after = [m for m in marks[at + 1 : at + 4] if not m.light]
    for mark in (marks[at], *(m for m in after[:1] if m.values)):
        mark.roles, mark.values, mark.number = LIGHT, (), None


def _named(line: Line, tens: list[int]) -> bool:
    """Reads "your right thumb first, call that ten": what is named waits for its score on the side
    examined."""
    (ten, *more), marks = tens, line.marks
    sides = [at for at, m in enumerate(marks) if m.has("side.left") or m.has("side.right")]
    before = marks[:ten]
    if more or not _is_full(marks[ten]) or len(sides) != 1 or sides[0] > ten:
        return False
    if not any(m.terms for m in before):
        return False
    side, cues = named_side(marks[sides[0]]), line.vocabulary.phrases.cues
    said = " " + " ".join(m.text for m in marks) + " "
    words = set(said.split())
    calls = [word for word in cues["reference.calls"] if f" {word} " in said]
    first = "first" in words and bool(words & set(cues["reference.pointing"]))
    compared = (first or calls) and line.state.side == OPPOSITE[side]
    if not compared and not any(f" {word} " in said for word in cues["reference.names"]):
        return False
    _turn_from(line, side)
    for mark in (marks[sides[0]], marks[ten]):
        mark.roles, mark.values, mark.number = LIGHT, (), None
    line.asked = True
    return True


def _shown(line: Line) -> bool:
    """Reads "here is normal, on the right", where nothing is named that would be normal."""
    said = " ".join(m.text for m in line.marks)
    if not said.startswith(line.vocabulary.phrases.cues["reference.shown"]):
        return False
    named = any(m.terms or m.number for m in line.marks)
    side = next((name for m in line.marks if (name := named_side(m))), "")
    if named or not side or not any(w.name == "normal" for m in line.marks for w in m.values):
        return False
    _turn_from(line, side)
    for mark in line.marks:
        if not mark.has("pause"):
            mark.roles, mark.values = LIGHT, ()
    return True


def _touched(line: Line, tens: list[int]) -> bool:
    """Reads "That is your ten" behind "Feel the right"."""
    mark, cues = line.marks[tens[0]], line.vocabulary.phrases.cues
    pointing, between = set(cues["reference.pointing"]), set(cues["reference.between"])
    words = {word for m in line.marks if m is not mark for word in m.text.split()}
    if len(tens) > 1 or not _is_full(mark) or not words & pointing:
        return False
    if line.state.open or not all(
        m is mark
        or m.has("pause")
        or (not m.terms and (m.light or set(m.text.split()) <= between | pointing))
        for m in line.marks
    ):
        return False
    for sentence in line.state.read[: -BACK - 1 : -1]:
        if any(m.terms or m.number for m in sentence.marks):
            return False
        side = next((m for m in sentence.marks if m.has("side.left") or m.has("side.right")), None)
        if side is not None:
            if not _turn_from(line, named_side(side)):
                return False
            mark.roles, mark.values, mark.number = LIGHT, (), None
            return True
    return False


def _turn_from(line: Line, side: str) -> bool:
    """Turns from the side of a reference to the other, where that one was examined before."""
    state = line.state
    other = OPPOSITE.get(side, "")
    if not other or (
        other not in {state.side, state.default_side}
        and all(spoken != other for spoken, _ in state.spoken_sides)
    ):
        return False
    if state.side == side:
        state.side, state.excursion = other, None
    return True


def _is_full(mark: Mark) -> bool:
    """Whether a mark is a ten, of somebody ("your ten") or not."""
    return mark.number.value == FULL if mark.number is not None else mark.text == TEN


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
    """The place of a side that only such words part from the ten, and where nothing is named a
    few that mean nothing; -1 where there is none."""
    named = any(m.terms for m in line.marks)
    for step in (-1, 1):
        at, strange, serves = ten + step, 0, False
        while 0 <= at < len(line.marks):
            mark = line.marks[at]
            if _is_side(mark):
                return at
            serves = serves or (step < 0 and mark.text == "as")
            pointed = mark.has("pause") and (
                serves or (at + 1 < ten and line.marks[at + 1].text in POINTS)
            )
            if mark.terms:
                break
            if not (pointed or set(mark.text.split()) <= between):
                strange += 1
                told = mark.valued or mark.scope or any(mark.has(one) for one in SPEAKS)
                if named or told or strange > STRANGE:
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
