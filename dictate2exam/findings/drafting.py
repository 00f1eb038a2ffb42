"""Findings in the making: a claim written down for each subject, on each side meant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings import excursions
from dictate2exam.findings.claims import Claim, Reading
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.state import Doubtful, Draft, State, Subject, heard_text
from dictate2exam.lexicon.personal import heard_form
from dictate2exam.units import Side

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

BOTH: tuple[Side, ...] = ("left", "right")
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


def sides_of(state: State, subject: Subject, only: str) -> tuple[tuple[Side, ...], bool, bool]:
    """The sides meant, whether any was spoken, and whether these words named it."""
    if only:
        return (BOTH if only == "both" else (_side(only),)), True, True
    if subject.side:
        return (BOTH if subject.side == "both" else (subject.side,)), True, True  # type: ignore[comparison-overlap]
    if state.side == "both":
        return BOTH, True, False
    if state.side:
        return (_side(state.side),), True, False
    return ("none",), False, False


def _side(name: str) -> Side:
    return "left" if name == "left" else "right" if name == "right" else "none"


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
            _ask_value(line, subject, claim, reading, only)
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
            _ask_doubted(line, claim.mark, group)
        ranged = [s.mark for s in subjects if s.mark.has("doubted_range")]
        if ranged and claim.mark.number:
            _ask_range(line, ranged[0], group)
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


def _ask_doubted(line: Line, mark: Mark, group: list[Draft]) -> None:
    """Asks whether a word that may be no value at all was one."""
    first = group[0]
    question = f'{first.term.label}: "{mark.text}" was taken for {first.value}; is it?'
    options = (first.value, "reject")
    line.state.doubts.append(
        Doubtful(
            "value",
            True,
            question,
            first.item,
            first.side,
            options,
            group,
            (mark,),
            rule="doubtful_word",
        )
    )


def _ask_range(line: Line, last: Mark, group: list[Draft]) -> None:
    """Asks about "C4 to C5 nine": a range, or "C4 two, C5 nine" (or ten) heard with a "to"?"""
    first = group[0]
    said = last.written.utterance.text
    question = f'"{said}": a range with {first.value} for both, or was "to" a score?'
    options = (first.value, "2", "10")
    line.state.doubts.append(
        Doubtful(
            "value",
            False,
            question,
            first.item,
            first.side,
            options,
            group[:1],
            (last,),
            rule="range_or_scores",
        )
    )


def _ask_value(line: Line, subject: Subject, claim: Claim, reading: Reading, only: str) -> None:
    sides, _, _ = sides_of(line.state, subject, only)
    line.state.doubts.append(
        Doubtful(
            "value",
            False,
            reading.ask or f"{subject.term.label}: what was the value?",
            reading.item,
            sides[0],
            reading.suggestions,
            [],
            (subject.mark, claim.mark),
            line.state.sentence,
            rule=reading.rule,
        )
    )


def _forget_worded(state: State, item: str) -> None:
    """A value said later in the sentence answers what a word without a value left open."""
    state.doubts[-8:] = [
        d for d in state.doubts[-8:] if d.drafts or d.item != item or d.sentence != state.sentence
    ]


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
        _ask_about_maybe_side(line, draft)
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
        _ask_about_hearing(line, draft, subject, claim)
    return made


def _said_again(line: Line, draft: Draft) -> None:
    """A grade told once more, far from where it was found, is what a correction now is about:
    "I had the deltoid at four, no, three"."""
    state = line.state
    known = [d for d in state.of_item(draft.item) if d.side == draft.side and not d.gone]
    if known and state.sentence - known[-1].sentence > 1 and draft.item.startswith("power."):
        state.last = line.group = known[-1:]
        state.last_claim = None


def _ask_about_hearing(line: Line, draft: Draft, subject: Subject, claim: Claim) -> None:
    """Asks about a term of near rivals, and about words that were hardly heard."""
    doubt = line.vocabulary.phrases.doubt
    if subject.mark.rivals:
        kind = draft.item.partition(".")[0]
        names = [f"{kind}.{t.term_id}" for t in (subject.term, *subject.mark.rivals)]
        said = heard_text(subject.mark)
        line.state.doubts.append(
            Doubtful(
                "mishearing",
                True,
                f'"{said}": was {subject.term.label} meant?',
                draft.item,
                draft.side,
                tuple(names[: doubt.max_suggestions]),
                [draft],
                (subject.mark,),
                rule="misheard_term" if subject.mark.likeness < 1 else "sound_alike",
                score=subject.mark.rivalry,
            )
        )
    for mark in (subject.mark, claim.mark):
        if mark is subject.mark and _known_slip(line, subject):
            continue
        tokens = mark.written.tokens[mark.start : mark.end]
        sure = [t.confidence for t in tokens if t.confidence is not None]
        if sure and min(sure) < doubt.key_word:
            line.state.doubts.append(
                Doubtful(
                    "mishearing",
                    False,
                    f'"{heard_text(mark)}" was hardly heard: is {draft.term.label} {draft.value}?',
                    draft.item,
                    draft.side,
                    (draft.value, *_looked_at(line, draft, mark))[: doubt.max_suggestions],
                    [draft],
                    (mark,),
                    rule="hardly_heard",
                    score=round(1 - min(sure), 3),
                )
            )
            return


def _known_slip(line: Line, subject: Subject) -> bool:
    """Whether this voice is known to be heard so for the term: no listener is ever sure of it."""
    said, term = heard_form(heard_text(subject.mark)), subject.term
    return any(
        (known.heard, known.category, known.term_id) == (said, term.category, term.term_id)
        for known in line.vocabulary.lexicon.personal
    )


def _looked_at(line: Line, draft: Draft, mark: Mark) -> tuple[str, ...]:
    """Items of the same kind that the sound of the words behind `mark` speaks for, best first."""
    kind = draft.item.partition(".")[0]
    items: dict[str, None] = {}
    for look in mark.written.utterance.looks:
        words = mark.written.heard(mark.start, mark.end - 1)
        if look.last_word < words.first_word or look.first_word > words.last_word:
            continue
        for spoken in look.candidates:
            terms = line.vocabulary.terms.get(tuple(spoken.split()), ())
            items.update(dict.fromkeys(f"{kind}.{term.term_id}" for term in terms[:1]))
    items.pop(draft.item, None)
    return tuple(item for item in items if item in line.vocabulary.items)


def ask_about(line: Line, subjects: list[Subject], question: str, mark: Mark) -> None:
    """A value question on each subject's item that has one."""
    for subject in subjects:
        words = line.vocabulary.words_named("normal")
        reading = read_claim(
            subject.term, Claim(mark, words=words), line.state.context, line.vocabulary
        )
        if reading is None:
            continue
        sides, _, _ = sides_of(line.state, subject, "")
        line.state.doubts.append(
            Doubtful(
                "value",
                False,
                f"{subject.term.label}: {question}",
                reading.item,
                sides[0],
                (),
                [],
                (subject.mark, mark),
                rule="no_value",
            )
        )


def _ask_about_maybe_side(line: Line, draft: Draft) -> None:
    """A lone "right" while the left is examined: where items come again it was a side."""
    state = line.state
    if state.maybe_side != "right" or state.side != "left" or draft.side != "left":
        return
    if state.sentence - draft.sentence or draft.side_local:
        return
    earlier = [d for d in state.of_item(draft.item) if d is not draft and not d.gone]
    if not any(d.side == "left" for d in earlier):
        return
    draft.side = "right"
    state.side = "right"
    state.maybe_side = ""
    state.doubts.append(
        Doubtful(
            "side",
            True,
            'A lone "right" was said before items that had been examined on the left: '
            "is this the right side?",
            draft.item,
            "right",
            ("right", "left"),
            [draft],
            tuple(draft.marks),
            rule="side_word",
        )
    )
