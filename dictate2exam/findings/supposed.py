"""What was only supposed weak, and is graded then: "if the triceps was weak I'd look at the armpit.
It isn't, it's a five"; and a part of the limb asked about by its other face: "outside of it?"."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings.marks import MOTOR, Mark

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

# So many marks part a condition from what it supposes.
NEAR = 4
# A question for the other face has no more words than these.
LONGEST = 6
SKIN = frozenset({"place", "area"})


def name_supposed(line: Line) -> None:
    """Names what the sentence before only supposed, where this one opens by denying that."""
    marks, mood = line.marks, line.vocabulary.phrases.mood
    if line.speaker == "patient" or line.asked or len(marks) < NEAR - 1:
        return
    pause = next((n for n, m in enumerate(marks) if m.has("pause")), 0)
    if " ".join(m.text for m in marks[:pause]) not in mood["supposed_denied"]:
        return
    said = next((m for m in marks[pause + 1 :] if not m.light or m.number), None)
    if said is None or said.number is None or not line.state.read:
        return
    before = line.state.read[-1].marks
    for at in range(len(before) - 1, -1, -1):
        named = before[at]
        if not named.terms or named.terms[0].category not in MOTOR:
            continue
        lead = [word for m in before[max(0, at - NEAR) : at] for word in m.text.split()]
        if set(lead) & set(mood["supposed_condition"]):
            name = copy(named)
            name.scope = name.reach = ""
            marks.insert(pause + 1, name)
            return


def name_other_face(line: Line) -> None:
    """ "Inside of your forearm?" "Ten." "Outside of it?": the same part by another face."""
    marks, state = line.marks, line.state
    if not line.asked or line.speaker == "patient" or len(marks) > LONGEST:
        return
    last = [s.mark for s in state.last_subjects if s.term.category in SKIN]
    if len(last) != 1 or any(m.terms or m.valued or m.has("side") for m in marks):
        return
    mood = line.vocabulary.phrases.mood
    words = [word for m in marks if not m.has("pause") for word in m.text.split()]
    while words and words[0] in mood["face_leads"]:
        words.pop(0)
    while words and words[-1] in mood["face_ends"]:
        words.pop()
    face, part = " ".join(words), _part(last[0])
    found = line.vocabulary.terms.get((*words, *part)) if face and part else None
    if found and found[0].category in SKIN:
        first = next(m for m in marks if words[0] in m.text.split())
        first.terms, first.values, first.roles = tuple(found[:1]), (), frozenset()


def _part(mark: Mark) -> tuple[str, ...]:
    """What the face before was of: "of your forearm"."""
    words = mark.text.split()
    return tuple(words[words.index("of") :]) if "of" in words else ()
