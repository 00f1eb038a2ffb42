"""A value for everything: of the list that follows it, or of no items that were named (asked)."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import list_end
from dictate2exam.findings.marks import behind_again, graded_alone, next_sentence
from dictate2exam.findings.reach import FIRM
from dictate2exam.findings.state import Doubtful

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line
    from dictate2exam.findings.marks import Mark


def heads_list(line: Line, at: int, claim: Claim) -> bool:
    """ "Everything is five: wrist extensors, wrist flexors": the value is of the list after it."""
    before = line.marks[:at]
    behind = behind_again(line.marks, at)
    colon = behind < len(line.marks) and line.marks[behind].text == ":"
    waits = any(s.sentence == line.state.sentence for s in line.state.open)
    rest = any(m.has("list.rest") for m in before) or (colon and not waits)
    these = not (rest or line.state.open) and _of_these(line, before)
    if _given_to_list(line, at):
        return True
    if not (rest or these) or _names_before(line, before):
        return False
    first = next((p for p in range(at + 1, len(line.marks)) if line.marks[p].terms), -1)
    if first < 0 and these:
        return False
    if first < 0:
        line.everything = claim
        return False
    gap = line.marks[at + 1 : first]
    tail = line.vocabulary.phrases.cues["everything.tail"]
    if not all(_leads_on(m) or m.text in tail for m in gap):
        return False
    last = list_end(line, first)
    if any(m.valued and not m.light for m in line.marks[last + 1 :]):
        return False
    if these and not (
        last > first and all(m.light or m.has("pause") for m in line.marks[last + 1 :])
    ):
        return False
    for mark in gap:
        if mark.text in tail:
            mark.leave()
    line.pre, line.pre_last = claim, last
    return True


def _leads_on(mark: Mark) -> bool:
    """Whether a word only leads from a value to its names: "fives, by that I mean"."""
    return mark.light or mark.has("pause") or mark.has("list.meaning")


def _names_before(line: Line, before: list[Mark]) -> bool:
    """Whether a name before a value may be what it is of: not so in "FCR four, the rest are five:
    FCU and FDS", whose first name has its own."""
    rest = next((n for n, m in enumerate(before) if m.has("list.rest")), 0)
    if any(m.terms for m in before[rest:]):
        return True
    return any(m.terms for m in before) and (bool(line.state.open) or not line.group)


def _given_to_list(line: Line, at: int) -> bool:
    """ "Five for the whole lot of the following: trapezius, rhomboids": a colon opens the list."""
    marks, words = line.marks, line.vocabulary.phrases.cues["following.words"]
    colon = next((n for n in range(at + 1, len(marks)) if marks[n].text == ":"), len(marks))
    lead = [word for m in marks[at + 1 : colon] for word in m.text.split()]
    first = next((n for n in range(colon, len(marks)) if marks[n].terms), -1)
    preposed = at + 1 < colon and marks[at + 1].has("list.prepose")
    given = preposed and bool(set(lead) & set(words))
    given = given and not any(m.has("pause") for m in marks[at + 1 : colon])
    # "All nought, write them singly: ECU, EDC": whatever is said before the colon.
    opens = all(m.light or m.has("pause") or m.has("list.all") for m in marks[:at])
    opens = opens and not any(s.sentence == line.state.sentence for s in line.state.open)
    if first < 0 or not (given or (opens and list_end(line, first) > first)):
        return False
    if any(m.terms or m.number or m.has("side") or m.scope in FIRM for m in marks[at + 1 : colon]):
        return False
    if any(m.terms for m in marks[:at]) or not line.between_light(colon, first):
        return False
    last = list_end(line, first)
    if any(m.valued and not m.light for m in marks[last + 1 :]):
        return False
    claim = Claim.of(marks[at])
    line.pre, line.pre_last = claim, last
    return True


def _of_these(line: Line, before: list[Mark]) -> bool:
    """Whether a value is of several that are named behind it: "on the right they're all two plus,
    biceps and triceps", "left side all three are there and normal, biceps, supinator, triceps"."""
    words = {word for m in before for word in m.text.split()}
    every = "both" in words or any(m.has("list.all") for m in before)
    counted = "both" in words or any(m.has("list.lot") for m in before)
    return every and (counted or bool(words & set(line.vocabulary.phrases.mood["these"])))


def carry_to_list(line: Line) -> None:
    """A sentence that only lists terms takes the value of "everything" in the one before, or with
    "also" the one that stood before its names there."""
    state = line.state
    claim, state.everything = state.everything, None
    claim = claim or _also(line)
    terms = [m for m in line.marks if m.terms]
    if claim is None or not terms or line.marks[-1].scope in FIRM:
        return
    joined = line.vocabulary.phrases.cues["also.words"]
    if not all(
        (m.light and not m.valued) or m.terms or m.has("pause") or m.text in joined
        for m in line.marks
    ):
        return
    line.pre, line.pre_last = claim, line.marks.index(terms[-1])
    state.doubts = [d for d in state.doubts if d.marks[-1:] != (claim.mark,) or d.drafts]


def _also(line: Line) -> Claim | None:
    """What the sentence before said ahead of its names: "Zero: biceps. Also the supinator."."""
    state = line.state
    last = [d for d in state.last if not d.gone]
    first = line.marks[0].text.removesuffix(" the")
    before = bool(last) and all(
        d.rule == "value before term" and d.sentence == state.sentence - 1 for d in last
    )
    ahead = next((m for m in next_sentence(state.ahead) if not m.light), None)
    told = ahead is not None and ahead.valued and not ahead.terms
    also = first in line.vocabulary.phrases.cues["also.words"]
    alone = line.speaker != "patient" and not line.asked and not state.open
    return state.last_claim if before and also and alone and not told else None


def add_also(line: Line) -> None:
    """ "Deltoid was wasted, and also infraspinatus.": what stands behind a value takes it."""
    state, claim, marks = line.state, line.state.last_claim, line.marks
    here = [s for s in state.open if s.sentence == state.sentence and not s.asked]
    told = any(not d.gone for d in state.sentence_drafts)
    if not (here and told and claim) or line.asked or line.speaker == "patient":
        return
    if claim.mark not in marks or here[0].mark not in marks or state.correcting:
        return
    said, first = marks.index(claim.mark), marks.index(here[0].mark)
    gap, rest = marks[said + 1 : first], marks[first:]
    also = set(line.vocabulary.phrases.cues["also.added"])
    plain = all(m.light or m.has("pause") or m.has("list.join") for m in gap)
    closes = all(m.terms or m.light or m.has("pause") or m.has("list.join") for m in rest)
    if not (also & {m.text.removesuffix(" the") for m in gap} and plain and closes):
        return
    if any(m.scope in FIRM for m in rest) or graded_alone(next_sentence(state.ahead)):
        return
    if assign(line, copy(claim), here, rule="also"):
        state.open = [s for s in state.open if s not in here]


def ask_about_rest(line: Line) -> None:
    """A value for "everything else" or "throughout" names no items: it is asked."""
    values = [m for m in line.marks if m.valued and not m.light and not m.scope]
    rest = [m for m in line.marks if m.has("list.rest") and not m.scope]
    named = any(m.terms for m in line.marks) and not rest_after_terms(line)
    if not (values and rest) or named or line.speaker == "patient":
        return
    line.state.everything = line.everything
    said = line.marks[0].written.utterance.text
    line.state.doubts.append(
        Doubtful(
            "value",
            False,
            f'"{said}" gives a value without saying of what: which items were examined?',
            marks=(rest[0], values[0]),
            rule="value_of_nothing",
        )
    )


def rest_after_terms(line: Line) -> bool:
    """Whether "the rest" closes a sentence with a value of its own: "biceps two, the rest five"."""
    for place, mark in enumerate(line.marks):
        if mark.has("list.rest") and not mark.terms and place:
            after = [m for m in line.marks[place + 1 :] if not (m.light or m.has("pause"))]
            return bool(after) and after[0].number is not None and not any(m.terms for m in after)
    return False
