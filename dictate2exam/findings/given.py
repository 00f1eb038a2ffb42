"""A grade before the verb by which it was given: "a five was also given for ECRL and for EDC"."""

from dataclasses import replace

from dictate2exam.findings.marks import MOTOR, Mark
from dictate2exam.findings.vocabulary import Vocabulary

PASSED, TAUGHT = frozenset({"history", "other_person"}), "teaching"
GIVES = frozenset({"list", "list.light", "list.prepose"})


def name_given(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Leaves out the verb, so that the grade is read as given to the names behind it."""
    for at in range(len(marks) - 3, -1, -1):
        if not marks[at].number or not _opens(marks, at):
            continue
        holds = vocabulary.phrases.cues["breath.holds"]
        if any(word in holds for m in marks[:at] for word in m.text.split()):
            continue  # "suppose a three was given to the biceps"
        end = _verb_ends(marks, at + 1, vocabulary)
        if not end:
            continue
        named = next((m for m in marks[end + 1 :] if not m.light), None)
        if named is None or not named.terms or named.terms[0].category not in MOTOR:
            continue
        last = marks.index(named)
        if any(m.scope in PASSED for m in marks[at : last + 1]):
            continue
        if all(m.scope == TAUGHT for m in marks[:at]):  # "a grade of three was obtained in"
            for mark in marks[: last + 1]:
                mark.scope = mark.reach = ""
        marks[end] = replace(marks[end], text="for", roles=GIVES, values=(), scope="", reach="")
        marks[end].number, marks[end].predicates = None, ()
        marks[at].scope = marks[at].reach = ""
        _give_each(marks, end)
        for mark in marks[at + 1 : end]:
            mark.scope = mark.reach = ""
        del marks[at + 1 : end]


def _opens(marks: list[Mark], at: int) -> bool:
    """Whether a clause begins with the number, or with what only leads to it: "a score of four"."""
    for mark in reversed(marks[:at]):
        if mark.has("pause") or mark.text in {"and", "but"}:
            return True
        if mark.terms or mark.valued or mark.has("side"):
            return False
    return True


def _verb_ends(marks: list[Mark], at: int, vocabulary: Vocabulary) -> int:
    """The place of the word that gives the grade to what follows; 0 where no such verb stands."""
    mood = vocabulary.phrases.mood
    goes, to = mood["given_goes"], mood["given_to"]
    passive = marks[at].text in mood["given_being"]
    said = marks[at].text.split()
    seen = said[0] in goes
    if seen and len(said) > 1 and said[1] in to:
        return at
    if not (passive or seen):
        return 0
    for place in range(at + 1, len(marks) - 1):
        mark = marks[place]
        if mark.text.split()[0] in to and seen:
            return place
        if passive and mark.text in mood["given_verb"]:
            seen = True
        elif mark.terms or mark.number or mark.has("pause") or not (mark.light or seen):
            return 0
    return 0


def _give_each(marks: list[Mark], at: int) -> None:
    """ "To the FCR and to the FCU": each of the list is given it."""
    for place in range(at + 1, len(marks) - 1):
        mark, before = marks[place], marks[place - 1]
        apart = before.has("pause") or before.text == "and" or before.number
        named = next((m for m in marks[place + 1 :] if not m.light), None)
        if mark.text == "to" and apart and named is not None and named.terms:
            marks[place] = replace(mark, text="for", roles=GIVES, values=())
