"""A short look at the other side for comparison ends where it turns to what it was not compared
with: after "left triceps five" among findings of the right arm, "lats four" is of the right again.

Only what was graded on the examined side before, or is normal, counts as compared; a finding of
the other side that was never graded on this one makes it no excursion, and the side carries on. So
does a side that heads what follows alone: "Left arm."
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from dictate2exam.findings.marking import has_stops
from dictate2exam.findings.state import Doubtful, Draft, Excursion, Subject, heard_text

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

SIDES = {"left", "right"}
NORMAL = frozenset({"5", "10", "normal", "full", "absent"})
# So many findings of one side make it the side examined, and what is normal on the other a look.
SETTLED = 4
# So many of the other are a comparison; more may be an arm examined for itself.
SHORT = 3


def leave(line: Line, before: str) -> None:
    """Notes, at the end of a sentence, that the side turned away from the one examined."""
    state = line.state
    away = state.excursion
    if away is not None and state.side != away.side:
        state.excursion = None
        if state.side == away.main:
            return
        away = None
    if away is not None and _heads_again(line, away):
        state.excursion = None
        return
    if away is not None:
        found = [d for d in state.sentence_drafts if not d.gone and d.side == away.side]
        spoken = away.spoken or any(d.side_local for d in found)
        state.excursion = _with(replace(away, spoken=spoken), found)
        return
    if state.paired == state.sentence:
        return  # "left deltoid five. Right deltoid zero": back where the pair began
    unsided = not before and state.side in SIDES
    if {before, state.side} != SIDES and not unsided:
        return
    named = [m for m in line.marks if m.has("side")]
    heading = all(m.has("side") or m.light or m.has("pause") for m in line.marks)
    found = [d for d in state.sentence_drafts if not d.gone and d.side == state.side]
    if named and not has_stops(named[-1].written):
        # "Four minus over on the right biceps five" compares what comes after the side.
        found = [d for d in found if any(m.start > named[-1].start for m in d.marks)] or found
    back = any(m.has("correction.again") for m in line.marks)
    if not named or (heading and not found) or back:
        return
    main = "none" if unsided else before
    graded = frozenset(d.item for d in state.drafts if d.side == main and not d.gone)
    others = sum(d.side == state.side and not d.gone for d in state.drafts)
    if others - len(found) > len(graded) or (unsided and len(graded) < SETTLED):
        return
    spoken = bool(found) or _called_short(line)
    start = Excursion(before, state.side, state.sentence, graded, named[-1], spoken)
    state.excursion = _with(start, found)


def _is_said(line: Line, at: int) -> bool:
    """Whether a word is one of side, and not "that's about right"."""
    before = line.marks[at - 1].text.split()[-1] if at else ""
    right = line.marks[at].text == "right"
    return not (right and before in line.vocabulary.phrases.cues["not_side.before"])


def _heads_again(line: Line, away: Excursion) -> bool:
    """Whether the side is named once more, for what follows: "Left deltoid five. Feeling on the
    left."""
    sides = line.state.spoken_sides
    again = bool(sides) and sides[-1][0] == away.side and sides[-1][1] in line.marks
    plain = all(m.has("side") or m.light or m.has("pause") or m.has("kind") for m in line.marks)
    return again and plain and bool(away.count)


def _called_short(line: Line) -> bool:
    """Whether the sentence says that the look is a short one: "give me the left a second", not
    "now the left, one second"."""
    said, cues = " ".join(m.text for m in line.marks), line.vocabulary.phrases.cues
    if not set(cues["turn.new"]).isdisjoint(said.split()):
        return False
    return any(f" {word} " in f" {said} " for word in cues["turn.brief"])


def _with(away: Excursion, found: list[Draft]) -> Excursion | None:
    """The excursion with more findings; None where one of them makes it none."""
    if not all(_compared(away, d) for d in found):
        return None
    return replace(away, count=away.count + len(found))


def _compared(away: Excursion, draft: Draft) -> bool:
    settled = len(away.graded) >= SETTLED
    return known(away, draft.item) or (settled and draft.value in NORMAL)


def known(away: Excursion, item: str) -> bool:
    """Whether an item, a part or a whole of it, was graded on the examined side."""
    return any(item.startswith(other) or other.startswith(item) for other in away.graded)


def come_back(line: Line, subject: Subject, item: str, only: str) -> None:
    """Turns back to the examined side before a finding that only it can be of."""
    state = line.state
    away = state.excursion
    if away is None or only or subject.side or state.side != away.side:
        return
    if state.sentence <= away.sentence or known(away, item) or not away.count:
        return
    state.excursion = None
    sided = [n for n, m in enumerate(line.marks) if m.has("side")]
    if any(not line.marks[n].has(f"side.{away.main}") and _is_said(line, n) for n in sided):
        return
    if not away.main or (away.spoken and away.count <= SHORT):
        state.side = state.pair_side = away.main
        return
    said = heard_text(away.mark)
    question = f'"{said}": is what follows still of the {away.side} side, or of the {away.main}?'
    state.turned = Doubtful(
        "side",
        True,
        question,
        "",
        "none",
        (away.main, away.side),
        [],
        (away.mark,),
        rule="side_turn",
    )
