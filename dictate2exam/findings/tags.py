"""A "right" that closes what was only said to go on: "I check those because of his neck, right"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary


def only_agrees(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """Whether "right" behind a pause closes a clause of talk, in which nothing is named or headed
    that a side could be of."""
    if at < 2 or at + 1 < len(marks) or not marks[at - 1].has("pause"):
        return False
    before, cues = marks[: at - 1], vocabulary.phrases.cues
    if any(m.terms or m.valued or m.has("side") or m.has("kind") or m.has("bare") for m in before):
        return False
    words = {word for m in before for word in m.text.split()}
    headed = words & {*cues["not_side.limb"], *vocabulary.places, *vocabulary.joints}
    if headed or any(m.has("region") or m.has("modality") for m in before):
        return False
    return bool(words & set(cues["not_side.clause"]))
