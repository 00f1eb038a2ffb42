"""Fingers by their numbers, which are parts of a muscle and no grades: "lumbricals, three and four,
zero"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

# Sentences for which the muscle that was named stays the one whose fingers are counted.
STAYS = 3
# "Three and four", "four to five".
PAIR = 3
JOINING = frozenset({"and", "&", "to", "-"})


def name_fingers(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Gives two fingers that are counted before a grade the part of the muscle that moves them."""
    near = state.sentence + 1 - state.whole_since <= STAYS
    whole = state.whole if near else None
    heading = -1
    for at, mark in enumerate(marks):
        if mark.terms:
            whole, heading = mark.terms[0], at
            continue
        part = _part(marks, at, vocabulary)
        if part is None or not (_belongs(part, whole, vocabulary) and _graded(marks, at + PAIR)):
            continue
        if not _opens(marks, at, heading):
            continue
        mark.terms, mark.number, mark.values = (part,), None, ()
        mark.roles, mark.text = frozenset({"part"}), part.spoken[0]
        for other in marks[at + 1 : at + PAIR]:
            other.number, other.values, other.roles = None, (), frozenset({"list.light"})
        if heading >= 0 and not any(m.valued for m in marks[heading:at]):
            marks[heading].terms, marks[heading].roles = (), frozenset({"list.light"})
        for other in marks:
            if other.scope == "counting":
                other.scope = other.reach = ""
        heading = -1


def _part(marks: list[Mark], at: int, vocabulary: Vocabulary) -> Term | None:
    """The part that is known by the two numbers at a place."""
    pair = marks[at : at + PAIR]
    if len(pair) < PAIR or pair[1].text not in JOINING:
        return None
    first, last = pair[0].number, pair[2].number
    if first is None or last is None or first.sign or last.sign or first.scale or last.scale:
        return None
    said = f"{first.value} {last.value}"
    for name, fingers in vocabulary.phrases.cues.items():
        if name.startswith("finger_numbers.") and said in fingers:
            return vocabulary.by_id.get(("muscle", name.partition(".")[2]))
    return None


def _belongs(part: Term, whole: Term | None, vocabulary: Vocabulary) -> bool:
    """Whether the muscle named last is the one that the part is of, or another part of it."""
    groups = vocabulary.groups_of.get(part.term_id, ())
    if whole is None or not groups:
        return False
    own = min(groups, key=lambda term: len(term.members or term.parts))
    return whole == own or whole.term_id in (*(own.members or ()), *own.parts)


def _opens(marks: list[Mark], at: int, heading: int) -> bool:
    """Whether the numbers stand right behind the muscle, or open what is said of this part."""
    if heading >= 0 and not any(m.valued for m in marks[heading + 1 : at]):
        return all(m.light or m.has("pause") for m in marks[heading + 1 : at])
    before = next((m for m in reversed(marks[:at]) if m.has("pause") or not m.light), None)
    return before is None or before.has("pause")


def _graded(marks: list[Mark], at: int) -> bool:
    """Whether a grade follows the numbers."""
    after = next((m for m in marks[at:] if m.number or not (m.light or m.has("pause"))), None)
    return after is not None and after.valued and not after.terms
