"""Muscles that are to be moved: "then tendon transfers, PT to ECRB, FCR to EDC" grades none."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary

SCOPE = "teaching"


def leave_transfers(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Takes for talk what stands behind a word for a transfer, where a muscle goes to another."""
    words = vocabulary.phrases.mood
    at = next((n for n, m in enumerate(marks) if _names(m, words["transfer"])), len(marks))
    if not any(_goes_to(marks[n : n + 3], words["transferred"]) for n in range(at, len(marks) - 2)):
        return
    for mark in marks[at:]:
        mark.scope, mark.reach = SCOPE, "itself"


def _names(mark: Mark, words: tuple[str, ...]) -> bool:
    return not mark.terms and bool(set(mark.text.split()) & set(words))


def _goes_to(marks: list[Mark], words: tuple[str, ...]) -> bool:
    """Whether one muscle leads to another one."""
    donor, to, target = marks
    moved = all(m.terms and m.terms[0].category == "muscle" for m in (donor, target))
    return moved and to.text in words
