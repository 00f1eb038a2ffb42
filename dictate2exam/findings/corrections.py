"""Taking back and putting right: corrections, withdrawals, doubts said aloud, "the same"."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Doubtful, Draft, Subject

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


def read(line: Line, at: int) -> bool:
    """Reads a word of correction or withdrawal; False where the mark is none."""
    mark, state = line.marks[at], line.state
    if mark.has("correction.withdraw"):
        named = [s for s in state.open if s.sentence == state.sentence]
        if named and not line.group:
            state.open = []
            return True
        state.withdrawing = [d for d in state.last if not d.gone]
        state.correcting, state.correcting_since = "replace", state.sentence
        for draft in state.withdrawing:
            draft.withdrawn = True
        state.open = []
        return True
    if mark.has("correction.withdraw_named") and _names_a_term(line, at):
        line.withdraw_named = True
        return True
    if mark.has("correction.again"):
        state.correcting, state.correcting_since = "again", state.sentence
        return not (mark.valued or mark.terms)
    if mark.has("correction.again_after") and _names_again(line, at):
        state.correcting, state.correcting_since = "again", state.sentence
        return True
    if mark.has("correction.change") and _changes(line, at):
        state.correcting, state.correcting_since = "again", state.sentence
        return True
    if mark.has("correction.replace") and not mark.terms:
        if mark.text == "i said" and mark.scope:
            return False
        if mark.text == "instead" or (mark.text == "in fact" and not line.group):
            return False
        kind = "again" if active(line) and state.correcting == "again" else "replace"
        state.correcting, state.correcting_since = kind, state.sentence
        line.denial = None
        return True
    if mark.text == "no" and _leads_correction(line, at):
        return True
    if mark.text == "not" and line.group and not state.open:
        return _instead(line, at)
    return False


def _names_a_term(line: Line, at: int) -> bool:
    following = line.next_solid(at)
    return (
        following < len(line.marks)
        and bool(line.marks[following].terms)
        and (line.between_light(at, following))
    )


def _names_again(line: Line, at: int) -> bool:
    """Whether "again" closes a name that is looked at a second time: "FCR again"."""
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    if after is not None and not (after.has("pause") or after.text in {"is", "was"}):
        return False
    back = at - 1
    while back > 0 and (line.marks[back].has("pause") or line.marks[back].has("side")):
        back -= 1
    return back >= 0 and bool(line.marks[back].terms) and bool(line.state.open)


def _changes(line: Line, at: int) -> bool:
    """ "Change the deltoid from three to four minus": the first value is passed over."""
    for place in range(at + 1, len(line.marks) - 3):
        word, old, to, new = line.marks[place : place + 4]
        if word.text == "from" and to.text == "to" and old.number and new.number:
            old.number, old.values, old.roles = None, (), frozenset({"list.light"})
            to.roles = frozenset({"list.light"})
            return True
    return False


def _leads_correction(line: Line, at: int) -> bool:
    """Whether a no and a pause only lead to a word of correction: "no, I mean the left"."""
    rest = [m for m in line.marks[at + 1 : at + 4] if not m.has("pause")]
    return (
        (line.group != [] or line.state.sentence_drafts == [])
        and bool(rest)
        and (rest[0].has("correction.replace") and line.marks[at + 1].has("pause"))
    )


def _instead(line: Line, at: int) -> bool:
    """ "four not three": what follows the not was said in error and is passed over."""
    nxt = line.marks[at + 1] if at + 1 < len(line.marks) else None
    if nxt is not None and nxt.has("list.light") and at + 2 < len(line.marks):
        nxt = line.marks[at + 2]
    if nxt is None or not (nxt.number or nxt.has("side")):
        return False
    nxt.number, nxt.values, nxt.roles = None, (), frozenset({"list.light"})
    return True


def value_after_no(line: Line, at: int, claim: Claim) -> bool:
    """ "biceps four, no, three": a no before a second grade puts the first right."""
    state = line.state
    denial = line.denial
    if denial is None or denial.text not in {"no", "not"}:
        return False
    fresh = state.last and state.sentence - state.last[-1].sentence <= 1
    doubted = any(not d.drafts and d.sentence == state.sentence for d in state.doubts[-2:])
    if not line.group and not doubted and not (fresh and denial is line.marks[0]):
        return False
    line.denial = None
    if denial.text == "not":
        return True
    state.correcting, state.correcting_since = "replace", state.sentence
    return apply_value(line, at, claim)


def active(line: Line) -> bool:
    """Whether a word of correction was said in this sentence or the one before."""
    state = line.state
    return bool(state.correcting) and state.sentence - state.correcting_since <= 1


def apply_value(line: Line, at: int, claim: Claim) -> bool:
    """Replaces the values just said by a corrected one; False where nothing is being corrected."""
    state = line.state
    again = state.correcting == "again" and claim.number and not any(m.terms for m in line.marks)
    if not active(line) or not (state.correcting == "replace" or again):
        return False
    if state.stray and state.sentence - state.stray <= 1 and line.speaker != "patient":
        _ask_of_what(line, at)
        return True
    old = state.withdrawing or [d for d in state.last if not d.gone]
    if not old and _answers_doubt(line, claim):
        return True
    if not old or state.sentence - old[-1].sentence > 4:
        return False
    if claim.words and not claim.number and line.speaker != "patient":
        weak = all(w.name in {"same", "less", "uncertain"} for w in claim.words)
        if weak:
            return False
    subjects = [Subject(d.term, d.marks[0], side=_kept_side(d)) for d in _one_each(old)]
    before = list(state.last)
    context_kind = state.context.kind
    kind = old[-1].item.partition(".")[0]
    state.context.kind = kind
    made = assign(line, claim, subjects, rule="corrected value")
    state.context.kind = context_kind
    if not made:
        state.last = before
        return False
    for draft in made:
        match = [d for d in old if d.item == draft.item and d.side == draft.side]
        if match:
            draft.corrects = match[-1]
            match[-1].withdrawn = False
            draft.side_spoken = match[-1].side_spoken
    state.withdrawing = []
    state.correcting = ""
    return True


def _ask_of_what(line: Line, at: int) -> None:
    """A correction after a value that found no name corrects nothing that was understood."""
    state, mark = line.state, line.marks[at]
    said = mark.written.utterance.text
    state.doubts.append(
        Doubtful(
            "unknown_term",
            False,
            f'"{said}" corrects a value whose name was not understood: what is {mark.text}?',
            marks=(mark,),
        )
    )
    state.correcting, state.stray = "", 0


def _answers_doubt(line: Line, claim: Claim) -> bool:
    """A correction of what was no value: "one plus, no, call it two"."""
    state = line.state
    asked = [d for d in state.doubts[-3:] if not d.drafts and state.sentence - d.sentence <= 1]
    items = {d.item for d in asked}
    subjects = state.last_subjects
    if not items or not subjects or claim.number is None:
        return False
    made = assign(line, claim, subjects, rule="corrected value")
    if not made:
        return False
    settled = {d.item for d in made}
    state.doubts = [d for d in state.doubts if not (d in asked and d.item in settled)]
    state.correcting = ""
    return True


def _kept_side(draft: Draft):  # type: ignore[no-untyped-def]
    return draft.side if draft.side in OPPOSITE and draft.side_spoken else None


def _one_each(drafts: list[Draft]) -> list[Draft]:
    seen: set[tuple[str, str]] = set()
    out = []
    for draft in drafts:
        if (draft.item, draft.side) not in seen:
            seen.add((draft.item, draft.side))
            out.append(draft)
    return out


def replace_side(line: Line, side: str, mark: Mark) -> None:
    """Makes corrected copies of what was just said, on the other side."""
    state = line.state
    made = []
    for draft in [d for d in state.last if not d.gone]:
        twin = copy(draft)
        twin.side = side  # type: ignore[assignment]
        twin.side_spoken = twin.side_local = True
        twin.marks = [*draft.marks, mark]
        twin.detail = dict(draft.detail)
        twin.corrects = draft
        twin.rule = "corrected side"
        made.append(twin)
    state.drafts.extend(made)
    state.sentence_drafts.extend(made)
    state.last = made
    line.group = made


def settle(line: Line, draft: Draft, subject: Subject) -> bool:
    """Links a new draft to what it corrects; True where it only repeats what was just said."""
    state = line.state
    correcting = active(line)
    lately = state.of_item(draft.item)[-40:]
    replaced = {id(d.corrects) for d in lately if d.corrects is not None}
    same_item = [
        d
        for d in reversed(lately)
        if not d.gone
        and id(d) not in replaced
        and d.detail.get("modality") == draft.detail.get("modality")
    ]
    earlier = [d for d in same_item if d.side == draft.side]
    if (correcting and subject.mark in line.marks) or (correcting and state.correcting == "again"):
        withdrawn = [d for d in state.withdrawing if d.item == draft.item]
        if withdrawn:
            draft.corrects = withdrawn[0]
            withdrawn[0].withdrawn = False
            state.withdrawing = []
            state.correcting = ""
            return False
        if earlier:
            if earlier[0].value == draft.value:
                return False
            draft.corrects = earlier[0]
            state.correcting = ""
            return False
        recent = [d for d in same_item if d in state.last and state.sentence - d.sentence <= 1]
        if recent and (draft.side_local or draft.side_spoken) and draft.side != recent[0].side:
            draft.corrects = recent[0]
            state.correcting = ""
            return False
        if state.correcting == "replace":
            _other_item(line, draft)
        return False
    if earlier and _said_no(line, draft, earlier[0]):
        draft.corrects = earlier[0]
        return False
    if (draft.patient and earlier and earlier[0].patient and line.speaker != "examiner") and (
        state.sentence - earlier[0].sentence <= 3 and earlier[0].value != draft.value
    ):
        draft.corrects = earlier[0]
        return False
    if any(m.has("side") for m in line.marks[_last_place(line, draft) + 1 :]):
        return False
    return bool(earlier) and earlier[0].value == draft.value


def _said_no(line: Line, draft: Draft, earlier: Draft) -> bool:
    """ "C7 ten. No, C7 is nine": a no before the name of what was just graded."""
    near = line.state.sentence - earlier.sentence <= 1
    graded = draft.value != earlier.value and draft.value[:1].isdigit()
    return near and graded and line.marks[0].text == "no" and not draft.patient


def _last_place(line: Line, draft: Draft) -> int:
    """The place of the last word that the draft was read from; the end where none is here."""
    places = [line.marks.index(m) for m in draft.marks if m in line.marks]
    return max(places, default=len(line.marks))


def _other_item(line: Line, draft: Draft) -> None:
    """ "biceps four, sorry, brachialis four": the first item was said in error."""
    state = line.state
    here = state.correcting_since == state.sentence and bool(state.sentence_drafts)
    old = [d for d in state.last if not d.gone and state.sentence - d.sentence <= 2]
    if not old or old[-1].item == draft.item:
        return
    state.correcting = ""
    if here and old[-1].value == draft.value and len(old) == 1:
        draft.corrects = old[-1]
        return
    state.doubts.append(
        Doubtful(
            "value",
            False,
            f"{old[-1].term.label} {old[-1].value} was followed by a correction: does it stand?",
            old[-1].item,
            old[-1].side,
            (old[-1].value, "reject"),
            [old[-1]],
            tuple(old[-1].marks),
        )
    )


def mark_hedged(line: Line, drafts: list[Draft], mark: Mark) -> None:
    """Keeps the first value, notes the doubt that was said aloud, and asks."""
    state = line.state
    fresh = [d for d in drafts if "hedged" not in d.detail and not d.gone]
    for draft in fresh:
        draft.detail["hedged"] = mark.text
        draft.confidence = round(draft.confidence * 0.7, 3)
    if fresh:
        names = ", ".join(d.term.label for d in _one_each(fresh))
        state.doubts.append(
            Doubtful(
                "value",
                False,
                f'{names}: {fresh[0].value} was said with doubt ("{mark.text}"); does it stand?',
                fresh[0].item,
                fresh[0].side,
                (fresh[0].value,),
                list(fresh),
                (*fresh[0].marks, mark),
            )
        )


def second_value(line: Line, at: int, claim: Claim) -> None:
    """A second number right after the first: a doubt said aloud, or a value without a term."""
    state = line.state
    group = [d for d in (line.group or state.last) if not d.gone]
    if not group or state.sentence - group[-1].sentence > 2 or claim.number is None:
        return
    said = f"{claim.number.value}{claim.number.sign}"
    if all(d.value == said for d in group):
        return
    if line.group:
        since = line.marks[line.group_since + 1 : at]
        linked = all(
            m.has("hedge") or m.light or m.has("list.range") or m.has("pause") or m.text == "-"
            for m in since
        )
        if linked and any(m.has("hedge") or m.has("list.range") or m.text == "-" for m in since):
            mark_hedged(line, group, line.marks[at])
            for doubt in state.doubts[-1:]:
                doubt.suggestions = (group[0].value, said)
            return
        if not linked:
            return
    elif any(not (m.light or m.has("pause")) for m in line.marks[:at]):
        return
    subjects = state.last_subjects
    if not subjects:
        return
    reading = read_claim(subjects[-1].term, claim, state.context, line.vocabulary)
    if reading is None or reading.value == "?":
        return
    state.doubts.append(
        Doubtful(
            "value",
            False,
            f"{group[-1].term.label}: {group[-1].value} and then {said} were said; which one?",
            group[-1].item,
            group[-1].side,
            (group[-1].value, said),
            [group[-1]],
            (*group[-1].marks, line.marks[at]),
        )
    )


def add_kind(line: Line, claim: Claim) -> bool:
    """A finding of another kind of the muscle just graded: "zero, nothing under my fingers"."""
    state = line.state
    context = state.context
    before = context.kind
    if not claim.predicates and claim.words:
        context.kind = "contraction"
    kinds = {d.item.partition(".")[0] for d in state.last}
    subjects = [s for s in state.last_subjects if s.term.category in {"muscle", "level", "bulk"}]
    if claim.kind in kinds or not subjects:
        context.kind = before
        return False
    last, claim_before = state.last, state.last_claim
    made = assign(line, claim, subjects, rule="another kind")
    context.kind = before
    if made:
        state.last, state.last_claim = [*last, *made], claim_before
    return bool(made)


def finish(line: Line) -> None:
    """Settles what a correction in this sentence still waits for."""
    state = line.state
    if line.withdraw_named:
        names = {s.term for s in state.open if s.sentence == state.sentence}
        for draft in state.drafts:
            if draft.term in names and not draft.gone:
                draft.withdrawn = True
        state.open = [s for s in state.open if s.sentence != state.sentence]
        return
    if state.correcting == "replace" and state.correcting_since == state.sentence:
        opened = [s for s in state.open if s.sentence == state.sentence and not s.asked]
        old = [d for d in state.last if not d.gone and d.sentence >= state.sentence - 1]
        if (
            len(opened) == 1 and old and state.last_claim is not None and state.sentence_drafts
        ) and (old[-1].term.category == opened[0].term.category):
            opened[0].side = opened[0].side or _kept_side(old[-1])
            made = assign(line, state.last_claim, opened, rule="corrected item")
            for draft in made or ():
                draft.corrects = old[-1]
            state.open = []
            state.correcting = ""
    if state.correcting and state.sentence - state.correcting_since >= 1:
        state.correcting = ""
        state.withdrawing = []
