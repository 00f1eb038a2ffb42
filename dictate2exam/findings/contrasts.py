"""There on one side and denied of the other: "winging on the right, but not on the left"."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings import percussion
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.naming import flush_naming
from dictate2exam.findings.side_words import ONE_SIDE, OPPOSITE
from dictate2exam.findings.state import Draft

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

LIGHT = frozenset({"list.light"})
# Categories of terms that are present or absent.
YES_OR_NO = frozenset({"sign", "posture", "percussion"})
# So many words at most deny.
MOST = 8
# These may follow a denial and say it again: "no ptosis on the left, none on the right".
NONE = frozenset({"none", "nothing", "nil", "nor"})
PRESENT, ABSENT = "present", "absent"


def note(line: Line) -> None:
    """Notes, before a sentence is read, which of its sides are denied, so that the words that deny
    are read as nothing else."""
    for at, mark in enumerate(line.marks):
        if not any(mark.has(name) for name in ONE_SIDE):
            continue
        if _denied_after(line, at):
            line.denied_sides.add(at)
            for word in line.marks[at + 1 : at + 2]:
                word.roles, word.values, word.predicates = LIGHT, (), ()
            continue
        low = _denied_from(line, at)
        said = _said_before(line, low) and (_sided(line.marks, low, mark) or _ends(line, at))
        if low < at and _closes(line, at) and said and not _answers_name(line, low):
            line.denied_sides.add(at)
            for word in line.marks[low:at]:
                word.roles, word.values, word.predicates = LIGHT, (), ()


def _answers_name(line: Line, low: int) -> bool:
    """Whether a denial only answers the bare name before it: "winging, none on the right"."""
    before = [m for m in line.marks[:low] if m.text not in {"the", "any"}]
    return len(before) > 1 and all(m.terms or m.has("pause") for m in before)


def _denied_after(line: Line, at: int) -> bool:
    """Whether a verb after the side denies of it what was last said to be there on the other:
    "the left shoulder is subluxed; the right isn't"."""
    verb = line.marks[at + 1] if at + 1 < len(line.marks) else None
    if verb is None or verb.text not in line.vocabulary.phrases.cues["left_out.denied"]:
        return False
    closes = at + 2 >= len(line.marks) or line.marks[at + 2].has("pause")
    said = line.marks[:at]
    while said and (said[-1].light or said[-1].has("pause") or said[-1].has("list.join")):
        said = said[:-1]
    if not closes or any(m.number for m in said):
        return False
    return _said_before(line, at) and (not said or _sided(line.marks, at, line.marks[at]))


def of_other_side(marks: list[Mark], at: int) -> bool:
    """Whether the word at a place is of the side after it, and another side was named before."""
    for mark in marks[at + 1 :]:
        if mark.has("side"):
            return _sided(marks, at, mark)
        if not mark.has("list.prepose"):
            return False
    return False


def _sided(marks: list[Mark], low: int, mark: Mark) -> bool:
    """Whether the sentence named the other side before."""
    others = set(ONE_SIDE) - {name for name in ONE_SIDE if mark.has(name)}
    return any(m.has(other) for m in marks[:low] for other in others)


def _ends(line: Line, at: int) -> bool:
    return not any(m.terms or m.valued or m.has("side") for m in line.marks[at + 1 :])


def _said_before(line: Line, low: int) -> bool:
    """Whether something that is there or not, and has no other value, was said before."""
    before = line.marks[:low]
    if not any(m.terms for m in before):
        return any(_there(d) or (d.value == ABSENT and _is_sign(d)) for d in line.state.last)
    named = any(t.category in YES_OR_NO for m in before for t in m.terms)
    wasted = any(m.predicates for m in before)
    return (named or wasted) and not any(m.number for m in before)


def deny(line: Line, at: int, side: str) -> bool:
    """Reads a denial for `side` of what was just said to be there on the other; True if it was."""
    if side not in OPPOSITE or at not in line.denied_sides:
        return False
    state, mark = line.state, line.marks[at]
    if any(s.naming and s.sentence == state.sentence for s in state.open):
        flush_naming(line)
    if mark.has("side.other") or mark.has("side.good"):
        side = OPPOSITE.get(next((d.side for d in line.group or state.last if _there(d)), ""), side)
    percussion.close(line)
    found = [d for d in line.group or state.last if d.side == OPPOSITE[side]]
    there = [d for d in found if _there(d)]
    if _none(line, at):
        there = there or [d for d in found if not d.gone and d.value == ABSENT and _is_sign(d)]
    if not there or state.sentence - there[-1].sentence > 1:
        return False
    for draft in there:
        twin = copy(draft)
        twin.side, twin.value = OPPOSITE[OPPOSITE[side]], ABSENT
        twin.side_spoken = twin.side_local = True
        twin.marks, twin.detail = [*draft.marks, mark], {}
        twin.rule, twin.sentence, twin.corrects = "denied of the other side", state.sentence, None
        state.drafts.append(twin)
        state.sentence_drafts.append(twin)
    return True


def _none(line: Line, at: int) -> bool:
    """Whether the side is denied by a word that may say a denial again: "none on the right"."""
    low = at
    while low and not (line.marks[low - 1].has("pause") or line.marks[low - 1].has("side")):
        low -= 1
    return any(m.text.split()[0] in NONE for m in line.marks[low:at])


def _is_sign(draft: Draft) -> bool:
    return draft.item.startswith(("sign.", "posture.", "wasting.", "contraction."))


def _there(draft: Draft) -> bool:
    return draft.value == PRESENT and not draft.gone


def _denied_from(line: Line, at: int) -> int:
    """Where the words begin that only deny, before the side at `at`; `at` where there are none."""
    cues = line.vocabulary.phrases.cues
    lead, tail = set(cues["contrast.lead"]), set(cues["contrast.tail"])
    low = at
    while low and not (line.marks[low - 1].has("pause") or line.marks[low - 1].has("side")):
        if line.marks[low - 1].terms or at - low > MOST:
            break
        low -= 1
    said = [word for mark in line.marks[low:at] for word in mark.text.split()]
    while said and said[0] in lead:
        said = said[1:]
    while said and said[-1] in tail:
        said = said[:-1]
    return low if " ".join(said) in cues["contrast.none"] else at


def _closes(line: Line, at: int) -> bool:
    """Whether nothing of the same clause follows that the side could be of."""
    for mark in line.marks[at + 1 :]:
        if mark.has("pause") or mark.text in {"and", "but"}:
            return True
        if mark.terms or mark.valued:
            return False
    return True
