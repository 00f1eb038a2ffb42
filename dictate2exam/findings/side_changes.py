"""A side named late for all that was said, or put right: "no, I mean the left"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Draft, State

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

ARTICLES = frozenset({"the", "his", "her", "your", "all"})
# So near a side "the good arm" says that it is the good one.
NEAR = 4


def late(line: Line, at: int) -> bool:
    return any(m.has("side_late") for m in line.marks[:at]) and not any(
        m.terms or m.number for m in line.marks
    )


def set_late(line: Line, side: str, mark: Mark) -> None:
    """The side named late holds for all that was said without one."""
    state = line.state
    for draft in state.drafts:
        if not draft.side_spoken:
            draft.side = side if side != "both" else draft.side  # type: ignore[assignment]
            draft.side_spoken = True
            draft.marks = [*draft.marks, mark]
    note_spoken(state, side, mark)
    if side != "both":
        state.side = side


def told_of_run(line: Line, at: int) -> bool:
    """Whether the side closes a run of findings that it is said of: "deltoid five, biceps five,
    and that was the left arm I just did"."""
    mood, marks = line.vocabulary.phrases.mood, line.marks
    low = at
    while low and not marks[low - 1].has("pause"):
        low -= 1
    before = [word for m in marks[low:at] for word in m.text.split()]
    while before and before[-1] in ARTICLES:
        before.pop()
    if before[:1] == ["and"]:
        before.pop(0)
    end = next((n for n in range(at + 1, len(marks)) if marks[n].has("pause")), len(marks))
    behind = " ".join(m.text for m in marks[at + 1 : end])
    closed = not behind or behind in mood["what_was_behind"]
    here = mood["what_is_here"] if line.state.sentence_drafts else ()
    return closed and " ".join(before) in {*mood["what_was"], *here}


def give_to_run(line: Line, side: str, mark: Mark) -> None:
    """Gives the side to the findings of this sentence, or else of the last, back to where a side
    was said or an item comes again."""
    for draft in run_told_of(line.state):
        draft.side, draft.side_local, draft.side_spoken = side, True, True  # type: ignore[assignment]
        draft.marks = [*draft.marks, mark]
    note_spoken(line.state, side, mark)


def run_told_of(state: State) -> list[Draft]:
    """The findings that such a side is said of."""
    since = state.sentence if state.sentence_drafts else state.sentence - 1
    run: dict[str, Draft] = {}
    for draft in reversed(state.drafts):
        if draft.gone:
            continue
        if draft.sentence < since or draft.side_local or draft.item in run:
            break
        run[draft.item] = draft
    return list(run.values())[::-1]


def corrects_heading(line: Line, at: int) -> bool:
    """Whether "the right, no, I mean the left" puts right a side that was only just said."""
    state, marks = line.state, line.marks
    word = next((p for p in range(at - 1, -1, -1) if marks[p].has("correction.replace")), -1)
    if word < 0 or not line.between_light(word, at):
        return False
    earlier = next((m for m in reversed(marks[:word]) if m.has("side")), None)
    if earlier is None or any(m.terms and not m.scope for m in marks[:word]):
        return False
    state.spoken_sides = [(s, m) for s, m in state.spoken_sides if m is not earlier]
    return True


def corrects_side(line: Line, at: int, side: str) -> bool:
    """ "No, I mean the left": what was just said changes its side."""
    state = line.state
    if corrects_heading(line, at) and not state.sentence_drafts:
        state.correcting = ""
        note_spoken(state, side, line.marks[at])
        state.side = side
        return True
    rest = line.marks[at + 1 :]
    cut = next((i for i, m in enumerate(rest) if m.text == "not"), None)
    if cut is not None:
        rest = rest[:cut]
    named = [m for m in rest if m.terms]
    last = {draft.term for draft in state.last if not draft.gone}
    if any(m.valued for m in rest) or not state.last or side == "both":
        return False
    if not all(m.terms[0] in last and not m.scope for m in named):
        return False
    for mark in named:  # "sorry, that was the right biceps" names it once more
        mark.terms, mark.roles = (), frozenset({"list.light"})
    if state.open and state.open[-1].sentence == state.sentence:
        for subject in state.open:
            subject.side = side  # type: ignore[assignment]
        state.side = side
        state.correcting = ""
        return True
    from dictate2exam.findings.corrections import replace_side

    replace_side(line, side, line.marks[at])
    note_spoken(state, side, line.marks[at])
    state.side = side
    state.correcting = ""
    return True


def note_spoken(state: State, side: str, mark: Mark) -> None:
    if side in OPPOSITE:
        state.spoken_sides.append((side, mark))  # type: ignore[arg-type]


def note_good(line: Line, at: int, side: str) -> None:
    """Notes which side was called the good or the bad one: "your good arm, the left"."""
    state = line.state
    if state.sentence - state.good_since <= 1 and not state.drafts:
        state.good_side, state.good_since = side, -9
    for step in (-1, 1):
        for place in range(at + step, at + step * (NEAR + 1), step):
            if not 0 <= place < len(line.marks):
                break
            mark = line.marks[place]
            if mark.has("side.good"):
                state.good_side = side
            elif mark.has("side.bad"):
                state.good_side = OPPOSITE[side]
            elif not (mark.terms or mark.valued):
                continue
            break
