"""Nerve conduction, needle and imaging: what a sentence is about, and roots that are not seen."""

from dictate2exam.findings.claims import ROOTS, Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State, Subject
from dictate2exam.lexicon.terms import Term

STUDIES = ("needle", "imaging")
RECORDED = frozenset({"from", "at", "to", "over", "in"})


def name_study(marks: list[Mark], state: State) -> None:
    """A word that only a study uses ("denervated", "avulsed") tells what its sentence is about."""
    for mark in marks:
        for predicate in mark.predicates:
            if predicate.kind in STUDIES and not mark.scope:
                state.context.kind = state.context.topic = predicate.kind
                state.context.heading = ""
                return


def leave_recorded(marks: list[Mark], state: State) -> None:
    """ "Ulnar potential from the little finger absent": a place says where it was recorded."""
    if any(_is_nerve(mark) and not mark.scope for mark in marks):
        state.context.topic = "conduction"
    elif state.context.topic != "conduction" and not any(m.has("kind.conduction") for m in marks):
        return
    for at, mark in enumerate(marks):
        if not mark.terms or any(t.category not in {"place", "area"} for t in mark.terms):
            continue
        before = [m for m in marks[max(0, at - 2) : at] if m.text not in {"the", "a"}]
        nerve = any(m.has("bare.conduction") or _is_nerve(m) for m in marks[:at])
        if nerve and before and before[-1].text.split()[0] in RECORDED:
            mark.terms, mark.roles = (), frozenset({"list.light"})


def _is_nerve(mark: Mark) -> bool:
    return bool(mark.terms) and mark.terms[0].category == "conduction"


def beside(line: Line, at: int) -> bool:
    """ "Avulsed, with a pouch": a second word of imaging about the same root adds nothing."""
    mark = line.marks[at]
    if not (line.group and any(p.kind == "imaging" for p in mark.predicates)):
        return False
    before = [m.text.split()[0] for m in line.marks[max(0, at - 2) : at]]
    if "with" not in before or not all(d.item.startswith("imaging.") for d in line.group):
        return False
    return line.state.last_claim is not None


def unseen_root(line: Line, at: int, term: Term) -> bool:
    """ "I cannot see the C8 root": a root that is not seen."""
    denial, state = line.denial, line.state
    if term.category != "level" or term.term_id not in ROOTS or denial is None:
        return False
    if denial not in line.marks or "see" not in denial.text.split():
        return False
    ahead = line.marks[at + 1 : at + 4]
    named = any(word.has("root") for word in ahead)
    if not (named or "imaging" in (state.context.kind, state.context.topic)):
        return False
    state.context.kind = "imaging"
    words = line.vocabulary.words_named("not_visualised")
    mark = line.marks[at]
    subjects = [Subject(t, mark, sentence=state.sentence) for t in (term, *mark.shared)]
    assign(line, Claim(denial, words=words), subjects, rule="not seen")
    state.open = []
    following = line.next_solid(at)
    gap = line.marks[at + 1 : following]
    if following >= len(line.marks) or not any(m.text in {"and", "or", "nor"} for m in gap):
        line.denial = None
    return True
