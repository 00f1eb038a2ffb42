"""Words that change how the next ones are read: headings, scales, denials, hedges."""

from dictate2exam.findings import percussion, second_values
from dictate2exam.findings.answers import (
    alone,
    answer_signs,
    asked_signs,
    breaks_off,
    changes_answer,
    no,
    yes,
)
from dictate2exam.findings.denial import turn_denial
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import SENSORY, Line, name_bare
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State

HEAD_KINDS = (
    "power",
    "sensation",
    "reflex",
    "range",
    "conduction",
    "needle",
    "imaging",
    "percussion",
)

KINDS = (*HEAD_KINDS, "wasting", "contraction")
# So near a scale "not" is said of it: "not the usual zero to ten".
AGAINST = 4


def steer(line: Line, mark: Mark, at: int) -> None:
    """Words that change how the next ones are read."""
    state = line.state
    scaled = mark.has("scale") and not _other_scale(line, at)
    if scaled and mark.has("scale.ten"):
        state.context.scale = "ten"
    if scaled and mark.has("scale.isncsci"):
        state.context.scale = "isncsci"
    if mark.has("scale"):
        state.context.topic = state.context.heading = "sensation"
    for name in ("touch", "pin"):
        if mark.has(f"modality.{name}"):
            both = (
                at > 1
                and line.marks[at - 1].text in {"and", "&"}
                and (line.marks[at - 2].has("modality"))
            )
            state.modality = "" if both else name
            line.group_since = at
    for kind in KINDS if mark.has("kind") else ():
        if mark.text == "sensory" and state.context.topic == "conduction":
            break
        if kind == "sensation" and line.percussion.active and mark.scope == "question":
            break  # "carpal tunnel, any electric feeling?"
        if mark.has(f"kind.{kind}"):
            state.context.kind = kind
            name_bare(line, at, kind)
            if kind in HEAD_KINDS and kind != "range":
                if (
                    (kind in {"power", "sensation", "reflex"} and kind != state.context.topic)
                    and (mark.text != "muscles" and not line.subject_here)
                    and not _graded_in(kind, state)
                ):
                    state.open = []
                if kind != "sensation":
                    state.modality = ""
                state.context.topic = state.context.heading = kind
            break
    asking = mark.scope == "question" and mark.reach in {"offered", "starting"}
    asking = asking or _begins_clause(line, mark, at)
    if mark.has("answer.no") and breaks_off(line, at):
        return
    for name, value in (("yes", "present"), ("no", "absent")):
        if mark.has(f"answer.{name}") and not asking and percussion.answer(line, mark, value):
            return
    for name, value in (("yes", "present"), ("no", "absent")):
        if mark.has(f"answer.{name}") and not asking and changes_answer(line, mark, at, value):
            return
    if mark.has("answer.yes") and state.offered is not None and not line.yes_no and not asking:
        line.yes_no = "yes"
        yes(line, mark)
        return
    if mark.has("answer.yes") and asked_signs(state) and alone(line, at) and not asking:
        answer_signs(line, mark, "present")
        return
    if mark.has("answer.yes") and not asking and state.standing_offer is not None:
        waiting = [s for s in state.open if s.asked and s.term.category in SENSORY]
        if waiting and not line.yes_no:
            line.yes_no = "yes"
            assign(line, state.standing_offer, waiting, rule="offered before", extra=mark)
            state.open = []
            return
    if mark.has("answer.no") and not asking and no(line, mark, at):
        return
    line.denial, line.doubt = turn_denial(mark, line.denial, line.doubt)
    if mark.has("hedge.none"):
        line.hedge = None
    elif mark.has("hedge.before") and not mark.has("quantity"):
        _hedge(line, mark, at)
    if mark.has("list.all"):
        line.all_said = True
    if not (mark.light or mark.has("pause") or mark.roles):
        line.strange += 1


def _other_scale(line: Line, at: int) -> bool:
    """Whether a scale is only set against the one in use: "zero to two, not out of ten"."""
    against = line.vocabulary.phrases.cues["other_scale.words"]
    words: list[str] = []
    for mark in reversed(line.marks[:at]):
        if mark.has("pause") or mark.has("scale") or mark.terms or mark.number:
            break
        words[:0] = mark.text.split()
    said = f" {' '.join(words[-AGAINST:])} "
    return any(f" {word} " in said for word in against)


def _begins_clause(line: Line, mark: Mark, at: int) -> bool:
    """Whether "it is" answers nothing, since what it is follows: "it is not round"."""
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    return mark.has("list.copula") and after is not None and bool(after.values)


def _graded_in(kind: str, state: State) -> bool:
    """Whether all that waits is graded in this kind: "deltoid, biceps, triceps. M5"."""
    motor = kind == "power" and all(s.term.category in {"muscle", "movement"} for s in state.open)
    return bool(state.open) and motor


def _hedge(line: Line, mark: Mark, at: int) -> None:
    following = line.next_solid(at)
    weak = mark.has("hedge.weak") and line.speaker != "examiner"
    if weak and line.state.context.topic == "sensation":
        return
    if line.speaker == "patient":
        return
    if mark.has("hedge.weak") and mark.text in {"around", "about"}:
        after = line.marks[line.marks.index(mark) + 1 :]
        if not after or not after[0].number:
            return
    ahead = line.marks[following] if following < len(line.marks) else None
    if (line.group and not line.state.open and (ahead is None or not ahead.valued)) and (
        line.between_light(line.group_since, at) and (ahead is None or not ahead.terms)
    ):
        second_values.mark_hedged(line, line.group, mark)
        return
    line.hedge = mark
