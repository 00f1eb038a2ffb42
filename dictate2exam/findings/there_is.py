"""A percussion sign that is only said to be there: "there's a good Tinel", "the left wrist"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.marks import Mark

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

# Marks before the sign that may say that it is there: "there's a good strong Tinel".
REACH = 5
ARTICLES = frozenset({"a", "an"})
# Joints at which one nerve is tapped.
JOINTS = {"wrist": "carpal_tunnel", "wrists": "carpal_tunnel"}


def present(line: Line, named: Mark) -> Claim:
    """What the name of the sign says where it stands for its being there."""
    return Claim(
        named, words=tuple(w for w in line.vocabulary.phrases.values if w.name == "present")
    )


def says_there_is(line: Line, named: Mark) -> bool:
    """Whether the bare name says that the sign is there: "there's a good Tinel at the wrist"."""
    if not named.terms or named.scope or line.percussion.asked or line.asked:
        return False
    if named not in line.marks:
        return False
    at = line.marks.index(named)
    before = [word for m in line.marks[max(0, at - REACH) : at] for word in m.text.split()]
    there = line.vocabulary.phrases.cues["naming.there"]
    article = next((n for n in range(len(before) - 1, -1, -1) if before[n] in ARTICLES), -1)
    return article > 0 and before[article - 1] in there


def listed(line: Line, last: Mark, at: int) -> bool:
    """Whether a site goes on the list of the site before it."""
    if last not in line.marks:
        return False
    gap = line.marks[line.marks.index(last) + 1 : at]
    return all(m.light or m.has("pause") or m.has("list.join") for m in gap)
