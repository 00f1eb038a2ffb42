"""Who else said it, told behind: "she was four in Nairobi, so the report claims"."""

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
