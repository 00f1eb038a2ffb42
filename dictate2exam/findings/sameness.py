"""The same: a copy of the last value for another term, or of the last group on the other side."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings.drafting import assign
from dictate2exam.findings.meaning import Claim
from dictate2exam.findings.side_words import OPPOSITE

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


def read_same(line: Line, at: int, claim: Claim | None) -> bool:
    """ "the same": a copy of the last value, or of the last group on the other side."""
    state = line.state
    side_at = _side_after(line, at)
    if side_at and line.speaker != "patient":
        return _same_on_side(line, at, side_at)
    asked = [s for s in state.open if s.asked]
    if line.speaker == "patient" or asked:
        return False
    if state.last_claim is None or not state.last:
        return False
    if state.open:
        kinds = {d.term.category for d in state.last}
        if not any(s.term.category in kinds for s in state.open):
            return False
        copied = copy(state.last_claim)
        assign(line, copied, state.open, rule="the same", extra=line.marks[at])
        state.open = []
        return True
    following = line.next_solid(at)
    if (following < len(line.marks) and line.marks[following].terms) and (
        line.between_light(at, following)
    ):
        line.pre = copy(state.last_claim)
        return True
    return line.value_side != "" and _copy_to(line, at, line.value_side)


def _side_after(line: Line, at: int) -> int:
    following = line.next_solid(at)
    if (following < len(line.marks) and line.marks[following].has("side")) and (
        line.between_light(at, following)
    ):
        return following
    return 0


def _same_on_side(line: Line, at: int, side_at: int) -> bool:
    mark, state = line.marks[side_at], line.state
    side = next((n for n in ("left", "right") if mark.has(f"side.{n}")), "")
    if not side and (mark.has("side.other") or mark.has("side.good")):
        known = state.last[-1].side if state.last else ""
        side = OPPOSITE.get(known, "")
    if not side:
        return False
    mark.roles = frozenset({"list.light"})
    return _copy_to(line, at, side)


def _copy_to(line: Line, at: int, side: str) -> bool:
    state = line.state
    if not state.last:
        return False
    source = [d for d in state.sentence_drafts if not d.gone]
    if not source:
        number = state.last[-1].sentence
        source = [d for d in state.drafts[-200:] if d.sentence == number and not d.gone]
    if any(m.text == "all" for m in line.marks):
        kind = source[-1].item.partition(".")[0] if source else ""
        source = [
            d
            for d in state.drafts
            if not d.gone and d.item.startswith(f"{kind}.") and d.side != side
        ]
    made = []
    wanted = tuple(OPPOSITE) if side == "both" else (side,)
    for draft in source:
        for one in wanted:
            if draft.side == one:
                continue
            twin = copy(draft)
            twin.side = one  # type: ignore[assignment]
            twin.side_spoken = twin.side_local = True
            twin.marks = [*draft.marks, line.marks[at]]
            twin.detail = dict(draft.detail)
            twin.rule = "the same on the other side"
            twin.confidence = round(draft.confidence * 0.97, 3)
            twin.sentence = state.sentence
            made.append(twin)
        draft.dropped = draft.dropped or (side == "both" and draft.side not in OPPOSITE)
    state.drafts.extend(made)
    state.sentence_drafts.extend(made)
    if side in OPPOSITE:
        state.spoken_sides.append((side, line.marks[at]))  # type: ignore[arg-type]
    line.value_side = ""
    return True
