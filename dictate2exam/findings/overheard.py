"""What other listeners heard of an utterance, laid over the words that were taken.

A finding that only another listener's words give is asked about where its value or its name was
taken too and came to nothing, or where its words were left out of what was taken.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from rapidfuzz.distance import Levenshtein

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Draft, State
from dictate2exam.speech.model import Utterance

# How far it is to be believed that a finding was missed, judged on tuned recordings in quiet and
# at 10 dB (923 and 630 findings): of those whose value was taken and unused, 10 of 14 were missed;
# whose name was, 6 of 8; a part of either, 2 of 3; nothing, 2 of 16.
VALUE_TAKEN, NAME_TAKEN, PART_TAKEN, NONE_TAKEN = 0.75, 0.65, 0.45, 0.2
# Sites of percussion are read out of few words.
EASILY_READ = 0.35


@dataclass(frozen=True, slots=True)
class Overheard:
    """A finding of another listener; `words` are those taken in its place, `score` says how
    likely it was missed."""

    draft: Draft
    utterance: Utterance
    heard: str
    words: tuple[int, ...]
    score: float


def overheard(state: State, items: set[str]) -> list[Overheard]:
    """What was heard of items that gave nothing, the likeliest of each item, in spoken order."""
    used: dict[int, set[int]] = {}
    for draft in state.drafts:
        for mark in draft.marks:
            used.setdefault(mark.written.utterance.index, set()).update(words_of(mark))
    best: dict[str, Overheard] = {}
    for draft, utterance, heard in state.overheard:
        kind = draft.item.partition(".")[0]
        if draft.item in items or kind == "context" or not utterance.words:
            continue
        if any(m.written.utterance.index != utterance.index for m in draft.marks):
            continue
        one = _weigh(draft, utterance, heard, used.get(utterance.index, set()))
        if one.score > 0 and (draft.item not in best or one.score > best[draft.item].score):
            best[draft.item] = one
    return sorted(best.values(), key=lambda one: (one.utterance.index, one.words))


def _weigh(draft: Draft, utterance: Utterance, heard: Utterance, used: set[int]) -> Overheard:
    """The finding with the words in its place; 0 where those gave something else."""
    same, instead = _laid_over(utterance, heard)
    value = _places(m for m in draft.marks if m.valued and not m.terms)
    name = _places(m for m in draft.marks if m.terms)
    place = sorted({w for j in (*value, *name) for w in (same.get(j, ()) or instead.get(j, ()))})
    if used & set(place):
        score = 0.0
    elif value and all(j in same for j in value):
        score = VALUE_TAKEN
    elif name and all(j in same for j in name):
        score = NAME_TAKEN
    elif any(j in same for j in (*value, *name)):
        score = PART_TAKEN
    else:
        score = NONE_TAKEN
    if score and draft.item.startswith("sign.percussion."):
        score -= EASILY_READ
    return Overheard(draft, utterance, heard.text, tuple(place), max(0.0, min(1.0, score)))


def _laid_over(
    utterance: Utterance, heard: Utterance
) -> tuple[dict[int, tuple[int, ...]], dict[int, tuple[int, ...]]]:
    """For each word of another listener the word taken alike, or those taken in its place."""
    same: dict[int, tuple[int, ...]] = {}
    instead: dict[int, tuple[int, ...]] = {}
    ours = [word.text for word in utterance.words]
    theirs = [word.text for word in heard.words]
    for change in Levenshtein.opcodes(ours, theirs):
        for step, place in enumerate(range(change.dest_start, change.dest_end)):
            if change.tag == "equal":
                same[place] = (change.src_start + step,)
            else:
                instead[place] = tuple(range(change.src_start, change.src_end))
    return same, instead


def _places(marks: Iterable[Mark]) -> list[int]:
    return [place for mark in marks for place in words_of(mark)]


def words_of(mark: Mark) -> range:
    """The places of the words behind a mark."""
    heard = mark.written.heard(mark.start, mark.end - 1)
    return range(heard.first_word, heard.last_word + 1)
