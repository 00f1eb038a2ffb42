"""Left and right: carried until changed, named before or after, late, or of both sides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Doubtful, Draft, State
from dictate2exam.units import Side

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

OPPOSITE: dict[str, Side] = {"left": "right", "right": "left"}
POINTING = frozenset({"on", "the", "your", "his", "her", "this", "that", "my", "their", "of", "to"})


def local(line: Line) -> Side | None:
    """The side said just before a term, for that term alone ("left biceps")."""
    return line.prefix_side or None  # type: ignore[return-value]


def _meaning(line: Line, at: int) -> str:
    """left, right, both, or empty where the word is no side here."""
    mark, state = line.marks[at], line.state
    cues = line.vocabulary.phrases.cues
    if _compared(line, at):
        return ""
    if mark.has("side.both"):
        return "both"
    for name in ("left", "right"):
        if mark.has(f"side.{name}"):
            if mark.text in {"left", "right"} and _is_talk(line, at, name, cues):
                return ""
            return name
    main = state.side if state.side in OPPOSITE else _first_side(state)
    if mark.has("side.other") or mark.has("side.good"):
        if line.speaker == "patient" or mark.scope == "question":
            return ""
        ahead = line.next_solid(at)
        if mark.has("side.good") and ahead < len(line.marks) and line.marks[ahead].number:
            return ""
        return OPPOSITE.get(main, "")
    return ""


def _first_side(state: State) -> str:
    return state.spoken_sides[0][0] if state.spoken_sides else state.default_side


def _compared(line: Line, at: int) -> bool:
    """Whether the side is only what something is compared with."""
    for place in range(at - 1, max(-1, at - 6), -1):
        mark = line.marks[place]
        if mark.has("comparison"):
            return not (mark.has("list.same_side") or mark.has("list.same"))
        if not (mark.light or mark.text in {"the", "your", "his", "her"}):
            return False
    return False


def _is_talk(line: Line, at: int, name: str, cues: dict[str, tuple[str, ...]]) -> bool:
    """Whether "right" or "left" is a word of talk ("right, let's see", "nothing left")."""
    before = line.marks[at - 1].text if at else ""
    after = line.marks[at + 1].text if at + 1 < len(line.marks) else ""
    if before in POINTING:
        return False
    if name == "left":
        return after in cues["not_side.left_after"] or (
            before in {"whats", "is", "any", "has"} and (not after)
        )
    if before and before in cues["not_side.before"]:
        return True
    first = after.split()[0] if after else ""
    if after in cues["not_side.after"] or first in cues["not_side.after"]:
        return True
    if at == 0 and after == "":
        line.state.maybe_side = name
        return True
    return at == 0 and after == ","


def read(line: Line, at: int) -> int:
    """Reads a word of side; returns the next place."""
    mark, state = line.marks[at], line.state
    side = _meaning(line, at)
    if not side or line.speaker == "patient":
        return at + 1
    if (mark.has("side.other") or mark.has("side.good")) and not _turns_over(line, at):
        return at + 1
    if mark.text == "other hand" and _contrasts(line, at):
        _ask_side(line, mark, f'"{mark.text}": the other arm, or only a way of saying "but"?')
        return at + 1
    if side == "both" and mark.scope in {"instruction", "plan", "counting"}:
        return at + 1
    if (
        mark.scope == "question"
        and line.speaker != "examiner"
        and mark.reach in {"offered", "starting"}
    ) and any(m.has("comparison") or m.has("list.same") for m in line.marks[:at]):
        return at + 1
    if state.correcting and _corrects_side(line, at, side):
        return at + 1
    if _late(line, at):
        _set_late(line, side, mark)
        return at + 1
    if not (mark.has("side.other") or mark.has("side.good")):
        _note_spoken(state, side, mark)
    ahead_at = line.next_solid(at)
    ahead = line.marks[ahead_at] if ahead_at < len(line.marks) else None
    opened = [s for s in state.open if s.sentence == state.sentence]
    if opened and not (ahead is not None and ahead.terms and _adjective(line, at)):
        for subject in opened:
            if subject.side is None or subject.side in OPPOSITE:
                subject.side = side  # type: ignore[assignment]
        if side != "both":
            state.side = side
        return at + 1
    if line.group and not opened:
        if _belongs_back(line, at, ahead_at, ahead):
            _apply_back(line, side, mark)
            return at + 1
        if ahead is not None and (ahead.valued or ahead.has("list.same")) and not ahead.terms:
            line.value_side = side
            return at + 1
    if not line.group and not opened and ahead is not None and ahead.valued and not ahead.terms:
        fresh = state.last_subjects and not state.open
        if fresh and not any(m.terms for m in line.marks):
            line.value_side = side
            if mark.has("side.left") or mark.has("side.right"):
                state.side = side if side != "both" else state.side
            return at + 1
    state.maybe_side = ""
    if side == "both":
        line.prefix_side = "both"
        alone = all(m.light or m.has("pause") for m in line.marks if m is not mark)
        if (ahead is None and alone and not line.group and not state.open) or (
            not line.group and at == 0 and len(line.marks) > 1 and line.marks[1].has("pause")
        ):
            state.side = "both"
        return at + 1
    if mark.has("side.other") and ahead is not None and ahead.valued:
        line.value_side = side
        return at + 1
    _doubt_change(line, at, side, ahead)
    state.side = side
    line.prefix_side = ""
    return at + 1


def _adjective(line: Line, at: int) -> bool:
    """Whether the side stands directly before its noun: "left biceps"."""
    before = line.marks[at - 1].text if at else ""
    nxt = line.marks[at + 1] if at + 1 < len(line.marks) else None
    return (
        before not in POINTING
        and nxt is not None
        and bool(nxt.terms)
        and (line.marks[at].text in {"left", "right"})
    )


def _belongs_back(line: Line, at: int, ahead_at: int, ahead: Mark | None) -> bool:
    """Whether a side after a value belongs to that value."""
    if all(d.side_local for d in line.group):
        return False
    before = line.marks[at - 1] if at else None
    if ahead is None:
        return True
    if _adjective(line, at):
        return False
    pause = before is not None and (before.has("pause") or before.text in {"but", "and"})
    pointed = before is not None and before.text in POINTING
    if pointed and at >= 3:
        pause = any(m.has("pause") or m.text in {"but", "and"} for m in line.marks[at - 3 : at])
    if ahead.terms:
        return not pause
    if ahead.valued:
        beyond = line.next_solid(ahead_at)
        followed = beyond < len(line.marks) and line.marks[beyond].has("side")
        return followed or (not pause and not line.between_light(at, ahead_at, pauses=False))
    return not pause


def _apply_back(line: Line, side: str, mark: Mark) -> None:
    """Gives the side to what was just said, and carries it on."""
    state = line.state
    from copy import copy

    twins: list[Draft] = []
    for draft in [d for d in line.group if not d.side_local and not d.gone]:
        draft.side_local = draft.side_spoken = True
        draft.marks = [*draft.marks, mark]
        if side == "both":
            draft.side = "left"
            twin = copy(draft)
            twin.side, twin.detail = "right", dict(draft.detail)
            twins.append(twin)
        else:
            draft.side = side  # type: ignore[assignment]
    state.drafts.extend(twins)
    state.sentence_drafts.extend(twins)
    state.last = [*state.last, *twins]
    line.group = [*line.group, *twins]
    if side != "both":
        state.side = side


def _late(line: Line, at: int) -> bool:
    return any(m.has("side_late") for m in line.marks[:at]) and not any(
        m.terms or m.number for m in line.marks
    )


def _set_late(line: Line, side: str, mark: Mark) -> None:
    """The side named late holds for all that was said without one."""
    state = line.state
    for draft in state.drafts:
        if not draft.side_spoken:
            draft.side = side if side != "both" else draft.side  # type: ignore[assignment]
            draft.side_spoken = True
            draft.marks = [*draft.marks, mark]
    _note_spoken(state, side, mark)
    if side != "both":
        state.side = side


def _corrects_side(line: Line, at: int, side: str) -> bool:
    """ "No, I mean the left": what was just said changes its side."""
    state = line.state
    rest = line.marks[at + 1 :]
    cut = next((i for i, m in enumerate(rest) if m.text == "not"), None)
    if cut is not None:
        rest = rest[:cut]
    if any(m.terms or m.valued for m in rest) or not state.last or side == "both":
        return False
    if state.open and state.open[-1].sentence == state.sentence:
        for subject in state.open:
            subject.side = side  # type: ignore[assignment]
        state.side = side
        state.correcting = ""
        return True
    from dictate2exam.findings.corrections import replace_side

    replace_side(line, side, line.marks[at])
    _note_spoken(state, side, line.marks[at])
    state.side = side
    state.correcting = ""
    return True


def _note_spoken(state: State, side: str, mark: Mark) -> None:
    if side in OPPOSITE:
        state.spoken_sides.append((side, mark))  # type: ignore[arg-type]


def _doubt_change(line: Line, at: int, side: str, ahead: Mark | None) -> None:
    """Asks about a bare "right biceps" at the start while the left is examined."""
    state, mark = line.state, line.marks[at]
    bare = mark.text == "right" and at == 0 and ahead is not None and bool(ahead.terms)
    if not bare or state.side != "left":
        return
    typed = mark.written.utterance.words[mark.written.tokens[mark.start].first_word].text
    if typed[:1].isupper() and any(
        c in ",.;" for w in mark.written.utterance.words for c in w.text
    ):
        return
    said = mark.written.utterance.text
    _ask_side(line, mark, f'"{said}": is that the right side, or was "right" only a word?')


def _contrasts(line: Line, at: int) -> bool:
    """Whether "on the other hand" may be a turn of phrase: before its value, or set off."""
    before, after = line.marks[:at], line.marks[at + 1 :]
    if any(m.terms for m in before):
        return not any(m.valued for m in before)
    return any(m.terms for m in after) and after[0].text == ","


def _ask_side(line: Line, mark: Mark, question: str) -> None:
    """Leaves the side as it is and asks about what the sentence finds."""
    line.side_doubt = Doubtful("side", True, question, "", "none", ("right", "left"), [], (mark,))


def finish(line: Line) -> None:
    """Attaches an open doubt of side to the sentence's drafts."""
    doubt = line.side_doubt
    if doubt is not None and line.state.sentence_drafts:
        doubt.drafts = list(line.state.sentence_drafts)
        doubt.item = doubt.drafts[0].item
        line.state.doubts.append(doubt)


def _turns_over(line: Line, at: int) -> bool:
    """Whether "the other side" is what is spoken of: values follow, or nothing else is said."""
    mark, before, after = line.marks[at], line.marks[:at], line.marks[at + 1 :]
    ahead = line.next_solid(at)
    if ahead < len(line.marks) and line.marks[ahead].valued and line.between_light(at, ahead):
        return True
    opens = not any(m.terms or m.valued for m in before)
    if opens and any(m.terms for m in after) and any(m.valued for m in after):
        return True
    if mark.has("side.good"):
        return False
    if opens and after and after[0].has("pause"):
        return True
    return all(m.light or m.has("pause") or m.scope or m is mark for m in line.marks)
