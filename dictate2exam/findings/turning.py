"""A change of side that no finding of its sentence bears out is asked about.

Recognised speech has no commas: "right lovely" or "is that right" may look like a change of arm,
and everything said after it would stand on the wrong side with nobody asked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import OPPOSITE, POINTING
from dictate2exam.findings.state import Doubtful

PLACES = frozenset({"place", "area", "percussion"})

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


def watch(line: Line, before: str) -> None:
    """Keeps the side `before` where the sentence turned it for nothing, and opens the question;
    gathers what it is about, or drops it once a side is spoken with a finding or as a heading."""
    state = line.state
    named = [m for m in line.marks if m.has("side.left") or m.has("side.right")]
    found = [d for d in state.sentence_drafts if d.side in OPPOSITE]
    turned = before in OPPOSITE and state.side == OPPOSITE[before]
    heads = _heads(line, named)
    if turned and named and not heads and not any(d.side == state.side for d in found):
        said = named[-1].written.utterance.text
        question = f'"{said}": is it still the {before} side, or the {state.side} from here on?'
        sides = (before, state.side)
        state.turned = Doubtful(
            "side", True, question, "", "none", sides, [], (named[-1],), rule="side_turn"
        )
        state.side = before
        return
    if turned and heads and [m.text for m in line.marks] == ["right"]:
        said = "is the right side examined from here on, or was it only a word?"
        sides = ("right", "left")
        state.turned = Doubtful(
            "side", True, f'"Right": {said}', "", "none", sides, [], (named[-1],), rule="side_turn"
        )
        return
    if state.turned is None:
        return
    if named and (heads or any(d.side_spoken or d.side_local for d in found)):
        state.turned = None
        return
    doubt = state.turned
    carried = [d for d in found if not d.side_local]
    if carried and not doubt.drafts:
        doubt.item = carried[0].item
        state.doubts.append(doubt)
    doubt.drafts = [*doubt.drafts, *carried]


def _heads(line: Line, named: list[Mark]) -> bool:
    """Whether the sentence heads what follows by its side: it does nothing but name it ("now the
    left arm"), or names it plainly where a heading stands ("left arm, light touch out of ten")."""
    if named and _plain(line, named[-1]):
        return True
    words = line.vocabulary.phrases.cues["not_side.heading"]
    return bool(named) and all(
        m in named
        or m.light
        or m.has("pause")
        or bool(m.terms)
        or all(word in words for word in m.text.split())
        for m in line.marks
    )


def _plain(line: Line, mark: Mark) -> bool:
    """Whether the word can be nothing but a side: "left arm", "on the left", "reflexes, left:"."""
    at = line.marks.index(mark)
    before = line.marks[at - 1] if at else None
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    pointed = before is not None and before.text.rpartition(" ")[2] in POINTING - {"that", "this"}
    closed = after is None or after.has("pause")
    set_off = before is not None and before.has("pause") and closed
    # "Over your left wrist" is kept as the place and its side after it.
    placed = before is not None and any(t.category in PLACES for t in before.terms)
    return len(mark.text.split()) > 1 or pointed or set_off or placed
