"""What was just found, counted and told again of the other side: "the same two on the right:
five and five", "on the right the same three are normal"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import named_side
from dictate2exam.findings.state import Draft, State, Subject

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

LEAST, MOST = 2, 9
# So many marks may lie between the number and the side: "the same three muscles over on the right".
NEAR = 5
LOOK_BACK = 40
SAME = frozenset({"same", "the same"})


def give_out(line: Line) -> None:
    """Gives what is counted again in a sentence that names nothing before it."""
    at = next((n for n, m in enumerate(line.marks[:-2]) if m.has("list.same")), -1)
    if not any(m.terms for m in line.marks[: max(at, 0)]):
        give_out_at(line, at)


def give_out_at(line: Line, at: int) -> bool:
    """Gives as many values as were counted to what was found last, in the order of it, or one to
    all of it."""
    marks, state = line.marks, line.state
    if at < 0 or at + 2 >= len(marks) or line.speaker == "patient" or line.asked:
        return False
    low = next((n + 1 for n in range(at - 1, -1, -1) if marks[n].terms or marks[n].valued), 0)
    count = _count(marks[at + 1])
    if not LEAST <= count <= MOST:
        return False
    far = at + 2 + NEAR
    near = [*range(at + 2, min(len(marks), far)), *range(max(low, at - NEAR), at)]
    place = next((n for n in near if named_side(marks[n])), -1)
    values = [n for n in range(at + 2, len(marks)) if _is_value(marks[n])]
    alike = len(values) == 1 and marks[at].text in SAME
    if place < 0 or any(m.terms or m.scope for m in marks[low:]):
        return False
    if not alike and (len(values) != count or place < at):
        return False
    side = named_side(marks[place])
    found = _found_last(state, count, side)
    if len(found) != count:
        return False
    made: list[Draft] = []
    kept, state.context.kind = state.context.kind, found[0].item.partition(".")[0]
    for draft, n in zip(found, values * count if alike else values, strict=True):
        claim = Claim(marks[n], marks[n].number, marks[n].values)
        subject = Subject(draft.term, draft.marks[0], sentence=state.sentence)
        made += assign(line, claim, [subject], rule="counted again", only_side=side) or []
    state.context.kind = kept
    state.last, line.group = made, made
    state.spoken_sides.append((side, marks[place]))  # type: ignore[arg-type]
    for mark in (marks[place], *marks[at:]):
        mark.values, mark.number, mark.roles = (), None, frozenset({"list.light"})
    return True


def _count(mark: Mark) -> int:
    number = mark.number
    if number is not None:
        return 0 if number.sign or number.scale else number.value
    return int(mark.text) if mark.has("quantity") and mark.text.isdigit() else 0


def _is_value(mark: Mark) -> bool:
    return mark.number is not None or (bool(mark.values) and not mark.light)


def _found_last(state: State, count: int, side: str) -> list[Draft]:
    """The last findings of one kind on the other side, each item once, in spoken order; those of
    the last sentence that told of so many, where there are more."""
    out: list[Draft] = []
    for draft in reversed(state.drafts[-LOOK_BACK:]):
        if draft.gone:
            continue
        kind = draft.item.partition(".")[0]
        if draft.side == side or (out and not out[0].item.startswith(f"{kind}.")):
            break
        if all(draft.item != known.item for known in out):
            out.append(draft)
    said = [d.sentence for d in out]
    told = next((number for number in said if said.count(number) == count), None)
    if told is not None and said.count(said[0]) < count:
        out = [d for d in out if d.sentence == told]
    return out[:count][::-1]
