"""The second side of what was said of one: "normal on the left, and on the right for that matter",
"four on the left and the right is five"."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings.side_pairs import carry
from dictate2exam.findings.side_words import OPPOSITE

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

# A sentence of a side and one of these adds it; "right, of course" only turns to it.
SAME = frozenset({"too", "as well", "also", "for that matter", "come to that", "likewise"})
ADDING = frozenset({"and", "also", "and also", "as well as", "and so"})
POINTING = frozenset({"on", "on the", "the", "at", "at the", "over on"})


def reads(line: Line, at: int, side: str) -> bool:
    """Reads a side after its value where it is the second of the two."""
    return _parts(line, at) if side == "both" else _adds(line, at, side)


def _adds(line: Line, at: int, side: str) -> bool:
    """Gives what was just found on one side to the other too, where nothing else is said of it."""
    state = line.state
    pause = next((n for n, m in enumerate(line.marks) if n > at and m.has("pause")), None)
    rest = line.marks[at + 1 : pause]
    said = " ".join(m.text for m in rest)
    if said and said not in line.vocabulary.phrases.cues["side_too.closing"]:
        return False
    later = line.marks[pause:] if pause is not None else []
    own = next((m for m in later if m.terms or m.valued or m.has("side")), None)
    if not said and own is not None and not own.terms:
        return False  # "and left, go on, left two"
    found = line.group
    alone = not any(m.terms or m.valued for m in line.marks)
    if alone and said in SAME and not state.open and state.last:
        found = state.last if state.sentence - state.last[-1].sentence <= 1 else []
    group = [d for d in found if not d.gone]
    if side not in OPPOSITE or not group or not all(d.side == OPPOSITE[side] for d in group):
        return False
    if not all(d.side_local or alone for d in group):
        return False
    back = at - 1
    while back >= 0 and line.marks[back].text in POINTING:
        back -= 1
    lead = line.marks[back] if back >= 0 else None
    joined = lead is not None and lead.text in ADDING
    if not joined and not (said and (lead is None or lead.has("pause"))):
        return False
    for mark in rest:
        mark.roles, mark.values = frozenset({"list.light"}), ()
    twins = []
    for draft in group:
        twin = copy(draft)
        twin.side, twin.sentence = side, state.sentence  # type: ignore[assignment]
        twin.side_spoken = twin.side_local = True
        twin.marks, twin.detail = [*draft.marks, line.marks[at]], dict(draft.detail)
        twins.append(twin)
    state.drafts.extend(twins)
    state.sentence_drafts.extend(twins)
    state.last = [*group, *twins]
    line.group = [*line.group, *twins]
    return True


def _parts(line: Line, at: int) -> bool:
    """Parts "on the left and the right" where the second side has a value of its own."""
    from dictate2exam.findings.sides import apply_back

    words = [word for word in line.marks[at].text.split() if word in OPPOSITE]
    after = line.marks[at + 1 : at + 3]
    if after and after[0].text in {"is", "was", "at"}:
        after = after[1:]
    if len(words) != 2 or not line.group or not after or any(d.side_local for d in line.group):
        return False
    if not after[0].valued or after[0].terms:
        return False
    apply_back(line, at, words[0])
    line.value_side = words[1]
    carry(line, at, words[0])
    return True
