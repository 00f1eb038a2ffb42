"""The mood of a sentence: supposed, asked, or said of things in general, by its word order."""

from dictate2exam.findings.days import of_another_day
from dictate2exam.findings.frames import Cue, framed
from dictate2exam.findings.general import generalities
from dictate2exam.findings.lessons import lessons
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.sources import sourced, supplied
from dictate2exam.findings.vocabulary import Vocabulary


def moods(marks: list[Mark], asked: bool, vocabulary: Vocabulary) -> list[Cue]:
    """Scopes that word order alone opens: start, end, scope and reach."""
    words = vocabulary.phrases.mood
    found = _from_to(marks, frozenset(words["rising"]))
    opened = _opening(marks, frozenset(words["filler"]))
    if opened < 0:
        return found
    head = marks[opened]
    follows = marks[opened + 1] if opened + 1 < len(marks) else None
    if follows is not None and _is_subject(follows, words["subject"]):
        first = head.text.split()[0]
        if asked and first in words["asking"]:
            return [(head.start, head.end, "question", "offered")]
        if not asked and first in words["supposing"]:
            return [(head.start, head.end, "teaching", "whole")]
        named = bool(follows.terms) or follows.text.split()[0] in words["supposed_name"]
        if not asked and named and first in words["supposing_named"]:
            return [(head.start, head.end, "teaching", "whole")]
    general = framed(marks, opened, words) or generalities(marks, opened, vocabulary)
    general = general or _generic(marks[opened:], vocabulary)
    general = general or supplied(marks, opened)
    general = general or sourced(marks, opened, words) or lessons(marks, opened, words)
    general = general or of_another_day(marks, opened, words)
    return [*found, *general]


def _from_to(marks: list[Mark], rising: frozenset[str]) -> list[Cue]:
    """ "Gone from one to three": the first grade was before."""
    for place in range(1, len(marks) - 3):
        verb, word, before, to, now = marks[place - 1 : place + 4]
        numbers = before.number and now.number
        if word.text == "from" and to.text == "to" and numbers and verb.text.split()[-1] in rising:
            return [(word.start, to.end, "history", "itself")]
    return []


def _opening(marks: list[Mark], fillers: frozenset[str]) -> int:
    for place, mark in enumerate(marks):
        if not (mark.has("pause") or mark.text in fillers):
            return place
    return -1


def _is_subject(mark: Mark, subjects: tuple[str, ...]) -> bool:
    return bool(mark.terms) or mark.text.split()[0] in subjects


def _generic(marks: list[Mark], vocabulary: Vocabulary) -> list[Cue]:
    """ "An absent jerk is the upper trunk", "a flicker is grade one": what is found is only what
    something else is said of."""
    words = vocabulary.phrases.mood
    place = next((n for n, m in enumerate(marks) if m.text in words["copula"]), -1)
    if place < 0 and (marks[0].text in words["indefinite"] or marks[0].valued):
        place = next((n for n, m in enumerate(marks) if m.text in words["denied_copula"]), -1)
    if place < 1 or any(m.has("pause") for m in _without_aside(marks[:place])):
        return []
    head, rest = marks[:place], _until_pause(marks[place + 1 :])
    terms = [m for m in head if m.terms]
    valued = [m for m in head if m.valued and not m.light]
    if not rest or any(m.has("side") for m in head):
        return []
    if not terms:
        solid = [m for m in rest if not m.light]
        graded = bool(solid and solid[0].number) and marks[place].text in words["graded"]
        definition = bool(valued) and head[-1].valued and graded
        return [_over(marks, place)] if definition else []
    defined = marks[0].text in words["indefinite"] and rest[0].text in words["indefinite"]
    if defined and terms[0].terms[0].category == "sign" and any(m.terms for m in rest):
        return [_over(marks, place)]  # "a Horner's is a small pupil and a droopy lid"
    if any(m.valued and not m.light for m in rest):
        return []
    sign = terms[0].terms[0].category in {"sign", "posture"}
    value_first = bool(valued) and valued[0].start < terms[0].start
    if not (sign or value_first):
        return []
    named = bool(rest[0].terms) or rest[0].text.split()[0] in words["nerve"]
    if named or rest[0].text.split()[0] in words["complement"]:
        return [_over(marks, place)]
    return []


def _without_aside(head: list[Mark]) -> list[Mark]:
    """The marks before a verb without what commas set off: "Horner's, for you up there, is"."""
    pauses = [n for n, m in enumerate(head) if m.has("pause")]
    if len(pauses) == 2 and pauses[1] == len(head) - 1:
        aside = head[pauses[0] : pauses[1]]
        if not any(m.terms or m.valued or m.has("side") for m in aside):
            return head[: pauses[0]]
    return head


def _over(marks: list[Mark], place: int) -> Cue:
    return (marks[place].start, marks[place].end, "teaching", "whole")


def _until_pause(marks: list[Mark]) -> list[Mark]:
    out = []
    for mark in marks:
        if mark.has("pause"):
            break
        out.append(mark)
    return out
