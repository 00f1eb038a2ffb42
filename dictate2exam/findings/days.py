"""What was graded on another day or in another place, told by how the sentence opens: "after the
operation the biceps was zero", "in Cairo the deltoid was two"."""

from dictate2exam.findings.frames import Cue
from dictate2exam.findings.marks import Mark

Words = dict[str, tuple[str, ...]]
# So many marks behind a day it may be put right.
AT_ONCE = 6
# So many marks hold the opening, and so many stand between a name, its verb and its grade.
OPENING = 5
NEAR = 4
GRADED = frozenset({"muscle", "movement", "level", "reflex", "area", "place"})


def of_another_day(marks: list[Mark], opened: int, words: Words) -> list[Cue]:
    """From the opening on, where it dates or places a grade told in the past tense."""
    body = marks[opened:]
    end = _dated(body, words) or _placed(body, words)
    if end and _was_graded(body[end:], words):
        return [(body[0].start, body[0].end, "history", "forward")]
    return []


def put_right(marks: list[Mark], end: int, words: Words) -> bool:
    """Whether a day is put right in the same breath: "yesterday afternoon, sorry, this one"."""
    behind = [m for m in marks if m.start >= end][:AT_ONCE]
    at = next((n for n, m in enumerate(behind) if m.has("pause")), len(behind))
    said = [m for m in behind[at:] if not m.has("pause")]
    led = [m for m in said if m.has("correction.replace") or m.has("correction.no")]
    rest = said[said.index(led[-1]) + 1 :] if led and said[0] in led else []
    plain = not any(m.terms or m.valued for m in behind[:at])
    return plain and bool(rest) and rest[0].text.split()[0] in words["day_this"]


def _dated(body: list[Mark], words: Words) -> int:
    """Where "after his second operation" ends; 0 where nothing dates the sentence so."""
    if body[0].text not in words["day_after"]:
        return 0
    for at, mark in enumerate(body[1:OPENING], start=1):
        if mark.text.split()[-1] in words["day_event"]:
            return at + 1
        if mark.has("pause") or mark.terms or mark.valued or mark.has("side"):
            return 0
    return 0


def _placed(body: list[Mark], words: Words) -> int:
    """Where "back in Cairo" ends: a town of the list, or a name by its capital letter."""
    lead = 1 if body[0].text in words["place_lead"] else 0
    if len(body) < lead + 2 or body[lead].text not in words["place_in"]:
        return 0
    name = body[lead + 1]
    if name.terms or name.roles or name.valued:
        return 0
    heard = name.written.heard(name.start, name.end - 1).text
    capital = heard[:1].isupper() and heard[1:].islower() and len(heard) > len("Mrs")
    return lead + 2 if capital or name.text in words["town"] else 0


def _was_graded(rest: list[Mark], words: Words) -> bool:
    """Whether a name and its grade follow, and a verb of the past stands between or before them."""
    past = False
    named = -1
    for at, mark in enumerate(rest):
        if set(mark.text.split()) & set(words["day_now"]):
            return False
        past = past or mark.text.split()[0] in words["day_past"]
        if mark.terms and named < 0 and mark.terms[0].category in GRADED:
            named = at
        if named >= 0 and (mark.number or (mark.values and not mark.light)):
            return past and at > named
        if named < 0 and at > OPENING:
            return False
        if named >= 0 and at > named + NEAR:
            return False
    return False
