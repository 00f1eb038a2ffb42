"""A value that was only wondered about, and put right at once: "brisk, is it, no, normal"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.marks import Mark

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

WONDERING = frozenset({"is", "was", "it", "that", "or"})


def leave_wondering(line: Line) -> None:
    """Makes no question of what stands behind such words."""
    for at, mark in enumerate(line.marks[:-1]):
        if mark.has("correction.no") and mark.scope == "question" and wonders(line.marks[:at]):
            for other in line.marks[at:]:
                other.scope = other.reach = ""
            return


def told_before_asking(marks: list[Mark]) -> int:
    """Where the one name begins that a row of names and values ends on with a question: "biceps
    normal, triceps normal, brachioradialis, hm, absent?"; 0 where there is no such row."""
    named = [n for n, m in enumerate(marks) if m.terms]
    if len(named) < 3 or marks[0].written.utterance.speaker == "patient":
        return 0
    first, last = named[0], named[-1]
    while last and (marks[last - 1].has("side") or marks[last - 1].text in {"and", "the"}):
        last -= 1
    ends = [*named[1:-1], last]
    for start, end in zip(named[:-1], ends, strict=True):
        said = [m for m in marks[start + 1 : end] if not (m.has("pause") or m.has("side"))]
        if not said or not said[-1].valued or not all(m.valued or m.light for m in said):
            return 0
    led = all(m.has("side") or m.text == "the" for m in marks[:first])
    return last if led and marks[last - 1].has("pause") else 0


def wonders(before: list[Mark]) -> bool:
    """Whether a value is asked back or stands alone right before a no."""
    said = [m for m in before if not m.has("pause")]
    while said and not said[-1].valued and set(said[-1].text.split()) <= WONDERING:
        said.pop()
    return bool(said) and bool(said[-1].values) and not said[-1].number
