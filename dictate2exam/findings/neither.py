"""Denied of both sides: "no winging, neither side", "winging on neither side"."""

from dictate2exam.findings.line import SIGN_KINDS
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import PAIRED
from dictate2exam.findings.vocabulary import Vocabulary

CLOSE = 3


def name_neither(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Makes "neither side" both sides, denying what was named before it or comes after it; behind
    a name "neither" denies it: "no swelling, and bruising neither"; before what each side has its
    value is denied of both: "neither plantar was extensor"."""
    cues = vocabulary.phrases.cues
    for at, mark in enumerate(marks):
        closes = at + 1 == len(marks) or marks[at + 1].has("pause")
        named = at > 0 and marks[at - 1].terms and marks[at - 1].terms[0].category in SIGN_KINDS
        if mark.text in cues["neither.words"] and closes and named:
            mark.values = vocabulary.words_named("absent")
            mark.roles, mark.predicates = frozenset({"predicative"}), ()
    for at, mark in enumerate(marks[:-3]):
        sign, being, said = marks[at + 1 : at + 4]
        one = bool(sign.terms) and sign.terms[0].category in PAIRED
        if mark.text in cues["neither.words"] and one and being.has("list.copula") and said.values:
            mark.roles = frozenset({"side", "side.both"})
            being.roles = frozenset({"negation", "negation.before"})
    for at, mark in enumerate(marks[:-1]):
        limb = marks[at + 1]
        if mark.text not in cues["neither.words"] or limb.text not in cues["neither.limb"]:
            continue
        limb.roles = frozenset({"side", "side.both"})
        limb.terms, limb.values = (), ()
        before = [m for m in marks[:at] if not (m.light or m.has("pause"))]
        if before and before[-1].terms and not _denied(marks[:at]):
            if before[-1].terms[0].category in SIGN_KINDS:
                words = vocabulary.words_named("absent")
                mark.values, mark.roles = words, frozenset({"predicative"})
        elif before:
            mark.roles = frozenset({"list.light"})


def _denied(before: list[Mark]) -> bool:
    """Whether what was named before has been denied or given a value already."""
    return any(m.has("negation.before") for m in before) or any(
        m.valued and not m.light for m in before[-CLOSE:]
    )
