"""Left and right: carried until changed, named before or after, late, or of both sides."""

from __future__ import annotations

from copy import copy
from itertools import pairwise
from typing import TYPE_CHECKING

from dictate2exam.findings import contrasts, side_too
from dictate2exam.findings.line import list_end
from dictate2exam.findings.marking import has_stops
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.naming import flush_naming
from dictate2exam.findings.side_changes import (
    corrects_side,
    give_to_run,
    late,
    note_good,
    note_spoken,
    run_told_of,
    set_late,
    told_of_run,
)
from dictate2exam.findings.side_pairs import carry, completes, completes_pair, letters_around
from dictate2exam.findings.side_words import OPPOSITE, PAIRED, POINTING, meaning
from dictate2exam.findings.state import Doubtful, Draft, Subject
from dictate2exam.units import Side

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

ARTICLES = frozenset({"the", "his", "her", "your"})
JOINERS = frozenset({"and", "or", ","})
HANDS = frozenset({"hand", "arm"})
LIMBS = frozenset({"hand", "arm", "side", "shoulder", "limb", "elbow"})
CARRIED = ARTICLES | {"it", "up", "arm", "elbow", "forearm", "wrist"}


def local(line: Line, at: int) -> Side | None:
    """The side said just before a term, for that term and its list alone ("both biceps")."""
    if 0 <= line.prefix_last < at:
        line.prefix_side, line.prefix_last = "", -1
    return line.prefix_side or None  # type: ignore[return-value]


def read(line: Line, at: int) -> int:
    """Reads a word of side; returns the next place."""
    mark, state = line.marks[at], line.state
    side = meaning(line, at)
    if side in OPPOSITE and line.speaker == "patient" and _answers_which(line):
        note_spoken(state, side, mark)
        state.side = side
        return at + 1
    if not side or line.speaker == "patient":
        return at + 1
    if _carries(line, at) or contrasts.deny(line, at, side):
        return at + 1
    turned = mark.has("side.other") or mark.has("side.good")
    if turned and not _turns_over(line, at):
        return at + 1
    if mark.text == "other hand" and _contrasts(line, at) and not _named_behind(line, at):
        _ask_side(line, mark, f'"{mark.text}": the other arm, or only a way of saying "but"?')
        return at + 1
    if (
        line.asked
        and any(m.has("list.same") or m.has("list.same_side") for m in line.marks[:at])
        and not _of_skin(line, at)
    ):
        return at + 1
    if side == "both" and mark.scope in {"instruction", "plan", "counting"}:
        closes_with_both(line, at)
        return at + 1
    if side == "both" and state.side in OPPOSITE and _asks_for_both(line):
        return at + 1
    if (
        mark.scope == "question"
        and line.speaker != "examiner"
        and mark.reach in {"offered", "starting"}
    ) and any(m.has("comparison") or m.has("list.same") for m in line.marks[:at]):
        return at + 1
    if state.correcting == "replace" and corrects_side(line, at, side):
        return at + 1
    if late(line, at):
        set_late(line, side, mark)
        return at + 1
    if side in OPPOSITE and told_of_run(line, at):
        give_to_run(line, side, mark)
        return at + 1
    if side == "both" and state.sentence_drafts and told_of_run(line, at):
        line.group = run_told_of(state)
        apply_back(line, at, "both")
        return at + 1
    if not turned:
        note_spoken(state, side, mark)
        if mark.has("side.left") or mark.has("side.right"):
            note_good(line, at, side)
    looks = line.vocabulary.phrases.cues["turn.look"]
    if any(word in looks for m in line.marks[:at] for word in m.text.split()) and not any(
        m.terms or m.valued for m in line.marks
    ):
        state.looked_at = (side, state.sentence)
    return _attach(line, at, side)


def _asks_for_both(line: Line) -> bool:
    """Whether "both arms" alone may begin an instruction whose stop is only likely: "both arms |
    up in front of you"."""
    alone = not any(m.terms or m.valued for m in line.marks)
    return alone and not has_stops(line.marks[0].written)


def closes_with_both(line: Line, at: int) -> bool:
    """Gives both sides to signs behind which it is only told how they were looked for: "no winging
    when you push the wall, either side"."""
    before = [m for m in line.marks[max(0, at - 2) : at] if m.text not in {"on", "for"}]
    closing = line.marks[at].has("side.both") and at + 1 == len(line.marks)
    if not closing or not before or not before[-1].has("pause"):
        return False
    signs = [d for d in line.group if not (d.gone or d.side_local)]
    if not signs or any(d.term.category not in PAIRED for d in signs):
        return False
    if "side" not in line.marks[at].text and "bilateral" not in line.marks[at].text:
        return False
    apply_back(line, at, "both")
    return True


def _answers_which(line: Line) -> bool:
    """Whether the patient only tells, before any side was spoken of, which arm is the troubled
    one: "So which hand is troubling you?" "The left, doctor"."""
    state = line.state
    asked = state.read[-1] if state.read else None
    if state.side or asked is None or not asked.asked:
        return False
    words = [word for m in asked.marks for word in m.text.split()]
    which = any(one == "which" and two in LIMBS for one, two in pairwise(words))
    sides = [m for m in line.marks if m.has("side")]
    told = [m for m in line.marks if m.text != "1"]  # "the right one"
    troubled = set(line.vocabulary.phrases.cues["which_arm.troubled"])
    if "with" in words or not (set(words) & troubled or words[-2:] == ["is", "it"]):
        return False  # "which hand do you throw with?"
    return which and len(sides) == 1 and not any(m.terms or m.valued for m in told)


def _attach(line: Line, at: int, side: str) -> int:
    """Gives the side to what waits, to what was just said, to the value ahead, or to all after."""
    mark, state = line.marks[at], line.state
    ahead_at = _ahead(line, at)
    ahead = line.marks[ahead_at] if ahead_at < len(line.marks) else None
    opened = [s for s in state.open if s.sentence == state.sentence]
    if not opened and side_too.reads(line, at, side):
        return at + 1
    if (
        line.group
        and not opened
        and any(m.has("comparison") for m in line.marks[max(0, at - 2) : at])
    ):
        line.value_side = side
        return at + 1
    named = ahead is not None and bool(ahead.terms)
    if opened and not (named and (_adjective(line, at) or _goes_on(line, at))):
        if _denied_there(line, at, opened, side):
            flush_naming(line)
            return at + 1
        for subject in opened:
            if subject.side is None or subject.side in OPPOSITE:
                subject.side = side  # type: ignore[assignment]
        carry(line, at, side, {subject.term.term_id for subject in opened})
        return at + 1
    valued = ahead is not None and (ahead.valued or ahead.has("list.same")) and not ahead.terms
    if line.group and not opened:
        if _belongs_back(line, at, ahead):
            apply_back(line, at, side)
            return at + 1
        if valued:
            line.value_side = side
            return at + 1
    fresh = state.last_subjects and not (line.group or state.open)
    # Not "back to the right and here's my cotton wool ten's", where nobody has written the stop.
    between = line.marks[at + 1 : ahead_at]
    near = has_stops(mark.written) or not any(m.has("list.join") for m in between)
    if valued and near and fresh and not any(m.terms for m in line.marks):
        line.value_side = side
        if (mark.has("side.left") or mark.has("side.right")) and not completes(state, side):
            carry(line, at, side)
        return at + 1
    state.maybe_side = ""
    if side == "both":
        if valued and state.open and not any(m.terms for m in line.marks):
            for subject in state.open:
                subject.side = subject.side or side  # type: ignore[assignment]
        _prefix_both(line, at, ahead)
        return at + 1
    if mark.has("side.other") and ahead is not None and ahead.valued:
        line.value_side = side
        return at + 1
    _doubt_change(line, at, ahead)
    if ahead is not None and ahead.number and not ahead.terms and state.open:
        for subject in state.open:
            subject.side = side  # type: ignore[assignment]
    line.prefix_side, line.prefix_last = "", -1
    if ahead is not None and ahead.terms and _adjective(line, at):
        terms = {term.term_id for term in ahead.terms}
        if state.correcting == "again" and state.correcting_since == state.sentence:
            # "Repeat left C7" looks again at one thing, and goes on with what was examined.
            line.prefix_side, line.prefix_last = side, list_end(line, ahead_at)
            return at + 1
        if side in OPPOSITE and completes_pair(state, terms, side):
            line.prefix_side, line.prefix_last = side, list_end(line, ahead_at)
            state.side, state.paired = state.pair_side or side, state.sentence
            return at + 1
        _keep_side(line, opened, side)
        state.pair_side = state.side or side
        state.side = side
        return at + 1
    if named and _goes_on(line, at):
        _keep_side(line, opened, side)
    carry(line, at, side)
    return at + 1


def _ahead(line: Line, at: int) -> int:
    """The next place that means something; a word of value that joins on right before its name is
    that name's: "no winging on the left, and a normal radial pulse"."""
    ahead = line.next_solid(at)
    if ahead + 1 >= len(line.marks) or not line.marks[ahead].values:
        return ahead
    joined = any(m.has("list.join") for m in line.marks[at + 1 : ahead])
    named = line.marks[ahead + 1].terms[:1]
    its_own = joined and bool(named) and named[0].category in PAIRED
    return ahead + 1 if its_own and not line.marks[ahead].number else ahead


def _denied_there(line: Line, at: int, opened: list[Subject], side: str) -> bool:
    """Whether a sign that is there on one side is denied of the next by its name: "ptosis on the
    left, and on the right no ptosis"."""
    named = all(s.naming and s.side == OPPOSITE.get(side) for s in opened)
    after = line.marks[at + 1 : at + 3]
    if not (named and len(after) == 2 and after[0].has("negation.before") and after[1].terms):
        return False
    line.prefix_side, line.prefix_last = side, at + 2
    return after[1].terms[0] in {s.term for s in opened}


def _goes_on(line: Line, at: int) -> bool:
    """Whether a list goes on with a name of another side: "... and the left triceps"."""
    nxt = line.marks[at + 1] if at + 1 < len(line.marks) else None
    lead = [word for m in line.marks[max(0, at - 2) : at] for word in m.text.split()]
    return (
        nxt is not None
        and bool(nxt.terms)
        and line.marks[at].text in {"left", "right"}
        and len(lead) > 1
        and lead[-1] in ARTICLES
        and lead[-2] in JOINERS
    )


def _keep_side(line: Line, opened: list[Subject], side: str) -> None:
    """What waits keeps its side where the other is named before the next name of its list: "the
    right biceps and the left triceps were five"."""
    before = line.state.side
    if before not in OPPOSITE or before == side:
        return
    for subject in opened:
        subject.side = subject.side or OPPOSITE[OPPOSITE[before]]


def _prefix_both(line: Line, at: int, ahead: Mark | None) -> None:
    """ "Both sides" before its terms; alone in its sentence it heads what follows."""
    mark, state = line.marks[at], line.state
    line.prefix_side = "both"
    if mark.has("side.both_of_one"):
        line.prefix_last = list_end(line, line.next_solid(at)) if ahead is not None else at
        return
    alone = all(m.light or m.has("pause") for m in line.marks if m is not mark)
    if ahead is None and alone and line.marks[0].text in {"thats", "that is", "that was", "on"}:
        line.group = [d for d in state.last if not (d.gone or d.side_local)]
        if line.group and state.sentence - line.group[-1].sentence <= 1:
            apply_back(line, at, "both")
        return
    if ahead is None and alone and _closes_run(line):
        line.group = [d for d in state.last if not d.gone]
        apply_back(line, at, "both")
        return
    heads = mark.has("side.both_heading")
    if heads and (
        (ahead is None and alone and not line.group and not state.open)
        or (not line.group and at == 0 and len(line.marks) > 1 and line.marks[1].has("pause"))
    ):
        state.side = "both"


def _closes_run(line: Line) -> bool:
    """Whether both sides alone are said of what was just found, and head nothing: "Reflexes.
    Biceps, triceps. Two plus. Left and right"."""
    state = line.state
    last = [d for d in state.last if not d.gone]
    if line.group or state.open or not has_stops(line.marks[0].written) or not last:
        return False
    fresh = all(state.sentence - d.sentence <= 1 and not d.side_local for d in last)
    return fresh and all(d.term.category in PAIRED for d in last)


def side_after_value(line: Line, at: int) -> str:
    """The side that follows a value given to what was said last: "five on the right", or empty;
    the word of side is used up by it."""
    letters = letters_around(line, at)
    second = letters.startswith("vsv") and letters.endswith("s")
    alone = letters == "vs" and not any(m.terms for m in line.marks)
    if not (second and line.group) and not alone:
        return ""
    place = next((p for p in range(at + 1, len(line.marks)) if line.marks[p].has("side")), -1)
    bare = line.marks[place].text in OPPOSITE and not _pointed(line, place)
    if alone and bare and not _in_turn(line, place):
        return ""
    if place < 0 or any(
        not (m.light or m.has("pause") or m.valued or m.has("negation"))
        for m in line.marks[at + 1 : place]
    ):
        return ""
    side = meaning(line, place)
    if side:
        if not completes(line.state, side):
            carry(line, place, side)
        note_spoken(line.state, side, line.marks[place])
        line.marks[place].roles = frozenset({"list.light"})
    return side


def _in_turn(line: Line, at: int) -> bool:
    """Whether a bare side closes a sentence that gives it its value after the other's: "FPL. Four
    right. Five left."."""
    typed = has_stops(line.marks[at].written)
    near = line.state.last and line.state.sentence - line.state.last[-1].sentence <= 1
    return (
        typed
        and bool(near)
        and at + 1 == len(line.marks)
        and completes(line.state, line.marks[at].text)
    )


def _pointed(line: Line, at: int) -> bool:
    return at > 0 and line.marks[at - 1].text.rpartition(" ")[2] in POINTING


def _adjective(line: Line, at: int) -> bool:
    """Whether the side stands directly before its noun: "left biceps"."""
    before = line.marks[at - 1].text if at else ""
    nxt = line.marks[at + 1] if at + 1 < len(line.marks) else None
    return (
        before.rpartition(" ")[2] not in POINTING
        and nxt is not None
        and bool(nxt.terms)
        and (line.marks[at].text in {"left", "right"})
    )


def _of_skin(line: Line, at: int) -> bool:
    """Whether the side is of a place to be felt: "is it the same on your right thumb?"."""
    after = line.marks[at + 1 : at + 2]
    named = bool(after) and bool(after[0].terms) and line.marks[at].text in OPPOSITE
    opened = any(s.sentence == line.state.sentence for s in line.state.open)
    return named and not opened and after[0].terms[0].category in {"place", "area"}


def _belongs_back(line: Line, at: int, ahead: Mark | None) -> bool:
    """Whether a side after a value belongs to that value."""
    if all(d.side_local for d in line.group):
        return False
    said = [word for m in line.marks[max(0, at - 4) : at] for word in m.text.split()]
    while said and said[-1] in POINTING:
        said.pop()
    if ahead is None:
        # "Five over there too, and I'm back on the left".
        return not (said and said[-1] == "back" and not line.marks[at - 2].has("pause"))
    if _adjective(line, at):
        return False
    before = line.marks[at - 1] if at else None
    after = line.marks[at + 1]
    if line.marks[at].has("side.both") and (after.has("pause") or after.text == "and"):
        return True  # "no bruising, either side, and no swelling"
    pause = before is not None and (before.has("pause") or before.text in {"but", "and"})
    pointed = before is not None and before.text.rpartition(" ")[2] in POINTING
    if pointed and at >= 3:
        pause = any(m.has("pause") or m.text in {"but", "and"} for m in line.marks[at - 3 : at])
    if ahead.terms and not pointed and _names_a_limb(line, at):
        return False
    if ahead.terms or not ahead.valued:
        return not pause
    letters = letters_around(line, at)
    letters = letters if letters.startswith("v") else f"v{letters}"
    if letters.endswith("s"):
        return True
    closed = at + 1 < len(line.marks) and (
        line.marks[at + 1].has("pause") or line.marks[at + 1].text in {"but", "and"}
    )
    return closed and not pause


def _names_a_limb(line: Line, at: int) -> bool:
    """Whether the words turn to a limb: "biceps two left shoulder deltoid five"."""
    mark, after = line.marks[at], line.marks[at + 1]
    one = mark.has("side.left") or mark.has("side.right")
    return one and len(mark.text.split()) > 1 and not after.has("pause")


def apply_back(line: Line, at: int, side: str) -> None:
    """Gives the side to what was just said, and carries it on."""
    state, mark = line.state, line.marks[at]
    twins: list[Draft] = []
    for draft in [d for d in line.group if not d.side_local and not d.gone]:
        draft.side_local = draft.side_spoken = True
        draft.marks = [*draft.marks, mark]
        if side == "both":
            draft.side = "left"
            twin = copy(draft)
            twin.side, twin.detail = "right", dict(draft.detail)
            twins.append(twin)
        else:
            draft.side = side  # type: ignore[assignment]
    state.drafts.extend(twins)
    state.sentence_drafts.extend(twins)
    state.last = [*state.last, *twins]
    line.group = [*line.group, *twins]
    carry(line, at, side, {draft.term.term_id for draft in line.group})


def _doubt_change(line: Line, at: int, ahead: Mark | None) -> None:
    """Asks about a bare "right biceps" at the start while the left is examined."""
    state, mark = line.state, line.marks[at]
    bare = mark.text == "right" and at == 0 and ahead is not None and bool(ahead.terms)
    if not bare or state.side != "left":
        return
    typed = mark.written.utterance.words[mark.written.tokens[mark.start].first_word].text
    if typed[:1].isupper() and any(
        c in ",.;" for w in mark.written.utterance.words for c in w.text
    ):
        return
    said = mark.written.utterance.text
    _ask_side(line, mark, f'"{said}": is that the right side, or was "right" only a word?')


def _carries(line: Line, at: int) -> bool:
    """Whether a hand only carries the other arm: "nursed in the other hand", "held with his left
    hand"."""
    mark, cues = line.marks[at], line.vocabulary.phrases.cues
    if mark.text.split()[-1] not in HANDS:
        return False
    before = [word for m in line.marks[max(0, at - 5) : at] for word in m.text.split()]
    while before and before[-1] in ARTICLES:
        before.pop()
    if not before or before.pop() not in {"in", "with", "by"}:
        return False
    while before and before[-1] in CARRIED:
        before.pop()
    return bool(before) and before[-1] in cues["carried.verb"]


def _named_behind(line: Line, at: int) -> bool:
    """Whether the other hand is called by its side at once: "other hand, the left"."""
    after = [m for m in line.marks[at + 1 : at + 4] if m.text not in ARTICLES | {","}]
    return bool(after) and (after[0].has("side.left") or after[0].has("side.right"))


def _contrasts(line: Line, at: int) -> bool:
    """Whether "on the other hand" may be a turn of phrase: before its value, or set off."""
    before, after = line.marks[:at], line.marks[at + 1 :]
    if any(m.terms for m in before):
        return not any(m.valued for m in before)
    return any(m.terms for m in after) and after[0].text == ","


def _ask_side(line: Line, mark: Mark, question: str) -> None:
    """Leaves the side as it is and asks about what the sentence finds."""
    line.side_doubt = Doubtful(
        "side", True, question, "", "none", ("right", "left"), [], (mark,), rule="side_word"
    )


def finish(line: Line) -> None:
    """Attaches an open doubt of side to the sentence's drafts."""
    doubt = line.side_doubt
    if doubt is not None and line.state.sentence_drafts:
        doubt.drafts = list(line.state.sentence_drafts)
        doubt.item = doubt.drafts[0].item
        line.state.doubts.append(doubt)
        line.state.turned = doubt  # what follows stands on the same word


def _turns_over(line: Line, at: int) -> bool:
    """Whether "the other side" is what is spoken of: values follow, or nothing else is said."""
    mark, before, after = line.marks[at], line.marks[:at], line.marks[at + 1 :]
    if _compares_with(line, at):
        return False
    ahead = line.next_solid(at)
    if ahead < len(line.marks) and line.marks[ahead].valued and line.between_light(at, ahead):
        return True
    same = after[0] if after else None
    if same is not None and same.has("list.same_as") and ahead < len(line.marks):
        return line.marks[ahead].number is not None and line.between_light(at + 1, ahead)
    opens = not any(m.terms or m.valued for m in before)
    if opens and any(m.terms for m in after) and any(m.valued for m in after):
        return True
    if mark.has("side.good"):
        return False
    if opens and after and after[0].has("pause"):
        return True
    return all(m.light or m.has("pause") or m.scope or m is mark for m in line.marks)


def _compares_with(line: Line, at: int) -> bool:
    """Whether the patient is bidden to compare with that arm: "compare it with the other arm"."""
    cues = line.vocabulary.phrases.cues
    words = [word for m in line.marks[:at] for word in m.text.split()]
    while words and words[-1] in POINTING - {"to"}:
        words.pop()
    if not words or words.pop() not in cues["turn.before"]:
        return False
    return any(word in cues["turn.look"] for word in words)
