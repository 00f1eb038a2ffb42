"""Parts of a hand that are only spoken of: the examiner's own finger on a muscle, "I've a thumb on
the belly", and what kept a muscle from being tested, "not tested, the thumb is taped"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary

SKIN = frozenset({"place", "area"})


def pass_over_parts(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Leaves out the parts that are no place of anything found."""
    cues = vocabulary.phrases.cues
    for at, mark in enumerate(marks):
        if mark.terms and mark.terms[0].category in SKIN and _is_examiners(marks, at, cues):
            mark.leave()
        if any(word.name == "not_tested" for word in mark.values) and _was_of_something(marks, at):
            for other in _reason(marks, at, cues):
                if other.terms and other.terms[0].category in SKIN:
                    other.leave()


def _is_examiners(marks: list[Mark], at: int, cues: dict[str, tuple[str, ...]]) -> bool:
    """ "A thumb on the belly": nobody's skin is told of so."""
    digit = not set(cues["own_finger.digit"]).isdisjoint(marks[at].text.split())
    before = marks[at - 1].text.split()[-1] if at else ""
    after = marks[at + 1].text.split()[0] if at + 1 < len(marks) else ""
    return digit and before in cues["own_finger.own"] and after in cues["own_finger.touching"]


def _was_of_something(marks: list[Mark], at: int) -> bool:
    """Whether what was not tested stands before: its name, or a side of what was named."""
    return any(m.terms or m.has("side") for m in marks[:at])


def _reason(marks: list[Mark], at: int, cues: dict[str, tuple[str, ...]]) -> list[Mark]:
    """The clause behind that tells why, where it finds nothing itself."""
    rest = marks[at + 1 :]
    reasons = cues["hindrance.words"]
    begins = bool(rest) and (rest[0].has("pause") or rest[0].text.split()[0] in reasons)
    told = any(m.valued and not m.light for m in rest) or any(m.has("side") for m in rest)
    strange = any(not (m.roles or m.terms or m.valued) for m in rest)
    return rest if begins and strange and not told else []
