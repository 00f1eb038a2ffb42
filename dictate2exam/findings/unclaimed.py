"""Grades and scores that nothing claimed: "Right: five, five, five", "The left is five", "Ten."

A number in a value's place that gave no finding mostly hides one; a number of things ("two
meetings"), of a step or in talk does not. One question a sentence.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import TYPE_CHECKING

from dictate2exam.findings.examined import is_free
from dictate2exam.findings.heard_numbers import HIGHEST_SCORE
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.state import Doubtful

if TYPE_CHECKING:
    from dictate2exam.findings.examined import Examined

FULL = "10"
# So many findings on either side are looked at for the same value.
NEAR = 3
# So many marks before the first value are shown with it.
SHOWN = 3


def unclaimed(search: Examined, sentence: Sentence) -> Iterator[Doubtful]:
    """The question of a sentence's numbers that nothing claimed, if they look like values."""
    marks, weights = sentence.marks, search.weights.unclaimed
    patient = marks[0].written.utterance.speaker == "patient"
    found = [
        at
        for at, mark in enumerate(marks)
        if _is_value(search, marks, at) and not (_repeats(search, marks, at) or mark.scope)
    ]
    if not found or (patient and not _only_answers(marks)) or _counts_up(marks, found):
        return
    first, last = found[0], found[-1]
    if len(found) == 1 and _said_again(search, marks[first]):
        return
    if len(found) > 1:
        score = weights.run
    elif any(m.terms for m in marks[:first]):
        score = weights.named
    else:
        score = weights.alone - max(0.0, search.talk_in(marks) - weights.talk)
    if sentence.unsure is not None:
        score -= weights.unsure
    start = max(0, first - SHOWN)
    before = search.before(marks[first])
    said = marks[start].written.heard(marks[start].start, marks[last].end - 1).text
    yield Doubtful(
        "unknown_term",
        False,
        f'"{said}": of what was that said?',
        "",
        before.side if before else "none",
        ("reject",),
        [],
        tuple(marks[at] for at in found),
        rule="value_without_item",
        score=round(max(0.0, min(1.0, score)), 3),
    )


def _is_value(search: Examined, marks: list[Mark], at: int) -> bool:
    """Whether a number could be a grade or score of its own, and gave nothing."""
    mark = marks[at]
    number = mark.number
    if number is None or number.value > HIGHEST_SCORE or mark.light or search.gave(mark):
        return False
    after = marks[at + 1] if at + 1 < len(marks) else None
    if after is not None and is_free(after) and not after.light and not after.roles:
        return False  # it counts things
    if any(m.values for m in marks[at + 2 : at + 3]) and after and after.has("list.copula"):
        return False  # it tells what a score means: "two is normal"
    # "Abduction I'm giving a one": a direction whose joint nobody named has its grade.
    moved = any(m.has("direction") for m in marks[:at])
    closed = after is None or after.has("pause")
    if moved and closed and not any(m.terms for m in marks[:at]):
        return True
    if at and marks[at - 1].text.split()[-1] in search.weights.determiners and not number.sign:
        return False  # "the two arms"
    if at and _labels(search, marks, at):
        return False
    bare_one = number.value == 1 and not (number.sign or number.scale)
    before = marks[at - 1] if at else None
    if not bare_one or before is None:
        return True
    return bool(before.has("pause") or before.has("list.copula") or before.terms or before.number)


def _labels(search: Examined, marks: list[Mark], at: int) -> bool:
    """Whether the number goes with the word before it: "form seven", or what was asked about."""
    before = marks[at - 1]
    ordinary = is_free(before) and not before.light and not before.roles - {"unknown"}
    return (ordinary and not search.strange(before)) or (search.gave(before) and not before.terms)


def _repeats(search: Examined, marks: list[Mark], at: int) -> bool:
    """Whether the number only says again what stands for the last name before it."""
    value = _value(marks[at])
    named = next((m for m in reversed(marks[:at]) if m.terms), None)
    ids = {term.term_id for term in named.terms} if named else set()
    reflex = named is not None and named.terms[0].category == "reflex"
    return any(d.term.term_id in ids and (d.value == value or reflex) for d in search.drafts)


def _said_again(search: Examined, mark: Mark) -> bool:
    """Whether a lone number is that of a finding just before or after, or the full score, which
    is what is said of what one compares with: "your chin's a ten"."""
    value = _value(mark)
    return value == FULL or any(d.value == value for d in search.around(mark, NEAR))


def _counts_up(marks: list[Mark], found: list[int]) -> bool:
    values = [number.value for at in found if (number := marks[at].number)]
    return (
        len(values) > 1 and values[0] < 4 and all(b - a == 1 for a, b in itertools.pairwise(values))
    )


def _value(mark: Mark) -> str:
    return mark.number.text if mark.number else ""


def _only_answers(marks: list[Mark]) -> bool:
    """Whether nothing but a number and words that hold speech together is said."""
    return not any(is_free(m) and not m.light and not m.roles for m in marks)
