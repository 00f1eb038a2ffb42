"""A grade that nothing passes: "none of the intrinsics scored better than a two"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary

BEST = 5
ARTICLES = frozenset({"a", "grade"})
LIGHT = frozenset({"list.light"})
BETWEEN = 2
# So many marks may make such a denial, the most first.
LONGEST = (4, 3, 2, 1)


def _form(marks: list[Mark]) -> str:
    return " ".join("one" if m.number and m.text == "1" else m.text for m in marks)


def name_bound(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Makes the denial before a bound hold nothing, so that the grade itself is read, and asked
    about unless it is full."""
    mood = vocabulary.phrases.mood
    for at, mark in enumerate(marks):
        size = next((n for n in LONGEST if _form(marks[at : at + n]) in mood["bound_none"]), 0)
        if not size:
            continue
        end = next((n for n in range(at + size, len(marks)) if marks[n].number), -1)
        between = marks[at + 1 : end] if end > 0 else []
        words = [word for m in between for word in m.text.split()]
        while words and words[-1] in ARTICLES:
            words.pop()
        than = [size for size in (1, BETWEEN) if " ".join(words[-size:]) in mood["bound_than"]]
        if not than or any(m.has("pause") or (m.values and not m.light) for m in between):
            continue
        grade = marks[end].number
        for other in (mark, *between, marks[end]):
            if other.scope == "history":  # "better than" compares with no other day here
                other.scope = other.reach = ""
        for other in marks[at + 1 : at + size]:
            other.number = None  # "not one of which"
        for other in (mark, *between):
            if not other.terms and not other.has("side"):
                other.values, other.roles, other.predicates = (), LIGHT, ()
        if grade is not None and 0 < grade.value != BEST:
            bound = next(m for m in reversed(between) if m.text not in ARTICLES)
            bound.roles = frozenset({"hedge", "hedge.before", "list.light"})
