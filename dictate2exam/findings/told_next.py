"""A sign named alone in its sentence, and what the next one says of it: "Ptosis, right. None."."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Draft, Subject
from dictate2exam.findings.vocabulary import Vocabulary

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

LIGHT = frozenset({"list.light"})
# Words that only join or place a name.
SMALL = frozenset({"the", "his", "her", "and", "or", "any"})
# Verbs that say that what is named is there.
SAYS = frozenset({"list.copula", "list.there"})


def tell_named(line: Line) -> None:
    """Gives a sign that was only named the value that a sentence of nothing else says."""
    claim = _said(line)
    drafts = only_named(line) if claim else []
    if claim is None or not drafts:
        return
    state, kept = line.state, line.state.context.kind
    state.context.kind = "" if claim.predicates else drafts[0].item.partition(".")[0]
    for draft in drafts:
        draft.dropped = True
    made = assign(line, claim, subjects_of(drafts), rule="told next")
    state.context.kind = kept
    for draft in drafts:
        draft.dropped = bool(made)
    if not made:
        return
    for one, other in zip(made, drafts, strict=False):
        one.side_spoken, one.side_local = other.side_spoken, other.side_local
    use_up(line)


def subjects_of(drafts: list[Draft]) -> list[Subject]:
    """What was named, to be told of once more."""
    return [
        Subject(d.term, d.marks[0], d.side if d.side in OPPOSITE else None, sentence=d.sentence)
        for d in drafts
    ]


def use_up(line: Line) -> None:
    """Leaves nothing of the sentence to be read, and no question about what is gone."""
    state = line.state
    state.doubts = [d for d in state.doubts if not d.drafts or any(not x.gone for x in d.drafts)]
    for mark in line.marks:
        if not mark.has("pause"):
            mark.roles, mark.values, mark.predicates = LIGHT, (), ()


def answer(said: list[Mark], vocabulary: Vocabulary) -> Claim | None:
    """What words say that name nothing and do no more than answer."""
    if not said or any(m.terms or m.number or m.scope or m.has("side") for m in said):
        return None
    cues, text = vocabulary.phrases.cues, " ".join(m.text for m in said)
    if text in (*cues["contrast.none"], *cues["answer.none_of_it"], *cues["answer.no"]):
        return Claim(said[0], words=vocabulary.words_named("absent"))
    if text in cues["answer.yes"]:
        return Claim(said[0], words=vocabulary.words_named("present"))
    valued = [m for m in said if m.valued]
    if len(valued) != 1 or any(m is not valued[0] and not m.light for m in said):
        return None
    mark = valued[0]
    if mark.predicates:
        return Claim(mark, predicates=mark.predicates)
    if all(word.name in {"nothing", "negative"} for word in mark.values):
        return Claim(mark, words=vocabulary.words_named("absent"))
    return Claim(mark, words=mark.values)


def _said(line: Line) -> Claim | None:
    """The answer that a sentence opens with, behind which it says nothing more of value."""
    marks = line.marks
    end = next((n for n, m in enumerate(marks) if m.has("pause")), len(marks))
    rest = marks[end:]
    if line.speaker == "patient" or line.asked:
        return None
    if any(m.has("correction.replace") or m.has("correction.withdraw") for m in marks):
        return None
    if any(m.terms or m.valued or m.has("side") for m in rest):
        return None
    claim = answer(marks[:end], line.vocabulary)
    return None if claim is None or claim.predicates else claim


def only_named(line: Line) -> list[Draft]:
    """What the sentence before found by its bare name, where it did no more than name it."""
    state = line.state
    before = state.read[-1].marks if state.read else []
    nouns = line.vocabulary.phrases.cues["bulk.noun"]
    last = [d for d in state.last if not d.gone]
    if not last or last[-1].sentence != state.sentence - 1 or state.open:
        return []
    for mark in before:
        named = mark.terms or mark.has("side") or mark.has("pause") or mark.has("region")
        noun = bool(mark.predicates) and mark.text in nouns
        small = mark.has("list.prepose") or mark.text in SMALL
        if not (named or noun or small) or (mark.roles & SAYS and not small):
            return []
    bare = all(
        d.rule == "named" or (d.item.startswith("wasting.") and d.value == "present") for d in last
    )
    return last if bare else []
