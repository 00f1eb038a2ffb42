"""When the muscles that are named are reflexes, and when they no longer are."""

from dictate2exam.findings.line import Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.scales import REFLEX_WORDS
from dictate2exam.lexicon.terms import Term

HIGHEST_REFLEX = 4
REINFORCED = "reinforcement"
# So many findings back a run of reflexes may have begun.
RUN = 4


def reflexes_in_plus(line: Line) -> None:
    """ "1+ at the biceps, 2+ at the triceps": of power there is no such grade."""
    numbers = [m.number for m in line.marks if m.number]
    telling = any(n.sign == "+" and n.value == 1 for n in numbers)
    if not (telling or numbers):
        return
    bare = line.vocabulary.bare["reflex"]
    named = [m for m in line.marks if m.terms or m.has("bare.reflex")]
    if any(n.scale or n.value > HIGHEST_REFLEX or not (n.sign or n.value == 0) for n in numbers):
        return
    powered = line.state.context.heading == "power" or any(m.has("kind.power") for m in line.marks)
    if not named or powered or not all(_has_reflex(m, bare) for m in named):
        return
    if not telling and not _graded_before(line, named):
        return
    if telling and line.state.context.topic != "reflex":
        _make_reflexes(line)
    line.state.context.kind = line.state.context.topic = "reflex"


def _graded_before(line: Line, named: list[Mark]) -> bool:
    """Whether muscles that have their grade on this side are named with two plus while no power is
    examined: "badge patch, ten. Biceps, two plus"."""
    state = line.state
    felt = bool(state.last) and state.last[-1].item.startswith(("sensation.", "sign.percussion."))
    if not (felt or state.context.topic in {"sensation", "percussion"}) or state.correcting:
        return False
    side = state.side or "none"
    return all(
        m.terms
        and any(d.side == side and not d.gone for d in state.of_item(f"power.{m.terms[0].term_id}"))
        for m in named
    )


def _make_reflexes(line: Line) -> None:
    """Grades with a plus of a run that only now shows itself to be one of reflexes: "biceps, two
    plus. Supinator, two plus. Triceps, one plus"."""
    state, last = line.state, line.state.sentence
    bare = line.vocabulary.bare["reflex"]
    for draft in reversed(state.drafts[-RUN:]):
        name = draft.marks[0] if draft.marks else None
        plus = draft.value[1:] == "+" and draft.item.startswith("power.") and not draft.gone
        if not plus or name is None or last - draft.sentence > 1 or not _has_reflex(name, bare):
            return
        term = bare.get(tuple(name.text.split())) or bare[("brachioradialis",)]
        state.rename(draft, f"reflex.{term.term_id}")
        draft.value, draft.scale = REFLEX_WORDS[int(draft.value[0])], ""
        last = draft.sentence


def _has_reflex(mark: Mark, bare: dict[tuple[str, ...], Term]) -> bool:
    if not mark.terms:
        return True
    term = mark.terms[0]
    by_name = tuple(mark.text.split()) in bare or term.term_id == "brachioradialis"
    return term.category == "reflex" or (term.category == "muscle" and by_name)


def leave_reflex_names(line: Line) -> None:
    """Makes reflexes that wait for a value the muscles they were named as, where a grade follows
    that no reflex has: "the triceps. I said five minus"."""
    waiting = [s for s in line.state.open if s.term.category == "reflex" and s.mark.terms]
    muscles = [s for s in waiting if s.mark.terms[0].category == "muscle"]
    graded = next((m.number for m in line.marks if m.number), None)
    if not muscles or graded is None or any(m.terms or m.has("kind") for m in line.marks):
        return
    if graded.sign == "-" or (graded.value > HIGHEST_REFLEX and not graded.scale):
        for subject in muscles:
            subject.term = subject.mark.terms[0]
        line.state.context.topic = line.state.context.heading = ""


def leave_reflexes(line: Line) -> None:
    """Muscles and movements without a reflex end the talk of reflexes: "deltoid, triceps five"."""
    bare = line.vocabulary.bare["reflex"]
    context = line.state.context
    if context.topic != "reflex" or any(m.has("kind.reflex") for m in line.marks):
        return
    for mark in line.marks:
        term = mark.terms[0] if mark.terms else None
        if term is None or term.category not in {"muscle", "movement"} or mark.scope:
            continue
        if tuple(mark.text.split()) not in bare and term.term_id != "brachioradialis":
            context.topic = context.heading = ""
            return


def leave_reinforced(line: Line) -> None:
    """Where a result follows, reinforcement only tells how a jerk was tried: "two goes with
    reinforcement, all absent"."""
    for at, mark in enumerate(line.marks):
        if mark.text.split()[-1] != REINFORCED or not mark.values:
            continue
        after = line.marks[at + 1 :]
        result = next((m for m in after if m.terms or m.number or m.values), None)
        if result is not None and any("reflex" in word.means for word in result.values):
            mark.values, mark.roles = (), frozenset({"list.light"})
