"""Where a sentence ends in recognised speech, which has no stops: before words that open one, once
a finding is complete.

A wrong end parts a name from its value, a missing one only lets the reader find its own way: so
ends are set where the words leave little doubt.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary

LONGEST = 4  # words of an opening phrase


def breaths(marks: list[Mark], vocabulary: Vocabulary) -> set[int]:
    """Places of the marks that begin a sentence, the first one apart."""
    found: set[int] = set()
    start = 0
    for at in range(1, len(marks)):
        if _opens(marks, start, at, vocabulary):
            found.add(at)
            start = at
    return found


def _opens(marks: list[Mark], start: int, at: int, vocabulary: Vocabulary) -> bool:
    cues = vocabulary.phrases.cues
    before, here, said = marks[at - 1], marks[at], marks[start:at]
    ahead = list(_phrases(marks, at))
    if _binds(before, cues["breath.not_after"]):
        return False
    if any(phrase in cues["breath.not_before"] for phrase in ahead):
        return False
    named = any(m.terms or m.has("bare") for m in said)
    valued = any(_value(m) for m in said)
    complete = named and valued
    closed = _value(before) or before.has("side") or before.has("scale") or before.has("detail")
    if not closed and before.terms:
        first = next((m for m in said if m.terms or _value(m) or m.has("negation")), before)
        closed = not first.terms
    if any(phrase in cues["breath.opens"] for phrase in ahead):
        # "In March there was a swelling": what stands in front dates what follows.
        fronted = said[0].text.split()[0] in cues["breath.fronted"]
        return complete or not (named or valued or fronted)
    if not (complete and closed) or _binds_on(said, cues["breath.holds"]):
        return False
    if _turns(marks, at, cues["breath.after_side"]):
        return True
    if any(phrase in cues["breath.opens_after_finding"] for phrase in ahead):
        return here.text != "no" or (at + 1 < len(marks) and bool(marks[at + 1].terms))
    if here.has("kind") and (before.number is not None or _names_first(said)):
        # "Grade one power in the deltoid" goes on.
        return at + 1 == len(marks) or not marks[at + 1].has("list.prepose")
    return _names_first(said) and _next_pair(marks, at)


def _turns(marks: list[Mark], at: int, words: Collection[str]) -> bool:
    """Whether a side opens a clause of its own: "on the right it is two"."""
    place = at + (marks[at].text.split()[0] == "on")
    while place < len(marks) and marks[place].text == "the":
        place += 1
    after = marks[place + 1] if place + 1 < len(marks) else None
    if after is None or place == at:
        return False
    return marks[place].has("side") and after.text.split()[0] in words


def _names_first(said: list[Mark]) -> bool:
    """Whether a name comes first and a value last: "deltoid four"."""
    first = next((m for m in said if m.terms or m.has("bare") or _value(m)), None)
    return first is not None and (bool(first.terms) or first.has("bare")) and _value(said[-1])


def _next_pair(marks: list[Mark], at: int) -> bool:
    """Whether a name with its own value follows: "... biceps five"."""
    place = at
    while place < len(marks) and marks[place].has("side"):
        place += 1
    if place >= len(marks) or not (marks[place].terms or marks[place].has("bare")):
        return False
    after = next((m for m in marks[place + 1 :] if m.terms or m.has("bare") or _value(m)), None)
    return after is not None and _value(after)


def _phrases(marks: list[Mark], at: int) -> Iterator[str]:
    words = [word for mark in marks[at : at + LONGEST] for word in mark.text.split()]
    for size in range(1, min(LONGEST, len(words)) + 1):
        yield " ".join(words[:size])


def _binds(mark: Mark, words: Collection[str]) -> bool:
    """Whether the mark asks for more: "the", "and", "is", "grade"."""
    return not mark.terms and mark.text.rpartition(" ")[2] in words


def _binds_on(said: list[Mark], words: Collection[str]) -> bool:
    """Whether a supposition reaches on: "if it is weak the scapula wings"."""
    return any(word in words for mark in said for word in mark.text.split())


def _value(mark: Mark) -> bool:
    return mark.valued and not mark.light
