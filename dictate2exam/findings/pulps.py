"""One word that heads a list of fingers: "Pulps, left. Thumb ten, index nine"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

SKIN = frozenset({"place", "area"})
# So many marks a heading may have.
LONGEST = 6


def name_under_heading(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Makes the fingers after a heading the parts of them that it names, until others are named."""
    _name_set_off(marks, state, vocabulary)
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
            _become(mark, found)


def _name_set_off(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """A finger and its part that a pause divides: "and the pulps, index and little", "the little
    finger, same place, on the pulp"; "same place" is the part that was touched before."""
    cues = vocabulary.phrases.cues
    for at, mark in enumerate(marks):
        word = _part_word(mark, vocabulary)
        if not word:
            continue
        after = marks[at + 1 :]
        if after and after[0].has("pause") and _part(_first_solid(after), word, vocabulary):
            for other in after:
                found = () if other.valued else _part(other, word, vocabulary)
                if found:
                    _become(other, found)
                elif other.terms:
                    break
        elif not after or after[0].has("pause") or after[0].valued or after[0].light:
            _name_before(marks, at, word, vocabulary)
    touched = [m.text for d in state.last if not d.gone for m in d.marks[:1]]
    words = [w for text in touched[-1:] for w in text.split()]
    parts = cues["finger_part.words"]
    before = next((w.rstrip("s") for w in words if w.rstrip("s") in parts), "")
    said = " ".join(m.text for m in marks)
    if before and any(f" {place}" in f" {said}" for place in cues["same_place.words"]):
        for mark in marks:
            found = () if mark.valued else _part(mark, before, vocabulary)
            if found:
                _become(mark, found)


def _name_before(marks: list[Mark], at: int, word: str, vocabulary: Vocabulary) -> None:
    """Gives the part to the finger before it, where a pause and nothing of weight divides them."""
    paused = False
    for place in range(at - 1, -1, -1):
        mark = marks[place]
        if mark.text == "right" and marks[place + 1].text.split()[0] == "on":
            mark.leave()  # "the thumb, right on the pulp"
            continue
        found = _part(mark, word, vocabulary) if not mark.number else ()
        if found and paused:
            _become(mark, found)
            marks[at].roles = frozenset({"list.light"})
        told = not mark.roles and not mark.terms  # "tape all over a split tip"
        if mark.terms or mark.number or mark.has("side") or told:
            return
        paused = paused or mark.has("pause")


def _become(mark: Mark, found: tuple[Term, ...]) -> None:
    mark.terms, mark.values, mark.roles = found, (), frozenset()


def _first_solid(marks: list[Mark]) -> Mark:
    return next((m for m in marks if not (m.light or m.has("pause"))), marks[0])


def _part_word(mark: Mark, vocabulary: Vocabulary) -> str:
    """The word where it is that of a part of any finger: "pulps" is "pulp"."""
    known = mark.text.rstrip("s") in vocabulary.phrases.cues["finger_part.words"]
    if mark.terms or mark.valued or not known:
        return ""
    found = vocabulary.terms.get(("thumb", mark.text.rstrip("s")), ())
    return mark.text.rstrip("s") if found and found[0].category == "area" else ""


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
