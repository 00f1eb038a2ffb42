"""Words that sound like a grade, a score or a muscle, read as such where only that can stand."""

from itertools import pairwise

from dictate2exam.findings.marks import Mark, Number
from dictate2exam.findings.vocabulary import Vocabulary

# Denials that were heard instead of a nought: "C five is not, and C six is one".
AFTER_COPULA = frozenset({"not"})


def mend_numbers(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "biceps for" at the end of what is said, or before the next term, is biceps four."""
    table = vocabulary.phrases.numbers.homophones
    for at, mark in enumerate(marks):
        text = mark.text.removeprefix("is ")
        if text not in table or mark.number or mark.terms:
            continue
        before = marks[at - 1] if at else None
        after = marks[at + 1] if at + 1 < len(marks) else None
        if text in AFTER_COPULA and after is not None and after.text == "and":
            after = marks[at + 2] if at + 2 < len(marks) else None
        if before is None or not before.terms:
            continue
        if before.terms[0].category not in {"muscle", "movement", "level"}:
            continue
        ends = (
            after is None
            or after.has("pause")
            or (bool(after.terms) and after.terms[0].category == before.terms[0].category)
        )
        if not ends or (after is not None and after.terms and mark.text in {"to", "too"}):
            continue
        if after is not None and after.terms and mark.text == "for":
            beyond = marks[at + 2] if at + 2 < len(marks) else None
            if beyond is None or not beyond.valued:
                continue
        mark.number = Number(table[text])
        mark.likeness = vocabulary.phrases.doubt.homophone
        mark.roles = frozenset({"guess", "doubted"} if text in AFTER_COPULA else {"guess"})
        mark.scope = before.scope


def mend_names(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "let's five" at the start or after a pause or value is "lats five"."""
    for at, (mark, after) in enumerate(pairwise(marks)):
        names = [role for role in mark.roles if role.startswith("misheard.")]
        before = marks[at - 1] if at else None
        opens = before is None or before.has("pause") or before.number is not None
        if names and after.number is not None and opens and not mark.terms:
            mark.terms = (vocabulary.by_id[("muscle", names[0].partition(".")[2])],)
            mark.roles, mark.values, mark.scope = frozenset(), (), ""
            mark.likeness = vocabulary.phrases.doubt.homophone
            after.scope = "" if after.scope == "instruction" else after.scope


def grades_given_first(marks: list[Mark]) -> None:
    """ "five for wrist extension": the grade comes first; "for" may have been heard as four."""
    for at in range(1, len(marks) - 1):
        grade, word, after = marks[at - 1], marks[at], marks[at + 1]
        four = word.number is not None and word.text == "4" and not word.number.sign
        if grade.number is None or not (word.text == "for" or four):
            continue
        if not after.terms or after.terms[0].category not in {"muscle", "movement"}:
            continue
        earlier = [m for m in marks[: at - 1] if not m.light]
        if earlier and (earlier[-1].terms or earlier[-1].number):
            continue
        word.number, word.roles, word.values = None, frozenset({"list.light"}), ()
        for mark in (grade, word, after):
            mark.scope = "" if mark.scope == "instruction" else mark.scope
