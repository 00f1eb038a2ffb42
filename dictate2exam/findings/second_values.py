"""A second value without a new term: a doubt said aloud, or one of another kind."""

from __future__ import annotations

from copy import copy
from itertools import takewhile
from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim, Reading
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Doubtful, Draft, Subject, one_each

# A touch that is normal is ten, one that is absent is nought.
WAYS = ("touch", "pin")
ARTICLES = frozenset({"a", "an"})
# "In either of them", "in any of these muscles".
OF_TWO = frozenset({"either", "both", "neither"})
OF_MORE = frozenset({"any", "all", "none"})
POINTED = frozenset(
    {"of", "them", "these", "those", "that", "muscle", "the", "two", "three", "2", "3", ",", "lot"}
)
PLURALS = ("s", "i", "ae")
SAME = {"normal": "10", "absent": "0"}

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


def mark_hedged(line: Line, drafts: list[Draft], mark: Mark) -> None:
    """Keeps the first value, notes the doubt that was said aloud, and asks."""
    state = line.state
    fresh = [d for d in drafts if "hedged" not in d.detail and not d.gone]
    for draft in fresh:
        draft.detail["hedged"] = mark.text
        draft.confidence = round(draft.confidence * 0.7, 3)
    if fresh:
        names = ", ".join(d.term.label for d in one_each(fresh))
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
                rule="hedge",
            )
        )


def second_value(line: Line, at: int, claim: Claim) -> None:
    """A second number right after the first: a doubt said aloud, or a value without a term."""
    state = line.state
    group = [d for d in (line.group or state.last) if not d.gone]
    if not group or state.sentence - group[-1].sentence > 2 or claim.number is None:
        return
    said = claim.number.text
    if all(d.value == said for d in group):
        _settle(line, group)
        _ask_of_other_side(line, at, group, said)
        return
    if _in_other_way(line, at, claim, group):
        return
    if line.group:
        since = line.marks[line.group_since + 1 : at]
        linked = all(
            _doubts(m) or m.light or m.has("list.range") or m.has("pause") or m.text == "-"
            for m in since
        )
        if linked and any(_doubts(m) or m.has("list.range") or m.text == "-" for m in since):
            mark_hedged(line, group, line.marks[at])
            for doubt in state.doubts[-1:]:
                doubt.suggestions = (group[0].value, said)
            return
        if not linked and not _says_it_is(line, at):
            return
    elif any(not (m.light or m.has("pause") or _thinks_again(m, group)) for m in line.marks[:at]):
        return
    subjects = state.last_subjects
    if not subjects:
        return
    reading = read_claim(subjects[-1].term, claim, state.context, line.vocabulary)
    if reading is None or reading.value == "?" or _says_the_same(group[-1], reading, said):
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
            rule="second_value",
        )
    )
    if any(m.has("answer.no") for m in line.marks[:at]) and not line.group:
        group[-1].value = reading.value  # of two answers the last stands


def _doubts(mark: Mark) -> bool:
    return mark.has("hedge") or mark.has("negation.doubt")  # "four, could be a five"


def _thinks_again(mark: Mark, group: list[Draft]) -> bool:
    """Whether a word only puts off the next score of the same skin: "nine", "nah, ten"."""
    scores = all(d.item.startswith("sensation.") for d in group)
    return scores and (mark.has("answer.no") or mark.has("hedge.before"))


def _settle(line: Line, group: list[Draft]) -> None:
    """ "Four plus, five minus ... four plus": the first grade said again answers the question."""
    for doubt in line.state.doubts[-2:]:
        if doubt.rule == "second_value" and doubt.drafts == group[-1:] and not line.group:
            group[-1].marks = [*group[-1].marks, *doubt.marks[-1:]]
            line.state.doubts.remove(doubt)


def _in_other_way(line: Line, at: int, claim: Claim, group: list[Draft]) -> bool:
    """ "Nine for touch and six for pin": the second is of the other way of testing."""
    state = line.state
    ahead = [m for m in line.marks[at + 1 : at + 3] if not m.has("list.prepose")]
    said = next((way for way in WAYS if ahead[:1] and ahead[0].has(f"modality.{way}")), "")
    first = group[0].detail.get("modality") or state.modality
    if not said or first == said or not all(d.item.startswith("sensation.") for d in group):
        return False
    for draft in group:
        if first:
            draft.detail["modality"] = first
    kept, state.modality = state.modality, said
    subjects = [s for s in state.last_subjects if s.term in {d.term for d in group}]
    assign(line, claim, subjects or state.last_subjects, rule="other modality")
    state.modality = kept
    return True


def _says_it_is(line: Line, at: int) -> bool:
    """Whether a grade is said of what was graded before: "four, but on the couch it was three"."""
    for mark in reversed(line.marks[line.group_since + 1 : at]):
        if mark.scope or mark.terms:
            return False
        if mark.has("list.copula") and mark.text not in ARTICLES:
            return True
        if not (mark.light or mark.has("hedge")):
            return False
    return False


def _ask_of_other_side(line: Line, at: int, group: list[Draft], said: str) -> None:
    """Asks where one grade is said twice, as of either side: "deltoid five and five"."""
    first, marks = group[0], line.marks
    twice = at > 1 and marks[at - 1].text == "and" and marks[at - 2].number is not None
    other = OPPOSITE.get(first.side)
    if not twice or other is None or len(group) > 1 or marks[at - 2] not in first.marks:
        return
    if _is_plural(first.marks[0]):
        twin = copy(first)
        twin.side, twin.side_local = other, True
        twin.marks, twin.detail = [*first.marks, marks[at]], dict(first.detail)
        first.side_local = first.side_spoken = twin.side_spoken = True
        line.state.drafts.append(twin)
        line.state.sentence_drafts.append(twin)
        return
    line.state.doubts.append(
        Doubtful(
            "value",
            False,
            f"{first.term.label}: {said} was said twice; is the second of the {other} side?",
            first.item,
            other,
            (said, "reject"),
            [],
            (*first.marks, marks[at]),
            rule="second_value",
        )
    )


def _is_plural(name: Mark) -> bool:
    """Whether a name is of the muscle on either side: "deltoids", not "biceps"."""
    last = name.text.split()[-1]
    return last.endswith(PLURALS) and not last.endswith(("ceps", "is"))


def _says_the_same(draft: Draft, reading: Reading, said: str) -> bool:
    """Whether a number repeats the word before it: "brisk, four plus", "normal, ten"; of a reflex
    "two" after a word was "too"."""
    if draft.item != reading.item or draft.value.isdigit():
        return False
    if draft.item.startswith("reflex.") and said == "2":
        return True
    return SAME.get(draft.value, draft.value) == SAME.get(reading.value, reading.value)


def add_kind(line: Line, claim: Claim) -> bool:
    """A finding of another kind of the muscle just graded: "zero, nothing under my fingers"."""
    state = line.state
    context = state.context
    before = context.kind
    if not claim.predicates and claim.words:
        context.kind = "contraction"
    kinds = {d.item.partition(".")[0] for d in state.last}
    if claim.kind == "imaging" and "imaging" not in (before, context.topic):
        context.kind = before
        return False  # "numb skin points to avulsion" is of no root
    subjects = [s for s in state.last_subjects if s.term.category in {"muscle", "level", "bulk"}]
    side = ""
    behind = _counted_behind(line, claim)
    if kinds == {"power"} and (behind or _of_all(line, claim)):
        subjects = _graded_together(line, behind) or subjects
        claim.denied = claim.denied or behind == "neither"
        side = state.last[-1].side if state.last[-1].side in OPPOSITE else ""
    if claim.kind in kinds or not subjects:
        context.kind = before
        return False
    last, claim_before = state.last, state.last_claim
    terms = {subject.term for subject in subjects}
    told = [d for d in state.sentence_drafts if d.term in terms and d not in last]
    made = assign(line, claim, subjects, rule="another kind", only_side=side)
    context.kind = before
    if made and claim.kind == "wasting" and _meant_bulk(line, [*told, *last]):
        for draft in (*told, *last):
            draft.dropped = True
        state.last_claim = claim
    elif made:
        state.last, state.last_claim = [*last, *made], claim_before
    return bool(made)


def _of_all(line: Line, claim: Claim) -> bool:
    """Whether a contraction is told of all that was graded: "all three contract"."""
    first = claim.mark.text.split()[0]
    at = line.marks.index(claim.mark) if claim.mark in line.marks else 0
    before = line.marks[max(0, at - 3) : at]
    several = any(m.has("list.all") or m.text in {"they", "they all"} for m in before)
    several = several or any(m.has("list.copula") and m.text.startswith("both") for m in before)
    return several or first in {"none", "neither", "all", "both", "they"}


def _counted_behind(line: Line, claim: Claim) -> str:
    """The word behind a contraction that tells of how many it is: "in either of them"."""
    at = line.marks.index(claim.mark) if claim.mark in line.marks else len(line.marks)
    behind = [m for m in line.marks[at + 1 : at + 6] if not m.has("pause")]
    after = [word for m in behind[:4] for word in m.text.split()]
    if after[:3] in (["of", "the", "lot"], ["in", "the", "lot"], ["of", "the", "whole"]):
        return "all"
    before = [word for m in line.marks[max(0, at - 3) : at] for word in m.text.split()]
    counted = set(line.vocabulary.phrases.cues["two_of_them.words"])
    if any(" ".join(after[:n]) in counted for n in range(1, 5)):
        return "both"
    if any(" ".join(before[n : n + m]) in counted for n in range(len(before)) for m in (1, 2, 4)):
        return "both"
    if after[:1] not in (["in"], ["of"]) or len(after) < 2 or after[1] not in (*OF_TWO, *OF_MORE):
        return ""
    return after[1] if set(after[2:4]) <= POINTED else ""


def _graded_together(line: Line, counted: str) -> list[Subject]:
    """The muscles that were graded in the sentence of the last grade; with a word that counts
    them also those graded alike just before."""
    state = line.state
    since = state.last[-1].sentence
    near = [d for d in state.drafts[-12:] if not d.gone and d.side == state.last[-1].side]
    near = [d for d in near if d.item.startswith("power.") and d.term.category == "muscle"]
    here = [d for d in near if d.sentence == since]
    if counted in OF_TWO:
        here = near[-2:]
    elif counted and len(here) < 2:
        here = list(takewhile(lambda d: d.value == near[-1].value, reversed(near)))[::-1]
    lately = [d for d in here if since - d.sentence <= len(here)]
    return [Subject(d.term, d.marks[0], sentence=d.sentence) for d in lately]


def _meant_bulk(line: Line, drafts: list[Draft]) -> bool:
    """Whether a word that may be a grade was said of bulk: "the deltoid is gone, pure wasted"."""
    gone = line.vocabulary.phrases.cues["bulk.gone"]
    said = [m.text for d in drafts for m in d.marks if m.values]
    near = [m for sentence in line.state.read[-1:] for m in sentence.marks]
    powered = any(m.has("kind.power") or m.number for m in [*near, *line.marks])
    return bool(said) and not powered and all(text in gone for text in said)
