"""Values that stand before their names: "Four, pectoralis major", "wrist down, five for FCR"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.line import (
    MOTOR,
    current_terms,
    following_terms,
    has_tight_value,
    list_end,
)
from dictate2exam.findings.meaning import read_claim

if TYPE_CHECKING:
    from dictate2exam.findings.claims import Claim
    from dictate2exam.findings.line import Line
    from dictate2exam.findings.marks import Mark

# A value for what follows it, however much was named before.
INVERTED = frozenset({"was", "were", "is", "are"})
GIVING = frozenset({"for", "for the"})


def opens_sentence(line: Line, at: int, claim: Claim) -> bool:
    """Whether a sentence is a value, a pause and names without a value: "Weak, the biceps jerk"."""
    marks, state = line.marks, line.state
    spared = line.vocabulary.phrases.cues["leading.words"]
    own = next((n for n in range(at + 1, len(marks)) if marks[n].text not in spared), len(marks))
    mark, nxt = marks[at], marks[own : own + 1]
    if line.speaker == "patient" or line.asked or mark.scope or mark.light or not nxt:
        return False
    if not nxt[0].has("pause") or nxt[0].text == ":" or line.value_side:
        return False
    if any(m.terms or m.has("side") or not _says_so(m, claim) for m in marks[:at]):
        return False
    if mark.text in line.vocabulary.phrases.mood["praise"] or mark.has("list.same"):
        return False
    named = [m for m in marks[at + 1 :] if m.terms and current_terms(line, m)]
    if not named or any(m.scope for m in named):
        return False
    plain = (m.terms or m.light or m.has("pause") or m.text in spared for m in marks[at + 1 :])
    if not all(plain) or any(m.valued and not m.terms for m in marks[at + 1 :] if not m.light):
        return False
    waiting = [s for s in state.open if not s.naming]
    fits = [s.term for s in waiting] + [current_terms(line, m)[0] for m in named[:1]]
    made = [read_claim(term, claim, state.context, line.vocabulary) for term in fits]
    return made[-1] is not None and made[-1].value != "?" and not any(made[:-1])


def is_inverted(line: Line, at: int) -> bool:
    """Whether a sentence opens with the value and its verb: "Nought, too, were FDS and FPL, and in
    the hand ..."."""
    marks, spared = line.marks, line.vocabulary.phrases.cues["leading.words"]
    if at or line.speaker == "patient" or line.asked or marks[at].scope:
        return False
    verb = next(
        (n for n, m in enumerate(marks) if n and not (m.has("pause") or m.text in spared)), 0
    )
    place = verb + 1
    while place < len(marks) and marks[place].light and not marks[place].has("pause"):
        place += 1
    if not verb or marks[verb].text not in INVERTED or place >= len(marks):
        return False
    if not current_terms(line, marks[place]):
        return False
    return not has_tight_value(line, list_end(line, place, own_values=True))


def _says_so(mark: Mark, claim: Claim) -> bool:
    """Whether a word before a grade says nothing else: "no power whatsoever, grade zero, in the
    following: ..."."""
    if not mark.valued:
        return True
    grade = claim.number.text if claim.number else ""
    said = {word.means.get("power") for word in mark.values}
    return not (mark.number or mark.predicates) and said == {grade}


def is_given(line: Line, at: int, claim: Claim) -> bool:
    """Whether a number is given to the muscle after it by a "for", though something was named
    before: "thumb up, four minus for brachioradialis"; what was named then waits no longer."""
    state = line.state
    if claim.number is None or at + 1 >= len(line.marks) or line.marks[at + 1].text not in GIVING:
        return False
    place = following_terms(line, at)
    if place < 0 or current_terms(line, line.marks[place])[0].category not in MOTOR:
        return False
    if has_tight_value(line, list_end(line, place, own_values=True)):
        return False
    shown = {"movement", "place", "area"}
    for subject in list(state.open):
        if subject.sentence == state.sentence and subject.term.category in shown:
            state.open.remove(subject)
            subject.mark.scope, subject.mark.reach = "instruction", "itself"
    return True
