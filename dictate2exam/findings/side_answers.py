"""Yes or no said of sides alone: "Winging. Right, no. Left, no.", "Tinel. Neither side"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_changes import note_spoken
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Draft, Subject
from dictate2exam.findings.told_next import only_named

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

LIGHT = frozenset({"list.light"})
# Categories of what is there or not, and the kinds of item that they have.
YES_OR_NO = frozenset({"sign", "posture", "percussion", "bulk", "pulse"})
KINDS = ("sign.", "posture.", "wasting.", "pulse.")


def answer_sides(line: Line, plainly: bool = False) -> None:
    """Reads a sentence of nothing but sides with a yes or no each, before anything else is; if
    `plainly`, only several sides, or what was named alone."""
    if line.speaker == "patient" or line.asked or any(m.number for m in line.marks):
        return
    if any(m.terms for m in line.marks):
        if not plainly:
            _value_answers(line)
        return
    pairs = _pairs(line)
    plain = len(pairs) > 1 or (bool(pairs) and (not plainly or _only_named(line)))
    subjects = _subjects(line) if plain else []
    if not subjects:
        return
    kept = line.state.context.kind
    last = line.state.last
    if last and not any(subject in line.state.open for subject in subjects):
        line.state.context.kind = last[-1].item.partition(".")[0]
    _forget_named(line)
    for side, answer, mark in pairs:
        words = line.vocabulary.words_named(answer)
        assign(line, Claim(mark, words=words), subjects, rule="answered by side", only_side=side)
        if side in OPPOSITE:
            note_spoken(line.state, side, mark)
    line.state.context.kind = kept
    line.state.open, line.state.chain = [], []
    for mark in line.marks:
        if not mark.has("pause"):
            mark.roles, mark.values, mark.predicates = LIGHT, (), ()


def _pairs(line: Line) -> list[tuple[str, str, Mark]]:
    """Each side with its answer, or nothing where the sentence says more than that."""
    pairs: list[tuple[str, str, Mark]] = []
    side = answer = ""
    for mark in line.marks:
        if mark.has("no_side.of_sides") and not (side or answer):
            pairs.append(("both", "absent", mark))
            continue
        if pairs and pairs[-1][2].has("no_side.of_sides") and mark.has("side.both"):
            continue
        said = next((n for n in (*OPPOSITE, "both") if mark.has(f"side.{n}")), "")
        given = _answer(mark)
        if not (said or given):
            if mark.light or mark.has("pause"):
                continue
            return []
        if mark.scope or (said and side) or (given and answer):
            return []
        side, answer = said or side, given or answer
        if side and answer:
            pairs.append((side, answer, mark))
            side = answer = ""
    return [] if side or answer else pairs


def _value_answers(line: Line) -> None:
    """ "Winging: right no, left no": behind a sign each yes or no is of the side before it."""
    there = [at for at, m in enumerate(line.marks) if m.terms and _is_there_or_not(line, m)]
    for at, mark in enumerate(line.marks):
        after = line.marks[at + 1] if at + 1 < len(line.marks) else None
        closes = after is None or after.has("pause") or after.has("side")
        plain = mark.has("answer.yes") or mark.has("answer.no")
        if not (plain and closes and there and there[0] < at) or mark.scope:
            continue
        back = at - 1
        while back and line.marks[back].has("pause"):
            back -= 1
        if line.marks[back].has("side.left") or line.marks[back].has("side.right"):
            name = _answer(mark)
            mark.values = line.vocabulary.words_named(name)
            mark.roles = frozenset({"predicative"})


def _is_there_or_not(line: Line, mark: Mark) -> bool:
    at = line.marks.index(mark)
    wasted = any(m.predicates for m in line.marks[max(0, at - 3) : at + 3])
    return wasted or mark.terms[0].category in YES_OR_NO


def _answer(mark: Mark) -> str:
    """present, absent, or empty where the mark says neither."""
    if mark.has("answer.yes"):
        return "present"
    if mark.has("answer.no"):
        return "absent"
    names = {word.name for word in mark.values}
    for name, alike in (("present", {"positive"}), ("absent", {"negative", "nothing"})):
        if names & {name, *alike} and (not mark.light or mark.has("predicative")):
            return name
    return ""


def _subjects(line: Line) -> list[Subject]:
    """What waits for an answer, or was just named or answered for the other side."""
    state = line.state
    if state.open and all(s.term.category in YES_OR_NO and not s.side for s in state.open):
        return list(state.open)
    last = [d for d in state.last if not d.gone]
    near = bool(last) and state.sentence - last[-1].sentence <= 1
    if not near or not all(d.item.startswith(KINDS) for d in last):
        return []
    return [Subject(d.term, d.marks[-1], sentence=state.sentence) for d in _of_each(last)]


def _of_each(drafts: list[Draft]) -> list[Draft]:
    return list({draft.item: draft for draft in drafts}.values())


def _only_named(line: Line) -> bool:
    """Whether the sentence before said no more than the name of a sign, of no side."""
    before = line.state.read[-1].marks if line.state.read else []
    sided = any(m.has("side") or {"left", "right"} & set(m.text.split()) for m in before)
    return bool(only_named(line)) and not sided


def _forget_named(line: Line) -> None:
    """The bare name of a sign headed its answers, and said nothing by itself."""
    state = line.state
    for draft in state.last:
        if draft.rule == "named" and draft.sentence == state.sentence - 1 and not draft.side_local:
            draft.dropped = True
    state.doubts = [
        d for d in state.doubts if not (d.drafts and all(draft.gone for draft in d.drafts))
    ]
