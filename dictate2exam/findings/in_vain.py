"""A comparison of all that was just found with the other arm, of which nothing could be read:
"on the left everything's there" turns no arm, and what follows is asked about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.line import current_terms
from dictate2exam.findings.marks import graded_alone, next_sentence

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

# So many findings of one side make it the side examined.
SETTLED = 4
# So many names that all were found on it are compared; one alone may open what follows.
LEAST = 2
EVERY = ("list.lot", "list.all", "list.rest")


def looked_in_vain(line: Line, before: str) -> bool:
    """Whether the sentence tells of the other side only what was found on `before` already, or of
    all of it, and gave no finding."""
    state, marks = line.state, line.marks
    cues = line.vocabulary.phrases.cues
    words = {word for m in marks for word in m.text.split()}
    new = {*cues["turn.new"], "again"} - {"over"}  # "over on the left" is no new beginning
    if line.asked or line.speaker == "patient" or words & new:
        return False
    standing = [d for d in state.drafts if not d.gone]
    graded = {d.term.term_id for d in standing if d.side == before}
    others = sum(d.side == state.side for d in standing)
    if len(graded) < SETTLED or others >= len(graded) or graded_alone(next_sentence(state.ahead)):
        return False
    if any(m.number and not m.scope for m in marks):
        return False
    named = [t.term_id for m in marks for t in current_terms(line, m)[:1]]
    every = any(m.has(role) for m in marks for role in EVERY)
    rest = [m for m in marks if not (m.has("side") or m.terms or m.has("pause"))]
    if not any(m.has("list.copula") or m.valued or not m.light for m in rest):
        return False
    return len(named) >= LEAST and set(named) <= graded if named else every
