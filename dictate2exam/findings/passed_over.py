"""Muscles looked at, sites tapped and nerves measured, of which nothing was read.

"Deltoid was wasted, and also the infraspinatus": a muscle named amid the looks of others.
"Percussion over the scar at the elbow sends a current into the index finger": a site where
somebody tapped. "Sensory median reduced, ulnar normal": nerves with results.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from dictate2exam.findings.marks import MOTOR, Mark, Sentence
from dictate2exam.findings.state import Doubtful

if TYPE_CHECKING:
    from dictate2exam.findings.examined import Examined

LOOK, TAP = "wasting.", "sign.percussion."
NERVE = "bare.conduction"
ANOTHER = "other"
# Talk that is not of today's arm.
ELSEWHERE = frozenset({"history", "other_person", "plan"})


def passed_over(search: Examined, sentence: Sentence) -> Iterator[Doubtful]:
    """A question for each such muscle and site, and one for a sentence of nerves."""
    marks = sentence.marks
    yield from _measured(search, marks)
    for at, mark in enumerate(marks):
        if not mark.terms or mark.terms[0].is_group or search.gave(mark):
            continue
        if mark.scope in ELSEWHERE:
            continue
        item = _looked_at(search, marks, at) or _tapped(search, marks, at)
        if not item or item in search.found:
            continue
        label, weights = search.vocabulary.lexicon.items[item].label, search.weights.passed_over
        first, last = marks[max(0, at - 2)], marks[min(len(marks), at + 5) - 1]
        said = mark.written.heard(first.start, last.end - 1).text
        yield Doubtful(
            "value",
            False,
            f'"{said}": is that a finding of {label}?',
            item,
            search.side_at(mark),
            ("present", "absent", "reject"),
            [],
            (mark,),
            rule="passed_over",
            score=weights.looked_at if item.startswith(LOOK) else weights.tapped,
        )


def _measured(search: Examined, marks: list[Mark]) -> Iterator[Doubtful]:
    """The question of a sentence's first nerve with a result beside it that gave nothing."""
    for name, value in pairwise(m for m in marks if not m.light and not m.has("pause")):
        if not name.has(NERVE) or not value.values or value.number or name.scope in ELSEWHERE:
            continue
        if search.gave(name) or search.gave(value):
            continue
        said = name.written.heard(name.start, value.end - 1).text
        yield Doubtful(
            "unknown_term",
            False,
            f'"{said}": of which nerve or skin was that said?',
            "",
            search.side_at(name),
            ("reject",),
            [],
            (name, value),
            rule="passed_over",
            score=search.weights.passed_over.measured,
        )
        return


def _looked_at(search: Examined, marks: list[Mark], at: int) -> str:
    """The wasting of a muscle that is named where bulk is spoken of; empty elsewhere."""
    term = marks[at].terms[0]
    item = f"{LOOK}{term.term_id}"
    if term.category not in MOTOR | {"bulk"} or item not in search.vocabulary.items:
        return ""
    return item if _near(search, marks[at], LOOK, 0) else ""


def _tapped(search: Examined, marks: list[Mark], at: int) -> str:
    """The percussion sign of a site that is named where somebody taps; empty elsewhere.

    Another site counts only where none of those with a name of its own is in the sentence.
    """
    term = marks[at].terms[0]
    if term.category != "percussion":
        return ""
    named = [t for m in marks for t in m.terms if t.category == "percussion"]
    if term.term_id == ANOTHER and any(t.term_id != ANOTHER and not t.is_group for t in named):
        return ""
    taps = any(t.is_group for t in named)
    return f"{TAP}{term.term_id}" if taps or _near(search, marks[at], TAP, 1) else ""


def _near(search: Examined, mark: Mark, kind: str, utterances: int) -> bool:
    """Whether the finding just before or after is of a kind, so many utterances away at most."""
    at = mark.written.utterance.index
    return any(
        draft.item.startswith(kind)
        and abs(draft.marks[0].written.utterance.index - at) <= utterances
        for draft in search.around(mark, 1)
    )
