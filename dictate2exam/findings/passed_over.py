"""Muscles that were looked at and sites that were tapped, and of which nothing was read.

"Deltoid was wasted, and also the infraspinatus": a muscle named amid the looks of others.
"Percussion over the scar at the elbow sends a current into the index finger": a site where
somebody tapped.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from dictate2exam.findings.examined import MOTOR
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.state import Doubtful

if TYPE_CHECKING:
    from dictate2exam.findings.examined import Examined

LOOK, TAP = "wasting.", "sign.percussion."
# Talk that is not of today's arm.
ELSEWHERE = frozenset({"history", "other_person", "plan"})


def passed_over(search: Examined, sentence: Sentence) -> Iterator[Doubtful]:
    """A question for each such muscle and site."""
    marks = sentence.marks
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


def _looked_at(search: Examined, marks: list[Mark], at: int) -> str:
    """The wasting of a muscle that is named where bulk is spoken of; empty elsewhere."""
    term = marks[at].terms[0]
    item = f"{LOOK}{term.term_id}"
    if term.category not in MOTOR | {"bulk"} or item not in search.vocabulary.items:
        return ""
    return item if _near(search, marks[at], LOOK, 0) else ""


def _tapped(search: Examined, marks: list[Mark], at: int) -> str:
    """The percussion sign of a site that is named where somebody taps; empty elsewhere."""
    term = marks[at].terms[0]
    if term.category != "percussion":
        return ""
    taps = any(t.category == "percussion" and t.is_group for m in marks for t in m.terms)
    return f"{TAP}{term.term_id}" if taps or _near(search, marks[at], TAP, 1) else ""


def _near(search: Examined, mark: Mark, kind: str, utterances: int) -> bool:
    """Whether the finding just before or after is of a kind, so many utterances away at most."""
    at = mark.written.utterance.index
    return any(
        draft.item.startswith(kind)
        and abs(draft.marks[0].written.utterance.index - at) <= utterances
        for draft in search.around(mark, 1)
    )
