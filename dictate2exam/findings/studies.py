"""Nerve conduction, needle and imaging: what a sentence is about, and roots that are not seen."""

from dictate2exam.findings.claims import ROOTS, Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State, Subject
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

STUDIES = ("needle", "imaging")
# What a study of nerves is about, and the word by which a nerve is one that is measured.
MEASURED, SENSORY = frozenset({"needle", "conduction"}), "sensory"
RECORDED = frozenset({"from", "at", "to", "over", "in"})
# "A normal one in the ulnar": what is said so of a jerk or potential is no grade.
ONE_OF = RECORDED | {"for", "of", "on", "behind"}
RESPONSES = frozenset({"conduction", "reflex"})
SEEING = frozenset(
    {"see", "visualise", "visualize", "show", "identify", "demonstrate", "find", "delineate", "out"}
)


def name_study(marks: list[Mark], state: State) -> None:
    """A word that only a study uses ("denervated", "avulsed") tells what its sentence is about, and
    so does "all intact on the scan", behind the roots."""
    for mark in marks:
        if mark.has("kind.imaging") and not mark.scope and _of_roots(marks):
            state.context.kind = state.context.topic = "imaging"
            state.context.heading = ""
            return
        for predicate in mark.predicates:
            if predicate.kind in STUDIES and not mark.scope:
                state.context.kind = state.context.topic = predicate.kind
                state.context.heading = ""
                return


def turn_to_needle(state: State, mark: Mark) -> None:
    """Of nerves and then of the needle: "median normal, denervation in FPL and a normal biceps"."""
    if state.context.kind == "conduction" and any(p.kind == "needle" for p in mark.predicates):
        state.context.kind = state.context.topic = "needle"


def _of_roots(marks: list[Mark]) -> bool:
    """Whether roots are all that is named."""
    named = [m for m in marks if m.terms]
    other = any(m.has("kind.power") or m.has("kind.sensation") or m.has("scale") for m in marks)
    return bool(named) and not other and all(m.terms[0].category == "level" for m in named)


def name_nerves(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Where a study is spoken of, a nerve called sensory, or one on the list of such, is its
    potential and no skin: "median sensory potential normal, superficial radial normal", "sensory
    median reduced, LACN absent"."""
    studied = state.context.topic in MEASURED or any(_tells_study(m) for m in marks)
    bare, listed = vocabulary.bare["conduction"], False
    if not studied or any(m.has("modality") for m in marks):
        return
    for at, mark in enumerate(marks):
        listed = listed or _is_nerve(mark)
        other = mark.terms and mark.terms[0].category not in {"conduction", "area"}
        listed = listed and not other
        found = bare.get(tuple(mark.text.split()))
        if found is None or mark.scope or (mark.terms and mark.terms[0].category != "area"):
            continue
        beside = [*marks[at + 1 : at + 2], *(marks[at - 1 : at] if at else ())]
        sensory = [m for m in beside if m.text == SENSORY and not m.terms][:1]
        if not (sensory or (listed and _valued_next(marks, at))):
            continue
        mark.terms, mark.values, mark.roles, listed = (found,), (), frozenset(), True
        for other in sensory:
            other.roles = frozenset({"list.light"})


def _tells_study(mark: Mark) -> bool:
    return mark.has("kind.needle") or mark.has("kind.conduction") or _is_nerve(mark)


def _valued_next(marks: list[Mark], at: int) -> bool:
    """Whether a nerve's name has its value next to it, or another name of its list."""
    ahead = next((m for m in marks[at + 1 :] if not (m.light or m.has("pause"))), None)
    before = marks[at - 1] if at else None
    joined = before is None or before.has("pause") or before.has("list.join") or before.light
    return joined and ahead is not None and (ahead.valued or _is_nerve(ahead))


def leave_recorded(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """ "Ulnar potential from the little finger absent": a place says where it was recorded."""
    if any((_is_nerve(mark) and not mark.scope) for mark in marks) or _responds(marks, vocabulary):
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


def leave_pronouns(marks: list[Mark], state: State) -> None:
    """ "Absent in the median, a reduced one in the ulnar": the potential, and no grade."""
    named = any(m.has(f"kind.{kind}") for m in marks for kind in RESPONSES)
    named = named or any(t.category in RESPONSES for m in marks for t in m.terms)
    if not named and state.context.topic not in RESPONSES:
        return
    for at in range(len(marks) - 1, 0, -1):
        one = marks[at]
        if one.text == "1" and one.number and _stands_for(marks, at):
            one.number, one.values, one.roles = None, (), frozenset({"list.light"})
            if marks[at - 1].terms or marks[at - 1].has("bare"):
                del marks[at]


def _stands_for(marks: list[Mark], at: int) -> bool:
    """Whether "one" is the jerk or potential itself: "a normal one in", "the ulnar one too"."""
    before, lead = marks[at - 1], marks[at - 2].text if at > 1 else ""
    after = marks[at + 1] if at + 1 < len(marks) else None
    if before.values and before.number is None:
        if after is None or after.has("pause"):
            return lead in {"a", "an"}
        return after.text.split()[0] in ONE_OF
    named = before.terms or before.has("bare")
    if not named or lead != "the" or after is None:
        return False
    return after.has("list.copula") or after.has("list.same")


def _responds(marks: list[Mark], vocabulary: Vocabulary) -> bool:
    """Whether a response of a nerve is spoken of: "no response from the median nerve"."""
    bare = [m for m in marks if m.has("bare.conduction") and not m.scope]
    if not bare or any(m.has("kind.reflex") for m in marks):
        return False
    tails = vocabulary.phrases.cues["tail.conduction"]
    said = [m for m in marks if m.has("kind.conduction") or m.text in tails]
    for mark in said:
        mark.roles = mark.roles | {"list.light"}
    return bool(said)


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
    named = [s.mark for s in line.state.open if s.term.category == "level"]
    if any(m in line.marks and m.start > line.group[-1].marks[-1].start for m in named):
        return False  # "C6 avulsed, C7 with a pouch"
    return line.state.last_claim is not None


def unseen_root(line: Line, at: int, term: Term) -> bool:
    """ "I cannot see the C8 root": a root that is not seen."""
    denial, state = line.denial, line.state
    if term.category != "level" or term.term_id not in ROOTS or denial is None:
        return False
    if denial not in line.marks or not SEEING & set(denial.text.split()):
        return False
    following = line.next_solid(at)
    if following < len(line.marks) and line.marks[following].valued:
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
    gap = line.marks[at + 1 : following]
    if following >= len(line.marks) or not any(m.text in {"and", "or", "nor"} for m in gap):
        line.denial = None
    return True
