"""Words that put right, take back or look again, and what they turn to."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line
    from dictate2exam.findings.state import Draft


# Sentences between a grade and a better one after urging.
URGED = 4
FOR = frozenset({"for", "for the"})
SIGNS = {"plus": "+", "minus": "-", "the plus": "+", "the minus": "-"}
BETTER = frozenset({"better", "much better"})

# "Four. No, you're leaning. Again. Three.": sentences from a grade to "again".
LEANT = 2


def read(line: Line, at: int) -> bool:
    """Reads a word of correction or withdrawal; False where the mark is none."""
    mark, state, words = line.marks[at], line.state, line.vocabulary.phrases.mood
    if mark.has("correction.withdraw") and _names_another(line, at):
        line.withdraw_named = True
        return True
    if mark.has("correction.leave") and _leaves_at(line, at):
        return True
    if mark.text.split()[-1] in words["takes_back"] and _takes_grade_back(line, at):
        return True
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
    drops = mark.has("correction.withdraw_named") or mark.text.split()[-1] in words["drops_sign"]
    if drops and _drops_sign(line, at):
        return True
    if mark.has("correction.withdraw_named") and _takes_side_back(line, at):
        return True
    if mark.has("correction.withdraw_named") and _names_a_term(line, at):
        line.withdraw_named = True
        return True
    if mark.has("correction.withdraw_named") and _names_a_grade(line, at):
        return True
    if mark.has("correction.told") and line.group and not state.open:
        _put_right(line)
        return True
    if mark.has("correction.again") and _turns_back(line, at):
        return True
    if mark.has("correction.again"):
        state.correcting, state.correcting_since = "again", state.sentence
        return not (mark.valued or mark.terms)
    if mark.has("correction.again_after") and (_names_again(line, at) or _opens_again(line, at)):
        state.correcting, state.correcting_since = "again", state.sentence
        return True
    if mark.has("correction.settle") and line.group and _settles(line, at):
        state.correcting, state.correcting_since, state.stray = "replace", state.sentence, 0
        return True
    if mark.has("correction.change") and _graded_last(line) and _changes_it(line, at):
        state.correcting, state.correcting_since = "replace", state.sentence
        return True
    if mark.has("correction.replace") and mark.text.endswith(" that") and _changes_that(line, at):
        state.correcting, state.correcting_since = "replace", state.sentence
        return True
    if mark.has("correction.change") and _changes(line, at):
        state.correcting, state.correcting_since = "again", state.sentence
        return True
    if mark.has("correction.replace") and at == 0 and _heads(line):
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
    if mark.text == "no" and _leads_side(line, at):
        state.correcting, state.correcting_since = "replace", state.sentence
        return True
    if mark.text in BETTER and _is_better(line, at):
        state.correcting, state.correcting_since = "replace", state.sentence
        return True
    if mark.text == "not" and _not_but(line, at):
        return True
    if mark.has("correction.instead") and line.group and not state.open:
        return _instead(line, at)
    return False


def _takes_grade_back(line: Line, at: int) -> bool:
    """ "I'll take that four back": the grade that was given last."""
    state = line.state
    graded = line.next_solid(at)
    taken, back = [*line.marks[graded : graded + 2], None, None][:2]
    last = [d for d in state.last if not d.gone]
    if taken is None or back is None or taken.number is None or back.text != "back":
        return False
    said = taken.number.text
    if not line.between_light(at, graded, False) or not last or any(d.value != said for d in last):
        return False
    for mark in (taken, back):
        mark.leave()
        mark.number = None
    for draft in last:
        draft.withdrawn = True
    state.withdrawing, state.stray = last, 0
    state.correcting, state.correcting_since = "replace", state.sentence
    return True


def _drops_sign(line: Line, at: int) -> bool:
    """ "Two plus. Cancel the plus": the grade stands without its sign."""
    state = line.state
    said = [m for m in line.marks[at + 1 : at + 3] if m.text in SIGNS]
    last = [d for d in state.last if not d.gone and state.sentence - d.sentence <= LEANT]
    if not said or not last or any(d.value[-1:] != SIGNS[said[0].text] for d in last):
        return False
    made = []
    for draft in last:
        twin = copy(draft)
        twin.value, twin.corrects, twin.sentence = draft.value[:-1], draft, state.sentence
        twin.marks, twin.detail = [*draft.marks, said[0]], dict(draft.detail)
        twin.rule = "corrected value"
        made.append(twin)
    state.drafts.extend(made)
    state.sentence_drafts.extend(made)
    state.last = line.group = made
    said[0].leave()
    return True


def _heads(line: Line) -> bool:
    """Whether a word of correction has only what is to be put right behind it: "correction,
    wasting." before "delete the triceps"."""
    rest = [m for m in line.marks[1:] if not (m.has("pause") or (m.light and not m.valued))]
    named = line.vocabulary.phrases.mood["kind_named"]
    alone = len(rest) == 1 and bool(rest[0].predicates)
    last = {d.item.partition(".")[0] for d in line.state.last if not d.gone}
    turned = any(m.has("list.prepose") for m in line.marks[1:])
    if (
        not alone
        or (rest[0].predicates[0].kind in last and not turned)
        or rest[0].terms
        or rest[0].number
        or rest[0].text not in named
    ):
        return False
    rest[0].predicates, rest[0].values, rest[0].roles = (), (), frozenset({"list.light"})
    return True


def _turns_back(line: Line, at: int) -> bool:
    """Whether only a side is gone back to, and nothing is looked at again: "back to the right"."""
    following = line.next_solid(at)
    sided = following < len(line.marks) and line.marks[following].has("side")
    named = any(m.terms or m.valued for m in line.marks[at + 1 :])
    back = line.marks[at].text.split()[0] == "back"
    return back and sided and not named and line.between_light(at, following, pauses=False)


def active(line: Line) -> bool:
    """Whether a word of correction was said in this sentence or the one before."""
    state = line.state
    return bool(state.correcting) and state.sentence - state.correcting_since <= 1


def _takes_side_back(line: Line, at: int) -> bool:
    """ "And so was the left biceps, no, scratch the left": what was just found on that side."""
    state, place = line.state, line.next_solid(at)
    marks = line.marks
    if place >= len(marks) or not line.between_light(at, place):
        return False
    side = next((one for one in ("left", "right") if marks[place].has(f"side.{one}")), "")
    closed = place + 1 == len(marks) or marks[place + 1].has("pause")
    last = [d for d in (line.group or state.last) if not d.gone]
    found = [d for d in last if d.side == side and d.side_spoken]
    if not side or not closed or not found or state.sentence - found[-1].sentence > 1:
        return False
    for draft in found:
        draft.withdrawn = True
    marks[place].roles, state.correcting = frozenset({"list.light"}), ""
    return True


def _names_a_term(line: Line, at: int) -> bool:
    following = line.next_solid(at)
    return (
        following < len(line.marks)
        and bool(line.marks[following].terms)
        and (line.between_light(at, following))
    )


def _names_another(line: Line, at: int) -> bool:
    """ "Strike that on the FDS", "strike that nought for FDS": what is taken back is named, and is
    not what was said last."""
    graded_at = at
    following = line.next_solid(at)
    if following < len(line.marks) and line.marks[following].number:
        graded_at, following = following, line.next_solid(following)
    if following >= len(line.marks) or not line.between_light(graded_at, following, False):
        return False
    if not line.between_light(at, graded_at, False):
        return False
    gap = line.marks[graded_at + 1 : following]
    if not any(m.has("list.prepose") or m.text in FOR for m in gap):
        return False
    terms, last = line.marks[following].terms, [d for d in line.state.last if not d.gone]
    closes = following + 1 == len(line.marks) or line.marks[following + 1].has("pause")
    graded = [d for d in line.state.drafts if d.term in terms and not d.gone]
    if not (closes and graded):
        return False
    if graded_at > at:
        taken = line.marks[graded_at]
        taken.number, taken.values, taken.roles = None, (), frozenset({"list.light"})
    # Among reflexes "triceps" is a jerk, unless it is the muscle that was graded.
    line.state.context.kind = graded[-1].item.partition(".")[0]
    if any(d.term in terms for d in last):
        line.marks[following].leave()
        return False
    return True


def _leaves_at(line: Line, at: int) -> bool:
    """ "Flexion goes to four plus. Leave it at three plus": the grade said first is kept."""
    following = line.next_solid(at)
    kept = line.marks[following] if following < len(line.marks) else None
    last = [d for d in line.state.last if not d.gone]
    last = [d for d in last if d.item.startswith(("power.", "sensation."))]
    if kept is None or kept.number is None or not line.between_light(at, following, False):
        return False
    own = {d.term for d in last}
    since = [n for n, m in enumerate(line.marks[:at]) if m.terms and m.terms[0] in own]
    behind = line.marks[since[-1] : at] if since else line.marks[:at]
    other = any(m.terms and m.terms[0] not in own for m in behind)
    if not last or other or line.state.open:
        return False
    said = kept.number.text
    for draft in last:
        known = [d for d in line.state.of_item(draft.item) if d.side == draft.side and not d.gone]
        if draft.value != said and any(d.value == said for d in known[:-1]):
            draft.withdrawn, draft.corrects = True, None
        elif draft.value != said:
            line.state.correcting, line.state.correcting_since = "replace", line.state.sentence
            line.state.stray = 0
            return True
    for mark in line.marks[at:]:
        if mark.number:
            mark.number, mark.values, mark.roles = None, (), frozenset({"list.light"})
    return True


def _put_right(line: Line) -> None:
    """ "Right five, okay, corrected": what was just found stands for what was said before it."""
    for draft in [d for d in line.group if not d.gone and d.corrects is None]:
        known = line.state.of_item(draft.item)
        old = [d for d in known if d.side == draft.side and d is not draft and not d.gone]
        if old and old[-1].value != draft.value:
            draft.corrects = old[-1]


def _names_a_grade(line: Line, at: int) -> bool:
    """ "Triceps is three plus, scrub the four": the grade taken back is one that was given to what
    is named here, before or after it."""
    following = line.next_solid(at)
    taken = line.marks[following] if following < len(line.marks) else None
    if taken is None or taken.number is None or not line.between_light(at, following, False):
        return False
    said = taken.number.text
    state = line.state
    named = line.marks[line.next_solid(following) :][:1]
    if named and named[0].terms and line.marks[following + 1].text in FOR:
        items = {f"power.{term.term_id}" for term in named[0].terms}
        given = [d for d in state.drafts if d.item in items and d.value == said and not d.gone]
        for draft in given[-1:]:
            state.context.kind, draft.withdrawn = "power", True
    alone = not any(m.terms for m in line.marks)
    here = line.group or [d for d in state.last if alone and state.sentence - d.sentence <= 1]
    for draft in [d for d in here if not d.gone]:
        if draft.value == said and _keeps_second(line, draft):
            continue
        if alone and draft.value == said:
            draft.withdrawn = True
            continue
        old = [
            d
            for d in state.of_item(draft.item)
            if d.value == said and d.side == draft.side and d is not draft and not d.gone
        ]
        if old and draft.corrects is None and draft.value != said:
            draft.corrects = old[-1]
    taken.number, taken.values, taken.roles = None, (), frozenset({"list.light"})
    if not here:
        state.correcting, state.correcting_since = "again", state.sentence
    return True


def _keeps_second(line: Line, draft: Draft) -> bool:
    """ "Four plus, okay, that's a five, cross out the four plus": of two grades one is left."""
    state = line.state
    asked = [d for d in state.doubts[-2:] if d.rule == "second_value" and draft in d.drafts]
    if not asked:
        return False
    twin = copy(draft)
    twin.value, twin.corrects, twin.sentence = asked[-1].suggestions[-1], draft, state.sentence
    twin.marks, twin.detail = [*draft.marks, *asked[-1].marks[-1:]], dict(draft.detail)
    twin.rule = "corrected value"
    state.doubts.remove(asked[-1])
    state.drafts.append(twin)
    state.sentence_drafts.append(twin)
    state.last = line.group = [twin]
    return True


def _names_again(line: Line, at: int) -> bool:
    """Whether "again" closes a name that is looked at a second time: "FCR again"."""
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    if after is not None and not (after.has("pause") or after.text in {"is", "was"}):
        return False
    back = at - 1
    while back > 0 and (line.marks[back].has("pause") or line.marks[back].has("side")):
        back -= 1
    return back >= 0 and bool(line.marks[back].terms) and bool(line.state.open)


def _opens_again(line: Line, at: int) -> bool:
    """Whether "again" opens a sentence that names nothing, after a grade: "again, with the arm
    held"."""
    state, after = line.state, line.marks[at + 1 : at + 2]
    opens = all(m.light or m.has("pause") for m in line.marks[:at])
    closed = not after or after[0].has("pause") or after[0].text.split()[0] == "with"
    last = [d for d in state.last if not d.gone]
    graded = bool(last) and all(d.item.startswith("power.") for d in last)
    fresh = graded and state.sentence - last[-1].sentence <= LEANT and not state.open
    named = any(m.terms or m.has("side") or m.scope in {"question"} for m in line.marks)
    return opens and closed and fresh and not named and line.speaker != "patient"


def _settles(line: Line, at: int) -> bool:
    """ "I gave it two, call that two plus": the grade behind is the one that stands."""
    after = line.marks[at + 1 : at + 3]
    if after and after[0].text == "as":
        return False  # "each of which I have recorded as zero"
    graded = next((m for m in after if not m.light or m.number), None)
    said = any(draft.value[:1].isdigit() for draft in line.group)
    return said and graded is not None and graded.number is not None and not line.state.open


def _changes_it(line: Line, at: int) -> bool:
    """Whether what was just said is given another value: "I'll upgrade it to four"."""
    rest = line.marks[at + 1 : at + 5]
    to = next((place for place, m in enumerate(rest) if m.text in {"to", "to a"}), -1)
    behind = [m for m in rest[to + 1 :] if not m.light or m.number]
    if to < 0 or not behind or not behind[0].number:
        return False
    rest[to].roles = frozenset({"list.light"})
    said = {word for m in rest[:to] for word in m.text.split()}
    return said <= {"it", "that", "this", "him", "her", "1"}


def _graded_last(line: Line) -> bool:
    """Whether a grade was given in this sentence, or in the last where this one names nothing:
    "then I changed that to a two"."""
    if line.group:
        return True
    last = [d for d in line.state.last if not d.gone]
    fresh = bool(last) and line.state.sentence - last[-1].sentence <= 1
    graded = fresh and all(d.value[:1].isdigit() for d in last)
    return graded and not any(m.terms for m in line.marks)


def _changes(line: Line, at: int) -> bool:
    """ "Change the deltoid from three to four minus": the first value is passed over; so is the
    word of "change normal to reduced"."""
    said = line.marks[at + 1 : at + 4]
    if len(said) == 3 and said[0].values and said[1].text == "to" and said[2].values:
        for mark in said[:2]:
            mark.leave()
        return True
    for place in range(at + 1, len(line.marks) - 3):
        word, old, to, new = line.marks[place : place + 4]
        if word.text == "from" and to.text == "to" and old.number and new.number:
            old.number, old.values, old.roles = None, (), frozenset({"list.light"})
            to.roles = frozenset({"list.light"})
            return True
    return _changes_that(line, at)


def _changes_that(line: Line, at: int) -> bool:
    """ "Change that three to a two plus": the grade that was given is called by its number."""
    rest = [m for m in line.marks[at + 1 :] if m.number or m.text not in FORMER]
    if len(rest) < 3 or not rest[0].number or rest[1].text != "to" or not rest[2].number:
        return False
    rest[0].number, rest[0].values, rest[0].roles = None, (), frozenset({"list.light"})
    rest[1].roles = frozenset({"list.light"})
    return True


FORMER = frozenset({"that", "the", "my", "his", "her", "it", "a"})


def _leads_correction(line: Line, at: int) -> bool:
    """Whether a no and a pause only lead to a word of correction: "no, I mean the left"."""
    rest = [m for m in line.marks[at + 1 : at + 4] if not m.has("pause")]
    return (
        (line.group != [] or line.state.sentence_drafts == [])
        and bool(rest)
        and (rest[0].has("correction.replace") and line.marks[at + 1].has("pause"))
    )


POINTS = frozenset({"thats", "that", "its", "it", "this", "was", "is", "on", "the", "be", "should"})


def _leads_side(line: Line, at: int) -> bool:
    """Whether a no says of what was just found that it is of another side: "no, that's the left
    biceps"."""
    last = {draft.term for draft in line.state.last if not draft.gone}
    rest = [m for m in line.marks[at + 1 :] if not m.has("pause")]
    place = next((n for n, m in enumerate(rest) if m.has("side.left") or m.has("side.right")), 0)
    if not last or not place or line.state.open:
        return False
    pointed = all(set(m.text.split()) <= POINTS for m in rest[:place])
    pointed = pointed and rest[0].text not in {"on", "on the", "the"}
    return pointed and all(
        (m.light and not m.terms) or (m.terms[:1] and m.terms[0] in last) for m in rest[place + 1 :]
    )


def _is_better(line: Line, at: int) -> bool:
    """Whether a higher grade follows of what was graded before the patient was urged: "four. Give
    me everything. That's better, it's a five"."""
    state = line.state
    last = [d for d in state.last if not d.gone]
    if not last or state.open or any(m.terms or m.scope for m in line.marks):
        return False
    near = state.sentence - last[-1].sentence <= URGED
    lead = all(m.light or m.has("pause") for m in line.marks[:at])
    graded = next((m.number for m in line.marks[at + 1 :] if m.number), None)
    paused = bool(line.marks[at + 1 : at + 2]) and line.marks[at + 1].has("pause")
    alike = len({d.item for d in last}) == 1 and last[-1].item.startswith("power.")
    if graded is None or not (near and lead and paused and alike):
        return False
    return graded.value > int(last[-1].value[0])


def _instead(line: Line, at: int) -> bool:
    """ "four not three": what follows the not was said in error and is passed over."""
    nxt = line.marks[at + 1] if at + 1 < len(line.marks) else None
    if nxt is not None and nxt.has("list.light") and at + 2 < len(line.marks):
        nxt = line.marks[at + 2]
    if nxt is None or not (nxt.number or nxt.has("side")):
        return False
    nxt.number, nxt.values, nxt.roles = None, (), frozenset({"list.light"})
    return True


def _not_but(line: Line, at: int) -> bool:
    """ "Not four but three": the first number is passed over."""
    said = [m for m in line.marks[at + 1 : at + 5] if not m.has("pause")]
    if len(said) < 3 or not (said[0].number and said[1].text == "but" and said[2].number):
        return False
    said[0].number, said[0].values, said[0].roles = None, (), frozenset({"list.light"})
    return True
