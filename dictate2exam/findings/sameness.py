"""The same: a copy of the last value for another term, or of the last group on the other side."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import has_tight_value, list_end
from dictate2exam.findings.marks import Mark, next_sentence
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Draft, State, Subject

# Kinds that are read out as a short run: "the same on the right" means all of it.
RUNS = ("reflex.", "pulse.", "conduction.")
LOOK_BACK = 200
# These add to what is there; what is absent is added by "either" and "nor".
ADDS = frozenset({"as well", "too"})

TESTS = frozenset(
    {"do", "doing", "try", "trying", "test", "testing", "check", "checking", "repeat", "repeating"}
)

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


def read_same(line: Line, at: int, claim: Claim | None) -> bool:
    """ "the same": a copy of the last value, or of the last group on the other side."""
    state = line.state
    if line.asked and line.speaker != "patient":
        return False
    side_at = _side_after(line, at)
    if side_at and line.speaker != "patient":
        return _same_on_side(line, at, side_at)
    asked = [s for s in state.open if s.asked]
    if line.speaker == "patient" or asked:
        return False
    if state.last_claim is None or not state.last:
        return False
    if state.open:
        kinds = {d.term.category for d in state.last}
        if not any(s.term.category in kinds for s in state.open):
            return False
        copied = copy(state.last_claim)
        assign(line, copied, state.open, rule="the same", extra=line.marks[at])
        state.open = []
        return True
    following = line.next_solid(at)
    if _sided_name(line, following):
        line.pre = copy(state.last_claim)
        return True
    if (following < len(line.marks) and line.marks[following].terms) and (
        line.between_light(at, following)
    ):
        line.pre = copy(state.last_claim)
        if {d.side for d in line.group} == set(OPPOSITE):
            line.prefix_side, line.prefix_last = "both", list_end(line, following)
        return True
    return line.value_side != "" and _copy_to(line, at, line.value_side)


def leave_own(line: Line) -> None:
    """ "Left the same: biceps two plus": what has values of its own takes over none."""
    same = next(
        (n for n, m in enumerate(line.marks) if _says_same(m) or m.text == "all the same"), -1
    )
    if same > 0 and _points(line, same):
        line.marks[same].values, line.marks[same].roles = (), frozenset({"list.light"})
        return
    if same < 0 or any(m.terms or m.number for m in line.marks[:same]):
        return
    if _heads_other_side(line, same):
        line.marks[same].values, line.marks[same].roles = (), frozenset({"list.light"})
        return
    named = next((n for n in range(same + 1, len(line.marks)) if line.marks[n].terms), -1)
    gap = line.marks[same + 1 : named] if named >= 0 else []
    if not all(m.light or m.has("pause") or m.has("side") for m in gap) or not gap:
        return
    last = {d.term.term_id for d in line.state.last if not d.gone}
    last |= {d.marks[0].text for d in line.state.last if not d.gone}
    ahead = line.marks[named]
    again = ahead.text in last or ahead.terms[0].term_id in last
    sided = any(m.has("side") for m in line.marks[:named])
    own = sided and has_tight_value(line, named) and any(m.has("pause") for m in gap)
    if own and (again or any(m.text == ":" for m in gap)):
        line.marks[same].values, line.marks[same].roles = (), frozenset({"list.light"})


def _heads_other_side(line: Line, at: int) -> bool:
    """ "Now the left, the same muscles. Biceps four, ...": what is tested again, and no value."""
    marks, last = line.marks, [d for d in line.state.last if not d.gone]
    side = next((s for s in OPPOSITE for m in marks if m.has(f"side.{s}")), "")
    if not side or line.speaker == "patient" or any(m.terms or m.number for m in marks):
        return False
    if not last or last[-1].side == side:
        return False
    tested = line.vocabulary.phrases.cues["tested_again.words"]
    behind = [word for m in marks[at:] for word in m.text.split()]
    if any(word in tested for word in behind):
        return True
    after_it = next_sentence(line.state.ahead)
    if any(m.has("side") for m in after_it):
        return False  # "the same thing on the left. Left triceps five": only that is looked at
    ahead = [m for m in after_it if not m.light or m.number]
    names = {d.term.term_id for d in line.state.drafts if not d.gone}
    named = len(ahead) > 1 and bool(ahead[0].terms) and ahead[0].terms[0].term_id in names
    after = next((m for m in ahead[1:] if not (m.has("pause") or m.terms)), None)
    return named and after is not None and after.number is not None


def _points(line: Line, at: int) -> bool:
    """ "He felt nothing along the same border of the forearm": which skin is meant, and no value
    where one was said."""
    before, after = line.marks[at - 1], line.marks[at + 1 : at + 2]
    skin = bool(after) and any(t.category in {"place", "area"} for t in after[0].terms)
    if not (skin and before.has("list.prepose")):
        return False
    said = [m for m in line.marks[:at] if (m.valued and not m.light) or m.terms]
    return bool(said) and not said[-1].terms


def _says_same(mark: Mark) -> bool:
    same = mark.has("list.same") or mark.has("list.same_side") or mark.has("list.same_as")
    return same and not mark.terms


def says_also(line: Line, at: int) -> bool:
    """Whether "too" closes the clause of a term without a value: "the anconeus too"."""
    mark = line.marks[at]
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    closes = after is None or after.has("pause")
    named = mark.has("list.same") and closes and at > 0 and bool(line.marks[at - 1].terms)
    return named and not (mark.text in ADDS and _names_what_is_there(line, at))


def same_in(line: Line, at: int) -> bool:
    """Whether a sentence does no more than say the same of a name: "and the same in the biceps"."""
    mark, named = line.marks[at], line.next_solid(at)
    found = mark.has("list.same") and mark.text.endswith(" in") and not mark.scope
    if not found or named >= len(line.marks) or not line.marks[named].terms:
        return False
    plain = all(m.light or m.has("pause") or m.terms for m in line.marks if m is not mark)
    return plain and not any(m.terms for m in line.marks[:at])


def _names_what_is_there(line: Line, at: int) -> bool:
    """Whether a sign is named after others were denied: "no ptosis. There is swelling as well";
    a bare "miosis too" is denied like them."""
    state = line.state
    named = [s for s in state.open if s.naming]
    if not named or not any(d.value == "absent" and not d.gone for d in state.last):
        return False
    low = at
    while low and not line.marks[low - 1].has("pause"):
        low -= 1
    verbs = line.vocabulary.phrases.mood["verb"]
    said = [m for m in line.marks[low:at] if not m.light]
    told = any(word in verbs for m in said for word in m.text.split())
    return len(named) > 1 or told or any(not m.terms for m in said)


def _side_after(line: Line, at: int) -> int:
    following = line.next_solid(at)
    if (following < len(line.marks) and line.marks[following].has("side")) and (
        line.between_light(at, following)
    ):
        return 0 if _sided_name(line, following) else following
    return 0


def _sided_name(line: Line, at: int) -> bool:
    """Whether a side only goes with the name after it: "as was the left biceps jerk"."""
    ahead = line.marks[at + 1] if at + 1 < len(line.marks) else None
    alone = at < len(line.marks) and line.marks[at].text in OPPOSITE
    return alone and ahead is not None and bool(ahead.terms)


def _same_on_side(line: Line, at: int, side_at: int) -> bool:
    mark, state = line.marks[side_at], line.state
    if any("your" in m.text.split() for m in line.marks[at : side_at + 1]):
        return False  # "same again on your good arm" bids the patient do it
    if at and line.marks[at - 1].text.split()[-1] in TESTS:
        return False  # "let me do the same on the right" finds nothing yet
    side = next((n for n in ("left", "right") if mark.has(f"side.{n}")), "")
    if not side and (mark.has("side.other") or mark.has("side.good")):
        known = state.last[-1].side if state.last else ""
        side = OPPOSITE.get(known, "")
    if not side:
        return False
    mark.roles = frozenset({"list.light"})
    return _copy_to(line, at, side)


def _of_all(line: Line) -> bool:
    """Whether all that was said of this kind is meant: "the lot of them"."""
    return any(m.has("list.lot") or m.text == "all" for m in line.marks)


def _of_both(line: Line) -> bool:
    """Whether the two named last are meant: "on the left they're both five"."""
    return any("both" in m.text.split() and not m.has("side") for m in line.marks)


def _run(state: State, side: str) -> list[Draft]:
    """What was last found of one kind, one after another, on a side that is not this one."""
    kind = state.last[-1].item.partition(".")[0] if state.last else ""
    out: list[Draft] = []
    for draft in reversed(state.drafts[-LOOK_BACK:]):
        if draft.gone:
            continue
        if not draft.item.startswith(f"{kind}.") or draft.side == side:
            break
        out.append(draft)
    return out[::-1]


def value_on_side(line: Line, claim: Claim) -> None:
    """A value for the side just named, of what was said last or of all that was said."""
    state, side = line.state, line.value_side
    last = [d for d in state.last if not d.gone]
    kept = state.context.kind
    if last and not claim.kind:
        state.context.kind = last[-1].item.partition(".")[0]
    subjects = list(state.last_subjects)
    if any(m.has("list.rest") for m in line.marks):
        line.value_side = ""
        return
    if claim.number is None and last:
        near = [d for d in state.drafts[-LOOK_BACK:] if d.sentence == last[-1].sentence]
        kinds = {d.item.partition(".")[0] for d in near}
        if len(kinds) == 1:
            subjects = [Subject(d.term, d.marks[0]) for d in near if not d.gone and d.side != side]
            subjects = subjects or list(state.last_subjects)
    if _of_all(line) or (claim.number and _of_both(line)):
        run = _run(state, side)
        run = run if _of_all(line) else run[-2:]
        subjects = [Subject(d.term, d.marks[0], sentence=d.sentence) for d in run] or subjects
    assign(line, claim, subjects, rule="other side", only_side=side)
    state.context.kind = kept
    line.value_side = ""


def _copy_to(line: Line, at: int, side: str) -> bool:
    state = line.state
    if not state.last:
        return False
    source = [d for d in state.sentence_drafts if not d.gone]
    if not source:
        number = state.last[-1].sentence
        source = [d for d in state.drafts[-LOOK_BACK:] if d.sentence == number and not d.gone]
    if _of_all(line) or (source and source[-1].item.startswith(RUNS)):
        source = _run(state, side) or source
    made = []
    wanted = tuple(OPPOSITE) if side == "both" else (side,)
    for draft in source:
        for one in wanted:
            if draft.side == one:
                continue
            twin = copy(draft)
            twin.side = one  # type: ignore[assignment]
            twin.side_spoken = twin.side_local = True
            twin.marks = [*draft.marks, line.marks[at]]
            twin.detail = dict(draft.detail)
            twin.rule = "the same on the other side"
            twin.confidence = round(draft.confidence * 0.97, 3)
            twin.sentence = state.sentence
            made.append(twin)
        draft.dropped = draft.dropped or (side == "both" and draft.side not in OPPOSITE)
    state.drafts.extend(made)
    state.sentence_drafts.extend(made)
    if side in OPPOSITE:
        state.spoken_sides.append((side, line.marks[at]))  # type: ignore[arg-type]
    line.value_side = ""
    return True
