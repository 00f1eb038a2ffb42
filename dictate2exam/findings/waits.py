"""Grades still waited for: "we'll want the grip at four before you climb", "no lifting until the
biceps is a three", "when you're a four in the triceps we add weight"."""

from dictate2exam.findings.marks import Mark

Words = dict[str, tuple[str, ...]]
# So many marks stand between a word of waiting and the grade, or the grade and its name.
NEAR = 5
UNTIL = frozenset({"until", "till", "before"})
IS = frozenset({"is", "are", "is a", "are a"})
GRADED_AT = frozenset(
    {"at", "to", "up to", "back to", "of", "at a", "to a", "back at", "back up to"}
)
IN = frozenset({"in", "for", "on", "in the", "for the", "on the", "of", "of the"})
OWNERS = frozenset({"the", "that", "this", "your", "his", "her", "their", "both", "a", "an"})
WANTED = frozenset({"want", "need", "like", "wants", "needs", "require", "requires", "prefer"})
BEING = frozenset({"youre", "hes", "shes", "theyre"})
PERSONS = frozenset({"you", "he", "she", "they", "youve", "hes", "shes"})
HAVING = frozenset({"are", "is", "got", "have", "has", "youve got", "hes got", "shes got"})


def is_wanted(marks: list[Mark], at: int, words: Words) -> bool:
    """ "We'll want the infraspinatus at four": a name right behind the wish, and its grade."""
    said = marks[at].text.replace("'", "").split()
    if said[-1] not in WANTED or not at:
        return False
    place = at + 1
    while place < len(marks) and (marks[place].text in OWNERS or marks[place].has("side")):
        place += 1
    rest = marks[place : place + 4]
    if len(rest) < 3 or not rest[0].terms or rest[1].text not in GRADED_AT:
        return False
    return any(m.number for m in rest[2:]) and not any(m.has("pause") for m in rest)


def is_until(marks: list[Mark], at: int) -> bool:
    """ "No cricket until the infraspinatus is a four": not so "it was zero until ..."."""
    if marks[at].text not in UNTIL or any(m.text in {"was", "were"} for m in marks):
        return False
    rest = [m for m in marks[at + 1 : at + 1 + NEAR] if m.text not in OWNERS]
    return len(rest) > 2 and bool(rest[0].terms and rest[1].text in IS and rest[2].number)


def is_at(marks: list[Mark], at: int, words: Words) -> bool:
    """ "When you're a solid three in the deltoid we add weight": what is then done follows."""
    graded = next((n for n in range(at + 1, min(at + 2 + NEAR, len(marks))) if marks[n].number), 0)
    if not graded or any(m.has("pause") or m.terms for m in marks[at:graded]):
        return False
    said = [word.replace("'", "") for m in marks[at + 1 : graded] for word in m.text.split()]
    being = said[:1] and (said[0] in BEING or (said[0] in PERSONS and len(said) > 1))
    if not being or (said[0] not in BEING and not set(said) & HAVING):
        return False
    if graded + 2 >= len(marks) or not set(marks[graded + 1].text.split()) & IN:
        return False
    named = next(
        (n for n in range(graded + 1, min(graded + NEAR, len(marks))) if marks[n].terms), 0
    )
    after = [m for m in marks[named + 1 :] if not m.has("pause")] if named else []
    first = after[0].text.replace("'", "").split()[0] if after else ""
    return first in {*words["subject"], "well", "ill", "youll", "hell", "shell", "then", "lets"}
