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


def wonders(before: list[Mark]) -> bool:
    """Whether a value is asked back or stands alone right before a no."""
    said = [m for m in before if not m.has("pause")]
    while said and not said[-1].valued and set(said[-1].text.split()) <= WONDERING:
        said.pop()
    return bool(said) and bool(said[-1].values) and not said[-1].number
