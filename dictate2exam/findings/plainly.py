"""Words of talk that tell what was found all the same: "so this is two, brachioradialis two", "as
he does it", "exactly as my colleague would wish it"."""

from itertools import pairwise

from dictate2exam.findings.marks import Mark


def grades_this(marks: list[Mark], start: int, end: int) -> bool:
    """ "It moves, so this is two, brachioradialis two": the grade of what is named behind it."""
    cue = " ".join(m.text for m in marks if start <= m.start < end)
    after = [m for m in marks if m.start >= end and not m.has("pause")]
    said = after[0].number if after else None
    if not cue.endswith("this is") or said is None:
        return False
    return any(named.terms and grade.number == said for named, grade in pairwise(after[1:]))


def as_wished(marks: list[Mark], start: int) -> int:
    """Where "exactly as my colleague would wish it" ends, which tells only how something is; 0
    where that is not said."""
    at = next((n for n, m in enumerate(marks) if m.start >= start), len(marks))
    before = [m for m in marks if m.end <= start and m.text not in {"my", "our", "his", "her"}]
    if at < 2 or not before or before[-1].text != "as" or before[0] is before[-1]:
        return 0
    return next((m.start for m in marks[at:] if m.has("pause")), 0)


def tells(marks: list[Mark], start: int) -> bool:
    """Whether a subject or a denial before such words makes them no question: "as he does it",
    "you're not describing any burning"."""
    before = [m for m in marks if m.end <= start]
    if not before:
        return False
    clause = before[next((n for n in range(len(before), 0, -1) if before[n - 1].has("pause")), 0) :]
    cue = next((m.text for m in marks if m.start >= start), "").split()[:1]
    denied = cue == ["any"] and any(m.text.split()[-1] == "not" for m in clause)
    return denied or (cue == ["does"] and before[-1].text in {"he", "she"})


def sees_it(marks: list[Mark], start: int) -> int:
    """Where "when you hold your hands out" ends, which only tells how what is seen was looked at:
    "what I'm seeing when you hold both hands out is no wrist drop"; 0 where that is not said."""
    said = [word for m in marks if m.end <= start for word in m.text.split()]
    behind = [m for m in marks if m.start >= start]
    own = {"i", "im", "i'm"} & set(said)
    if not behind or behind[0].text.split()[0] != "when" or not own:
        return 0
    if not {"seeing", "see"} & set(said[-3:]):
        return 0
    return next((m.start for m in behind if m.has("pause") or m.text in {"is", "are"}), 0)
