"""Findings in the making: a claim written down for each subject, on each side meant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings import excursions
from dictate2exam.findings.asking import (
    ask_about_hearing,
    ask_about_maybe_side,
    ask_doubted,
    ask_range,
    ask_value,
    sides_of,
)
from dictate2exam.findings.claims import Claim, Reading
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.state import Doubtful, Draft, State, Subject

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

# Words of feeling alone: of a level too they tell that sensation is spoken of.
FELT = frozenset({"numb", "cannot_feel"})
# Words that say of a name itself that it is there or not.
NAMED_THERE = frozenset({"present", "absent", "nothing", "positive"})
TOPICS = {
    "power": "power",
    "sensation": "sensation",
    "reflex": "reflex",
    "conduction": "conduction",
    "needle": "needle",
    "imaging": "imaging",
}


def _confidence(subject: Subject, claim: Claim, factor: float, doubted: bool) -> float:
    value = 0.98 * factor * subject.mark.likeness
    tokens = [
        *subject.mark.written.tokens[subject.mark.start : subject.mark.end],
        *claim.mark.written.tokens[claim.mark.start : claim.mark.end],
    ]
    sure = [t.confidence for t in tokens if t.confidence is not None]
    if sure:
        value *= 0.7 + 0.3 * min(sure)
    if any(t.guess for t in tokens):
        value *= 0.85
    if doubted:
        value *= 0.6
    return round(max(0.05, min(0.99, value)), 3)


def assign(
    line: Line,
    claim: Claim,
    subjects: list[Subject],
    rule: str,
    confidence: float = 1.0,
    only_side: str = "",
    extra: Mark | None = None,
) -> list[Draft] | None:
    """Writes the claim down for each subject; None where it fits none of them."""
    state, context = line.state, line.state.context
    group: list[Draft] = []
    fitted = asked = False
    only = only_side or line.value_side
    for subject in subjects:
        reading = read_claim(subject.term, claim, context, line.vocabulary)
        if reading is None:
            continue
        fitted = True
        if subject.mark.text in line.vocabulary.phrases.cues["naming.good"] and claim.words:
            reading.value = _of_health(reading.value, claim)
        kind = reading.item.partition(".")[0]
        if (kind in TOPICS and subject.term.category != "level") or (
            kind in TOPICS and not reading.ambiguous and (claim.strong or kind == "imaging")
        ):
            context.topic = TOPICS[kind]
        if kind == "sensation" and any(word.name in FELT for word in claim.words):
            context.topic = "sensation"
        if subject.term.category in {"muscle", "movement", "reflex"}:
            context.heading = ""
        if reading.value == "?":
            ask_value(line, subject, claim, reading, only)
            asked = True
            continue
        group.extend(_drafts(line, subject, claim, reading, rule, confidence, only, extra))
    if not fitted:
        return None
    if asked and not group:
        # What was said last is no longer what a correction is about.
        state.last, line.group = [], []
    line.value_side = ""
    hedge, line.hedge = line.hedge, None
    if group:
        if state.last_claim is claim:
            group = [*line.group, *group]
        state.last = group
        state.stray = 0
        state.last_subjects = list(subjects)
        state.last_claim = claim
        state.offered = None
        line.group = group
        if claim.mark in line.marks:
            line.group_since = line.marks.index(claim.mark)
        if claim.mark.has("doubted"):
            ask_doubted(line, claim.mark, group)
        ranged = [s.mark for s in subjects if s.mark.has("doubted_range")]
        if ranged and claim.mark.number:
            ask_range(line, ranged[0], group)
    if hedge is not None and group and line.speaker != "patient":
        from dictate2exam.findings.second_values import mark_hedged

        mark_hedged(line, group, hedge)
    state.last_subjects = list(subjects)
    return group


def _of_health(value: str, claim: Claim) -> str:
    """What a word says of a sign that is named by what is there in health: "no round O"."""
    if claim.words[0].name not in NAMED_THERE:
        return value
    return {"present": "absent", "absent": "present"}.get(value, value)


def _forget_worded(state: State, item: str) -> None:
    """A value said later in the sentence answers what a word without a value left open."""
    state.doubts[-8:] = [
        d for d in state.doubts[-8:] if d.drafts or d.item != item or d.sentence != state.sentence
    ]


def _of_both(line: Line) -> bool:
    """Whether the sentence is of both sides, and does not tell which is examined: "knee jerks two
    plus on both sides"."""
    sided = [m for m in line.marks if m.has("side")]
    return bool(sided) and all(m.has("side.both") for m in sided)


def _drafts(
    line: Line,
    subject: Subject,
    claim: Claim,
    reading: Reading,
    rule: str,
    confidence: float,
    only: str,
    extra: Mark | None,
) -> list[Draft]:
    from dictate2exam.findings.superseding import settle

    state = line.state
    if not _of_both(line):
        excursions.come_back(line, subject, reading.item, only)
    sides, spoken, local = sides_of(state, subject, only)
    made: list[Draft] = []
    _forget_worded(state, reading.item)
    for side in sides:
        detail = dict(reading.detail)
        kind = reading.item.partition(".")[0]
        if kind == "sensation" and state.modality:
            detail["modality"] = state.modality
        draft = Draft(
            item=reading.item,
            side=side,
            value=reading.value,
            scale=reading.scale,
            marks=[m for m in (subject.mark, claim.mark, extra) if m is not None],
            term=subject.term,
            sentence=state.sentence,
            rule=rule,
            confidence=_confidence(subject, claim, confidence, bool(reading.ask)),
            side_spoken=spoken,
            side_local=local,
            detail=detail,
            expanded=subject.expanded,
            ambiguous=reading.ambiguous,
            fallback=reading.fallback,
            patient=line.speaker == "patient" or subject.asked,
            explicit_scale=bool(claim.number and claim.number.scale),
        )
        ask_about_maybe_side(line, draft)
        if settle(line, draft, subject):
            _said_again(line, draft)
            continue
        state.drafts.append(draft)
        state.sentence_drafts.append(draft)
        made.append(draft)
        if reading.ask and not reading.ambiguous:
            state.doubts.append(
                Doubtful(
                    "value",
                    reading.blocking,
                    reading.ask,
                    reading.item,
                    side,
                    reading.suggestions,
                    [draft],
                    (subject.mark, claim.mark),
                    rule=reading.rule,
                )
            )
        ask_about_hearing(line, draft, subject, claim)
    return made


def _said_again(line: Line, draft: Draft) -> None:
    """A grade told once more, far from where it was found, is what a correction now is about:
    "I had the deltoid at four, no, three"."""
    state = line.state
    known = [d for d in state.of_item(draft.item) if d.side == draft.side and not d.gone]
    if known and state.sentence - known[-1].sentence > 1 and draft.item.startswith("power."):
        state.last = line.group = known[-1:]
        state.last_claim = None
