"""Levels that only head the muscles they supply, or tell whose end of something is meant:
"at C6, biceps and brachioradialis, five", "the C8 end is worse"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.marks import MOTOR, Mark

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

CLOSED = frozenset({",", ":"})


def leave_levels(line: Line) -> None:
    """Makes such a level no name: what is graded are the muscles behind it."""
    mood = line.vocabulary.phrases.mood
    marks = line.marks
    at = 0
    while at < len(marks):
        end = _levels(marks, at)
        named = end > at and marks[end : end + 1]
        told = named and _told_end(marks, at, end, mood["level_end"])
        if told or (named and _opens(marks, at) and _heads(marks, end, at, mood)):
            _leave(marks[at:end])
        at = max(end, at + 1)


def _leave(marks: list[Mark]) -> None:
    for mark in marks:
        if mark.terms:
            mark.leave()
            mark.shared = []


def _is_level(mark: Mark) -> bool:
    return bool(mark.terms) and mark.terms[0].category == "level" and not mark.scope


def _levels(marks: list[Mark], at: int) -> int:
    """The end of the levels that are named from here on, one after another."""
    end = at
    while end < len(marks) and _is_level(marks[end]):
        end += 1
        joined = end
        while joined < len(marks) and (marks[joined].text in {",", "and", "to"}):
            joined += 1
        if joined < len(marks) and joined > end and _is_level(marks[joined]):
            end = joined
    return end


def _told_end(marks: list[Mark], at: int, end: int, nouns: tuple[str, ...]) -> bool:
    """ "The T1 end of the hand": which end, and no level that is graded."""
    led = at > 0 and marks[at - 1].text.split()[-1] in {"the", "a", "this", "that"}
    return led and marks[end].text.split()[0] in nouns


def _opens(marks: list[Mark], at: int) -> bool:
    """Whether a level opens its sentence, or follows what was graded before."""
    before = next((m for m in reversed(marks[:at]) if not (m.light or m.has("side"))), None)
    if before is None:
        return True
    paused = [n for n, m in enumerate(marks[:at]) if m.has("pause")]
    between = marks[paused[-1] : at] if paused else []
    graded = marks[paused[-1] - 1] if paused and paused[-1] else None
    return (
        graded is not None
        and graded.number is not None
        and all(m.light or m.has("pause") or m.has("side") for m in between)
    )


def _heads(marks: list[Mark], end: int, at: int, mood: dict[str, tuple[str, ...]]) -> bool:
    """Whether muscles with a grade follow behind a pause, or behind "at C6"."""
    led = at > 0 and marks[at - 1].text.split()[-1] in mood["level_lead"]
    paused = False
    for place in range(end, len(marks)):
        mark = marks[place]
        if mark.text in CLOSED:
            paused = True
        elif mark.terms:
            graded = any(m.valued and not m.light for m in marks[place + 1 :])
            return (paused or led) and mark.terms[0].category in MOTOR and graded
        elif mark.text.split()[0] not in mood["level_also"]:
            return False
    return False
