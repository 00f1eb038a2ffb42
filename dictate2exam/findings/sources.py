"""Who else said it, told behind: "she was four in Nairobi, so the report claims"; and what supplies
a muscle, which finds nothing: "the triceps is C7 mostly, with some C8"."""

from dictate2exam.findings.frames import Cue
from dictate2exam.findings.marks import Mark

Words = dict[str, tuple[str, ...]]


def sourced(marks: list[Mark], opened: int, words: Words) -> list[Cue]:
    """The whole sentence, where its last clause only names the paper that says so."""
    last = next((n for n in range(len(marks) - 2, opened, -1) if marks[n].has("pause")), -1)
    if last <= opened:
        return []
    tail = marks[last + 1 :]
    said = [word for m in tail for word in m.text.split()]
    if any(m.terms or m.number or m.has("side") for m in tail) or set(said) & set(words["ordered"]):
        return []
    opens = said[0] in {"so", "as", "or", "if", "the", "their", "that", "according"}
    sourced_by = set(said) & set(words["paper"])
    says = set(said) & set(words["reporting"])
    if opens and sourced_by and says and not set(said) & set(words["own_paper"]):
        return [(marks[opened].start, marks[-1].end, "history", "itself")]
    return []


SUPPLIED = frozenset({"is", "are", "gets", "takes"})
MOSTLY = frozenset({"mostly", "mainly", "largely", "chiefly", "all", "pure", "just", "really"})
# So many words stand between a muscle's verb and the root that supplies it.
NEAR = 3


def supplied(marks: list[Mark], opened: int) -> list[Cue]:
    """What is told of a muscle's roots, to the grade that may follow: "biceps is C5 and C6"."""
    at = opened
    while at < len(marks) and marks[at].text in {"the", "his", "her", "your"}:
        at += 1
    if at + 2 >= len(marks) or not marks[at].terms or marks[at].terms[0].category != "muscle":
        return []
    if marks[at + 1].text.split()[0] not in SUPPLIED:
        return []
    lead = at + 2
    while lead < len(marks) and lead - at <= NEAR and marks[lead].text in MOSTLY:
        lead += 1
    root = marks[lead] if lead < len(marks) else None
    if any(m.predicates or m.has("kind.imaging") for m in marks):
        return []
    if root is None or not root.terms or root.terms[0].category != "level":
        return []
    graded = next((n for n, m in enumerate(marks) if m.number), -1)
    if graded < 0:
        return [(marks[opened].start, marks[-1].end, "teaching", "itself")]
    for mark in marks[lead:graded]:
        if _is_root(mark):
            mark.leave()
    return []


def _is_root(mark: Mark) -> bool:
    return bool(mark.terms) and mark.terms[0].category == "level"
