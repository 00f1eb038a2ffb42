"""Questions about drafts: hardly heard, of near rivals, without a value, on a doubtful side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim, Reading
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.state import Doubtful, Draft, State, Subject, heard_text
from dictate2exam.lexicon.personal import heard_form
from dictate2exam.units import Side

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


BOTH: tuple[Side, ...] = ("left", "right")


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


def ask_doubted(line: Line, mark: Mark, group: list[Draft]) -> None:
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


def ask_range(line: Line, last: Mark, group: list[Draft]) -> None:
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


def ask_value(line: Line, subject: Subject, claim: Claim, reading: Reading, only: str) -> None:
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


def ask_about_hearing(line: Line, draft: Draft, subject: Subject, claim: Claim) -> None:
    """Asks about a term of near rivals, and about words that were hardly heard.

    Not where another listener heard the very same: of 28 such words that were asked about in seven
    recordings (494 findings) none was wrong, of the other 14 two.
    """
    doubt = line.vocabulary.phrases.doubt
    named_twice = heard_twice(subject.mark) and subject.mark.likeness == 1
    if subject.mark.rivals and not named_twice:
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
        if mark is subject.mark and (named_twice or _known_slip(line, subject)):
            continue
        if mark is claim.mark and heard_twice(mark):
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


def heard_twice(mark: Mark) -> bool:
    """Whether another listener wrote the same words."""
    said = f" {heard_text(mark).lower()} "
    others = mark.written.utterance.readings[1:]
    return any(said in f" {other.text.lower()} " for other in others)


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


def ask_about_maybe_side(line: Line, draft: Draft) -> None:
    """A lone "right" while the left is examined: where items come again it was a side."""
    state = line.state
    if state.maybe_side != "right" or state.side != "left" or draft.side != "left":
        return
    if state.sentence - draft.sentence or draft.side_local:
        return
    earlier = [d for d in state.drafts if d is not draft and _same_or_part(d, draft)]
    if not any(d.side == "left" and d.sentence <= state.maybe_since for d in earlier):
        return
    mates = [d for d in state.sentence_drafts if d.side == "left" and not d.side_local]
    mates = [d for d in mates if d is not draft and d.marks[-1] is draft.marks[-1]]
    for one in (draft, *mates):
        one.side = "right"
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
            [draft, *mates],
            tuple(draft.marks),
            rule="side_word",
        )
    )


def _same_or_part(known: Draft, draft: Draft) -> bool:
    """Whether an item, or a part or the whole of it, was found before."""
    return not known.gone and (
        known.item.startswith(draft.item) or draft.item.startswith(known.item)
    )
