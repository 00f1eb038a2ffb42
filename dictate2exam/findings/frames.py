"""Turns of speech in which a grade is waited for, wished, or forbidden: "when the triceps gets to a
three we'll talk", "I'd love to see the deltoid at four", "never write zero for a pronator"."""

from dictate2exam.findings import waits
from dictate2exam.findings.marks import Mark

Words = dict[str, tuple[str, ...]]
# Start, end, scope and reach, as `scopes` has them.
Cue = tuple[int, int, str, str]
# So many marks stand between a name and the verb of reaching, or that verb and its grade.
NEAR = 5
# The longest opening of a frame, in marks.
OPENING = 4


def framed(marks: list[Mark], opened: int, words: Words) -> list[Cue]:
    """The stretch of a sentence that only waits for a grade, wishes or forbids it."""
    for at in range(opened, len(marks) - 2):
        text = marks[at].text
        if text in words["awaiting"] and (
            _is_reached(marks, at, words)
            or waits.is_until(marks, at)
            or waits.is_at(marks, at, words)
        ):
            return [(marks[at].start, marks[-1].end, "teaching", "itself")]
        if waits.is_wanted(marks, at, words):
            return [(marks[0].start, marks[-1].end, "teaching", "itself")]
        if text in words["wishing"] and _is_wished(marks, at, words):
            return [(marks[0].start, marks[-1].end, "teaching", "itself")]
        begins = at == opened or marks[at - 1].has("pause")
        if begins and text in words["forbidding"] and _is_forbidden(marks, at, words):
            return [(marks[at].start, _until_order(marks, at, words), "teaching", "itself")]
    return []


def _is_reached(marks: list[Mark], at: int, words: Words) -> bool:
    """ "Once the biceps creeps up to a four": so, unless what it does then is told."""
    named = next((n for n in range(at + 1, min(at + NEAR, len(marks))) if marks[n].terms), -1)
    if named < 0 or marks[named].terms[0].category == "place":
        return False
    if any(m.has("pause") or m.valued or m.has("side") for m in marks[at + 1 : named]):
        return False
    leading = (word for m in marks[at + 1 : named] if not m.light for word in m.text.split())
    if not all(word in words["awaiting"] or word in words["subject"] for word in leading):
        return False
    verb = next(
        (
            n
            for n in range(named + 1, min(named + NEAR, len(marks)))
            if marks[n].text.split()[0] in words["reaching"]
        ),
        -1,
    )
    if verb < 0:
        return False
    for place in range(verb + 1, min(verb + NEAR + 1, len(marks))):
        if marks[place].number:
            after = marks[place + 1 :]
            while after and (after[0].has("pause") or after[0].text == "then"):
                after = after[1:]
            return not after or after[0].text.split()[0] not in words["goes_on"]
        if marks[place].has("pause") or marks[place].terms:
            return False
    return False


def _is_wished(marks: list[Mark], at: int, words: Words) -> bool:
    """ "We'd like to see a triceps of three": its grade stands in the breath of the wish."""
    before = [m for m in marks[max(0, at - OPENING) : at] if not m.has("pause")]
    said = {word for m in before for word in m.text.split()}
    pleased = "be" in said and bool(said & set(words["pleased"]))
    if not pleased and not said & set(words["wish"]):
        return False
    named = graded = False
    for mark in marks[at + 1 :]:
        if mark.has("pause") or mark.text in {"is", "its"}:
            break
        named = named or bool(mark.terms)
        graded = graded or bool(mark.number)
    return named and graded


def proves_nothing(body: list[Mark], named: int, words: Words) -> bool:
    """Whether a verb of proof follows an indefinite sign: "a brisk jerk alone isn't worth much"."""
    denied = False
    for mark in body[named + 1 :]:
        said = mark.text.split()
        if said[0] in words["telling"]:
            plain = said[0].endswith("s")
            return (denied or plain) and not _of_somebody(body, words)
        denied = denied or mark.has("negation") or mark.text in words["between_telling"]
        light = mark.light or (mark.terms and mark.terms[0].category in {"place", "percussion"})
        known = all(word in words["between_telling"] for word in said)
        if mark.has("pause") or mark.has("side") or not (light or known or mark.has("negation")):
            return False
    return False


def _of_somebody(body: list[Mark], words: Words) -> bool:
    said = {word for m in body for word in m.text.split()}
    return bool(said & set(words["present_person"]))


def _is_forbidden(marks: list[Mark], at: int, words: Words) -> bool:
    """ "Never put nought for ...", "don't you ever document deltoid zero"."""
    for mark in marks[at + 1 : at + OPENING]:
        if mark.text.split()[0] in words["recording"]:
            return True
        if not (mark.light or mark.text in {"ever", "ever ever", "just", "you ever"}):
            return False
    return False


def _until_order(marks: list[Mark], at: int, words: Words) -> int:
    """Where what is written instead begins: "don't put four, put three", "the triceps is five"."""
    for place in range(at + 2, len(marks) - 1):
        if not marks[place].has("pause"):
            continue
        first = marks[place + 1].text.split()[0]
        if first in (*words["recording"], *words["goes_on"]):
            return marks[place].start
        told = [m for m in marks[place + 1 : place + 5] if not m.light or m.has("list.copula")]
        if len(told) > 2 and told[0].terms and told[1].has("list.copula") and told[2].valued:
            return marks[place].start
    return marks[-1].end


def only_leads(marks: list[Mark], start: int, end: int, words: Words) -> bool:
    """Whether "when you make a fist" tells only how was tested what is graded behind it: "when you
    make a fist, the grip is four"."""
    at = next((n for n, m in enumerate(marks) if m.end >= end), len(marks))
    opening = marks[at].text.split() if at < len(marks) else [""]
    lead = at
    if opening[-1] in words["condition_word"] or opening[-1] not in words["tester"]:
        lead = at + 1
        if lead >= len(marks) or marks[lead].text not in words["tester"]:
            return False
    if lead + 1 >= len(marks) or marks[lead + 1].text.split()[0] not in words["testing"]:
        return False
    if any(m.text.split()[0] in words["not_tested"] for m in marks):
        return False
    return _is_graded_behind(marks, lead + 2)


def _is_graded_behind(marks: list[Mark], first: int) -> bool:
    """Whether a name with its grade closes the sentence, or what follows is cut off."""
    for place in range(first, len(marks)):
        mark = marks[place]
        if not mark.terms or mark.terms[0].category == "place":
            continue
        before = marks[place - 1]
        if before.light and not before.has("pause"):
            before = marks[place - 2]
        if before.text in {"and", "but", "or"}:
            continue
        rest = [m for m in marks[place + 1 : place + 5] if not m.light or m.has("pause")]
        told = rest and (rest[0].number or (rest[0].valued and not rest[0].light))
        if told:
            return len(rest) < 2 or rest[1].has("pause") or rest[1].text in {"today", "for"}
        if mark.terms[0].category in {"sign", "posture"} and place == len(marks) - 1:
            return True
        if _closes_apart(marks, place):
            return True
    return False


def _closes_apart(marks: list[Mark], named: int) -> bool:
    """Whether the value of a name closes the sentence behind a pause: "so that's a subluxation,
    present", "anterior deltoid, I correct that, it's five"."""
    behind = [m for m in marks[named + 1 :] if m.valued or not (m.light or m.has("pause"))]
    behind = [m for m in behind if not m.has("correction")]
    if len(behind) != 1 or any(m.has("correction.no") for m in marks[named:]):
        return False
    sign = marks[named].terms[0].category in {"sign", "posture"}
    return behind[0].number is not None or (sign and bool(behind[0].values))
