"""One word that heads a list of fingers: "Pulps, left. Thumb ten, index nine"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

ARTICLES = frozenset({"the", "your", "his", "her", "its"})
SKIN = frozenset({"place", "area"})
# So many marks a heading may have.
LONGEST = 6


def name_under_heading(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Makes the fingers after a heading the parts of them that it names, until others are named."""
    _name_beside(marks, vocabulary)
    word = _heading(marks, vocabulary)
    if word:
        state.finger_part = word
    elif (
        state.finger_part
        and any(m.terms for m in marks)
        and not any(_part(m, state.finger_part, vocabulary) for m in marks)
    ):
        state.finger_part = ""
    if not state.finger_part:
        return
    for mark in marks:
        found = () if mark.valued else _part(mark, state.finger_part, vocabulary)
        if found:
            mark.terms, mark.values, mark.roles = found, (), frozenset()


def _name_beside(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """The part of a finger that is named behind a pause: "little finger, the pulp?"."""
    for at, mark in enumerate(marks[:-2]):
        if not marks[at + 1].has("pause") or not mark.terms:
            continue
        rest = marks[at + 2 :]
        word = next((m for m in rest if m.text not in ARTICLES), rest[0])
        after = marks[marks.index(word) + 1 :][:1]
        if word.terms or word.roles or (after and not after[0].has("pause")):
            continue
        found = _part(mark, word.text.rstrip("s"), vocabulary)
        if found and found[0].category == "area":
            mark.terms, mark.values, mark.roles = found, (), frozenset()
            word.roles = frozenset({"list.light"})


def _heading(marks: list[Mark], vocabulary: Vocabulary) -> str:
    """The part that the words up to a pause name: "fingertip pulps of the left hand"."""
    word = ""
    for mark in marks[: LONGEST + 1]:
        if mark.has("pause"):
            break
        if mark.terms or mark.valued:
            return ""
        if mark.roles:
            if not (mark.light or mark.has("side")):
                return ""
            continue
        said = mark.text.rstrip("s")
        found = vocabulary.terms.get(("thumb", said), ())
        if found and found[0].category == "area":
            word = said
        elif word:
            return ""
    else:
        return "" if len(marks) > LONGEST else word
    return word


def _part(mark: Mark, word: str, vocabulary: Vocabulary) -> tuple[Term, ...]:
    """What the heading makes of the name of a finger, or nothing."""
    if not (mark.has("part") or any(term.category in SKIN for term in mark.terms)):
        return ()
    form = tuple(mark.text.split())
    return vocabulary.terms.get((*form, word)) or vocabulary.terms.get((*form, "finger", word), ())
