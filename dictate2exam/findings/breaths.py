"""Where a sentence ends in recognised speech, which has no stops: before words that open one, once
a finding is complete.

A wrong end parts a name from its value, a missing one only lets the reader find its own way: so
ends are set where the words leave little doubt.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from itertools import pairwise

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary

LONGEST = 5  # words of an opening phrase
LONG = 40  # marks from which on speech runs over more than one finding for sure
LAPSE = 12  # marks over which a supposition reaches
STRANGE = 3  # words of talk that end a finding before it
FULL = 10
THERE = frozenset({"present", "absent"})


def breaths(
    marks: list[Mark], vocabulary: Vocabulary, held: Collection[int] = frozenset()
) -> set[int]:
    """Places of the marks that begin a sentence, the first one apart.

    `held` are the tokens at which talk of the past or of another person begins, which bare grades
    do not end.
    """
    found: set[int] = set()
    long = len(marks) >= LONG
    start = 0
    for at in range(1, len(marks)):
        talk = any(mark.start <= place < mark.end for mark in marks[start:at] for place in held)
        if (
            _opens(marks, start, at, talk, long, vocabulary)
            or (not talk and _reports(marks, start, at, vocabulary))
            or (long and _resumes(marks, start, at, talk, vocabulary))
        ):
            found.add(at)
            start = at
    return found


def _opens(
    marks: list[Mark], start: int, at: int, talk: bool, long: bool, vocabulary: Vocabulary
) -> bool:
    cues = vocabulary.phrases.cues
    before, here, said = marks[at - 1], marks[at], marks[start:at]
    ahead = list(_phrases(marks, at))
    if long and _turns_to(before, ahead, cues):
        return True
    if _other_side(marks, start, at):
        return True
    if _binds(before, cues["breath.not_after"]):
        return False
    if any(phrase in cues["breath.not_before"] for phrase in ahead):
        return False
    named = any(_names(m) for m in said)
    turned = _names(here) or here.has("kind") or here.has("side")
    if (turned if long else _names(here) and not named) and _referred(said):
        return True
    valued = any(_value(m) for m in said) or (long and _denied(said))
    complete = named and valued
    closed = _value(before) or before.has("side") or before.has("scale") or before.has("detail")
    if not closed and before.terms:
        first = next((m for m in said if m.terms or _value(m) or m.has("negation")), before)
        closed = not first.terms or _value_first(said)
    if any(phrase in cues["breath.opens"] for phrase in ahead):
        # "In March there was a swelling": what stands in front dates what follows.
        fronted = said[0].text.split()[0] in cues["breath.fronted"]
        return complete or not (named or valued or fronted)
    of = at + 1 < len(marks) and marks[at + 1].text.split()[0] == "of"
    if complete and here.predicates and of:
        return True  # "... and infraspinatus wasting of the biceps"
    if not (complete and closed) or _binds_on(
        said[-LAPSE:] if long and not talk else said, cues["breath.holds"]
    ):
        return False
    if _turns(marks, at, cues["breath.after_side"]):
        return True
    if any(phrase in cues["breath.opens_after_finding"] for phrase in ahead):
        return here.text != "no" or (at + 1 < len(marks) and bool(marks[at + 1].terms))
    if here.has("kind") and (before.number is not None or _names_first(said)):
        # "Grade one power in the deltoid" goes on, "light touch on the right" does not.
        return not _preposed(marks, at + 1)
    if _names_first(said):
        return _next_pair(marks, at)
    return before.terms != () and _next_clause(marks, at)


def _turns_to(before: Mark, ahead: list[str], cues: Mapping[str, Collection[str]]) -> bool:
    """Whether the next thing is turned to, whatever was said before: "alright", "on inspection"."""
    return any(phrase in cues["breath.turns_to"] for phrase in ahead) and not _binds(
        before, cues["breath.turns_not_after"]
    )


def _referred(said: list[Mark]) -> bool:
    """Whether the good side was just taken as the full score: "the left is ten"."""
    told = [m for m in said if not (m.light and not m.has("side"))]
    if told and told[-1].has("side") and len(told) > 2 and told[-3].has("comparison"):
        return _full(told[-2])
    if not _full(said[-1]):
        return False
    for mark in reversed(said[:-1]):
        if mark.has("side"):
            return True
        if _names(mark) or mark.number:
            return False
    return False


def _other_side(marks: list[Mark], start: int, at: int) -> bool:
    """Whether the other side's word follows that of one side: "winging right no | left no"."""
    here, said = marks[at], marks[start:at]
    sides = [n for n, m in enumerate(said) if m.has("side.left") or m.has("side.right")]
    if len(sides) != 1 or not (here.has("side.left") or here.has("side.right")):
        return False
    place = sides[0]
    turned = said[place].has("side.left") != here.has("side.left")
    if not turned or not place or not _names(said[place - 1]) or place + 2 != len(said):
        return False
    closed = at + 2 == len(marks) or (at + 2 < len(marks) and _names(marks[at + 2]))
    return _word(said[-1]) and at + 1 < len(marks) and _word(marks[at + 1]) and closed


def _word(mark: Mark) -> bool:
    """Whether a mark says by a word what was found, or answers."""
    there = any(word.name in THERE and not word.only for word in mark.values)
    return mark.number is None and not mark.terms and (there or mark.has("answer"))


def _full(mark: Mark) -> bool:
    number = mark.number
    if number is None:
        return mark.text == str(FULL)  # "your ten"
    return number.value == FULL and not number.sign


def _denied(said: list[Mark]) -> bool:
    """Whether a name stands behind a word of denial: "no ptosis"."""
    return any(one.has("negation.before") and bool(other.terms) for one, other in pairwise(said))


def _resumes(marks: list[Mark], start: int, at: int, talk: bool, vocabulary: Vocabulary) -> bool:
    """Whether a name with its value follows other words, which have ended what was said before:
    "five elbow in and turn it out infraspinatus two"."""
    cues = vocabulary.phrases.cues
    said = marks[start:at]
    strange = 0
    for mark in reversed(said):
        if mark.terms or _value(mark) or mark.has("side"):
            break
        strange += not mark.light
    if strange < STRANGE or len(said) < LAPSE or not marks[at].terms:
        return False
    before = marks[at - 1]
    if _binds(before, cues["breath.not_after"]) or before.light or before.has("hedge"):
        return False
    if _binds_on(said[-LAPSE:], cues["breath.holds"]) or _binds_on(
        said[-LAPSE:], cues["breath.supposed"]
    ):
        return False
    first = _finding_end(marks, at)
    return first > at and (not talk or _finding_end(marks, first) > first)


def _finding_end(marks: list[Mark], at: int) -> int:
    """The place after a name with its value, a side or a verb of today between them or not."""
    if at >= len(marks) or not marks[at].terms or marks[at].terms[0].category == "context":
        return at
    place = at + 1
    while place < len(marks) and (marks[place].has("side.left") or marks[place].has("side.right")):
        place += 1
    if place < len(marks) and marks[place].text in {"is", "are"}:
        place += 1
    return place + 1 if place < len(marks) and _value(marks[place]) else at


def _reports(marks: list[Mark], start: int, at: int, vocabulary: Vocabulary) -> bool:
    """Whether names with bare grades follow, as only findings are said: "as hard as you can
    biceps four triceps five". Talk puts a verb between them, and leaves no name or value open."""
    cues = vocabulary.phrases.cues
    said = marks[start:at]
    if _binds(marks[at - 1], cues["breath.not_after"]) or marks[at - 1].has("side"):
        return False
    if _binds_on(said, cues["breath.supposed"]) or said[0].text in cues["breath.fronted"]:
        return False
    last = next((m for m in reversed(said) if _names(m) or _value(m)), None)
    if last is not None and not (_value(last) and any(_names(m) for m in said)):
        return False
    pairs, place = 0, at
    while (after := _pair_end(marks, place)) > place:
        pairs, place = pairs + 1, after
    ends = place == len(marks)
    if not pairs or (not ends and _binds_on(marks[place : place + 2], cues["breath.holds"])):
        return False
    talked = _binds_on(said, cues["breath.holds"])
    return pairs > 1 or (ends and not talked)


def _pair_end(marks: list[Mark], at: int) -> int:
    """The place after a name with its grade directly behind it, a side between them or not."""
    if at >= len(marks) or not marks[at].terms:
        return at
    place = at + 1
    while place < len(marks) and (marks[place].has("side.left") or marks[place].has("side.right")):
        place += 1
    return place + 1 if place < len(marks) and marks[place].number is not None else at


def _preposed(marks: list[Mark], at: int) -> bool:
    """Whether a preposition leads on to a name: "in the deltoid", but not "on the right"."""
    if at >= len(marks) or not marks[at].has("list.prepose"):
        return False
    place = at
    while place < len(marks) and (marks[place].light or marks[place].has("list.prepose")):
        if marks[place].has("side"):
            return False
        place += 1
    return not (place < len(marks) and marks[place].has("side"))


def _turns(marks: list[Mark], at: int, words: Collection[str]) -> bool:
    """Whether a side opens a clause of its own: "on the right it is two"."""
    place = at + (marks[at].text.split()[0] == "on")
    while place < len(marks) and marks[place].text == "the":
        place += 1
    after = marks[place + 1] if place + 1 < len(marks) else None
    if after is None or place == at:
        return False
    return marks[place].has("side") and after.text.split()[0] in words


def _names_first(said: list[Mark]) -> bool:
    """Whether a name comes first and a value last: "deltoid four"."""
    first = next((m for m in said if _names(m) or _value(m)), None)
    return first is not None and _names(first) and _value(said[-1])


def _next_pair(marks: list[Mark], at: int) -> bool:
    """Whether a name with its own value follows: "... biceps five"; parts may stand between:
    "... pectoralis major clavicular part three"."""
    place = at
    while place < len(marks) and (marks[place].has("side.left") or marks[place].has("side.right")):
        place += 1
    if place >= len(marks) or not _names(marks[place]):
        return False
    for mark in marks[place + 1 :]:
        if _value(mark):
            return True
        if _names(mark) and not mark.has("part"):
            return False
    return False


def _next_clause(marks: list[Mark], at: int) -> bool:
    """Whether a name opens a clause with its verb and value behind another name: "absent biceps
    jerk triceps jerk is normal"."""
    if not _names(marks[at]) or at + 2 >= len(marks) or not marks[at + 1].has("list.copula"):
        return False
    if marks[at + 1].text not in {"is", "are", "was", "were"}:
        return False
    beyond = marks[at + 2 : at + 2 + STRANGE]
    nearest = next((m for m in beyond if _value(m) or _names(m) or m.has("side")), None)
    return nearest is not None and _value(nearest)


def _value_first(said: list[Mark]) -> bool:
    """Whether the last names were given the value before them: "a pouch at C6"."""
    place = len(said) - 1
    while place >= 0 and _names(said[place]):
        place -= 1
    led = place > 0 and said[place].has("list.prepose")
    return led and _value(said[place - 1])


def _names(mark: Mark) -> bool:
    return bool(mark.terms) or mark.has("bare")


def _phrases(marks: list[Mark], at: int) -> Iterator[str]:
    words = [word for mark in marks[at : at + LONGEST] for word in mark.text.split()]
    for size in range(1, min(LONGEST, len(words)) + 1):
        yield " ".join(words[:size])


def _binds(mark: Mark, words: Collection[str]) -> bool:
    """Whether the mark asks for more: "the", "and", "is", "grade"."""
    return not mark.terms and mark.text.rpartition(" ")[2] in words


def _binds_on(said: list[Mark], words: Collection[str]) -> bool:
    """Whether a supposition reaches on: "if it is weak the scapula wings"."""
    return any(word in words for mark in said for word in mark.text.split())


def _value(mark: Mark) -> bool:
    return mark.valued and not mark.light
