"""Tables of two sides read aloud: "muscle, right, left", and then "Biceps. Five. Four." of each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import OPPOSITE, named_side
from dictate2exam.findings.state import Cell, Doubtful, Subject
from dictate2exam.findings.told_next import answer, only_named, subjects_of, use_up
from dictate2exam.units import Side

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

SIDES: tuple[Side, Side] = ("right", "left")
LIGHT = frozenset({"list.light"})


def watch(line: Line) -> None:
    """Notes which sides the values of a table are of, and when the table ends."""
    state, cues = line.state, line.vocabulary.phrases.cues
    text = f" {' '.join(mark.text for mark in line.marks)} "
    if state.cell is not None and _leaves(line, state.cell):
        _alone(line, state.cell)
    if state.columns and any(f" {way} " in text for way in cues["columns.ends"]):
        state.columns, state.cell = None, None
    order = _announced(line)
    if order is not None:
        state.columns, state.cell = order, None
        for mark in line.marks:
            if named_side(mark):
                mark.roles, mark.values = LIGHT, ()
    elif state.columns:
        _tell_words(line, state.columns)


def _tell_words(line: Line, columns: tuple[Side, Side]) -> None:
    """ "Horner's. Absent, present": two words, one for each side."""
    state = line.state
    parts: list[list[Mark]] = [[]]
    for mark in line.marks:
        if mark.has("pause") or mark.text == "and":
            parts.append([])
        else:
            parts[-1].append(mark)
    claims = [answer(part, line.vocabulary) for part in parts if part]
    if line.speaker == "patient" or line.asked or len(claims) != len(SIDES) or None in claims:
        return
    drafts = [] if state.open else only_named(line)
    subjects = list(state.open) or subjects_of(drafts)
    names = {id(s.mark) for s in subjects}
    sided = state.read and any(named_side(m) for m in state.read[-1].marks)
    if len(names) != 1 or any(s.side for s in subjects) or sided:
        return
    for draft in drafts:
        draft.dropped = True
    for side, claim in zip(columns, claims, strict=True):
        if claim is not None:
            assign(line, claim, subjects, rule="column of a side", only_side=side)
    state.open, state.chain = [], []
    use_up(line)


def first(line: Line, claim: Claim, subjects: list[Subject]) -> bool:
    """Gives the first value of a row to the side that comes first; False outside of tables."""
    state = line.state
    if not _holds(line, claim) or state.columns is None or any(s.side for s in subjects):
        return False
    group = assign(line, claim, subjects, rule="column of a side", only_side=state.columns[0])
    if not group:
        return False
    state.cell = Cell(tuple(subjects), tuple(group), state.sentence)
    state.open, state.chain = [], []
    return True


def second(line: Line, claim: Claim) -> bool:
    """Gives the second value of a row to the other side; False where no row waits for it."""
    state = line.state
    if not _holds(line, claim) or state.columns is None or state.cell is None:
        return False
    subjects, state.cell = list(state.cell.subjects), None
    made = assign(line, claim, subjects, rule="column of a side", only_side=state.columns[1])
    return bool(made)


def _holds(line: Line, claim: Claim) -> bool:
    """Whether values stand for columns here: numbers, with no side said beside them."""
    sided = line.value_side or any(m.has("side") for m in line.marks)
    return claim.number is not None and not sided and line.speaker != "patient"


def _leaves(line: Line, cell: Cell) -> bool:
    late = line.state.sentence - cell.sentence > 1
    return late or any(m.terms or named_side(m) for m in line.marks)


def _alone(line: Line, cell: Cell) -> None:
    """One value where two were awaited: of the side examined, and asked about."""
    state = line.state
    state.columns, state.cell = None, None
    side: Side = "left" if state.side == "left" else "right" if state.side == "right" else "none"
    standing = [draft for draft in cell.drafts if not draft.gone]
    if not standing:
        return
    for draft in standing:
        draft.side = side
    one = standing[0]
    state.doubts.append(
        Doubtful(
            "side",
            True,
            f"{one.term.label} was given one value ({one.value}), not one for each side: "
            "which side was it?",
            one.item,
            one.side,
            (side, OPPOSITE[side]) if side in OPPOSITE else SIDES,
            standing,
            tuple(one.marks),
            rule="side_either_way",
        )
    )


def _announced(line: Line) -> tuple[Side, Side] | None:
    """The order of sides that a sentence tells for all that follows, if it tells nothing else."""
    marks, cues = line.marks, line.vocabulary.phrases.cues
    at = next((n for n, mark in enumerate(marks) if named_side(mark)), -1)
    if at < 0 or any(m.number or m.scope in {"history", "other_person"} for m in marks):
        return None
    last = next((n for n in range(at + 1, len(marks)) if named_side(marks[n])), -1)
    if last < 0 or any(named_side(m) for m in marks[last + 1 :]):
        return None
    one, other = named_side(marks[at]), named_side(marks[last])
    between = {word for m in marks[at + 1 : last] for word in m.text.split()}
    around = {word for m in (*marks[:at], *marks[last + 1 :]) for word in m.text.split()}
    told = not around or bool(around & set(cues["columns.told"]))
    told = told or ("first" in between and bool(around & set(cues["columns.said"])))
    words = between | around
    if one == other or not told or words - set(cues["columns.told"]) - set(cues["columns.with"]):
        return None
    return one, other  # type: ignore[return-value]
