"""Skin that was asked about in a run of answers, and whose own answer was not understood.

"The thumb?" "Seven." "Little finger?" "Not um there at all." "Inner elbow?" "Two.": the places
before and after have a score, the one between has been touched too.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from dictate2exam.findings.examined import is_free
from dictate2exam.findings.line import SENSORY
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.state import Doubtful

if TYPE_CHECKING:
    from dictate2exam.findings.examined import Examined

# The places before and after lie so many utterances away at most.
NEAR = 4
# An answer is no longer than this, in words.
LONGEST = 7
SKIN = "sensation."


def unanswered(search: Examined, sentences: list[Sentence]) -> Iterator[Doubtful]:
    """A question for each such place."""
    spoken = [sentence for sentence in sentences if sentence.marks]
    for asking, answering in pairwise(spoken):
        place = _place(search, asking)
        if place is None or not _in_a_run(search, place):
            continue
        item = search.item_of(place.terms[0], place)
        if not item.startswith(SKIN) or not search.is_new(place.terms[0], item):
            continue
        answer = _answer(search, asking, answering, place)
        if not answer:
            continue
        first, last = answer[0], answer[-1]
        said = first.written.heard(first.start, last.end - 1).text
        label = search.vocabulary.lexicon.items[item].label
        yield Doubtful(
            "value",
            False,
            f'"{said}" was the answer at {label}: what does it mean?',
            item,
            search.side_at(place),
            ("reject",),
            [],
            (place, *answer),
            rule="answer_not_understood",
            score=search.weights.unanswered.score,
        )


def _place(search: Examined, sentence: Sentence) -> Mark | None:
    """The only place of skin in a sentence that gave nothing and speaks of little else."""
    named = [mark for mark in sentence.marks if mark.terms]
    patient = sentence.marks[0].written.utterance.speaker == "patient"
    if patient or len(named) != 1 or named[0].terms[0].category not in SENSORY:
        return None
    if any(map(search.gave, sentence.marks)):
        return None
    before = sentence.marks[: sentence.marks.index(named[0])]
    words = sum(is_free(mark) and not mark.light for mark in before)
    return named[0] if words <= search.weights.unanswered.before else None


def _in_a_run(search: Examined, place: Mark) -> bool:
    """Whether skin on both sides of a place was scored a moment before and after."""
    at = place.written.utterance.index
    around = search.around(place, 1)
    near = [abs(d.marks[0].written.utterance.index - at) <= NEAR for d in around]
    return len(around) == 2 and all(near) and all(d.item.startswith(SKIN) for d in around)


def _answer(
    search: Examined, asking: Sentence, answering: Sentence, place: Mark
) -> tuple[Mark, ...]:
    """What was said to the touch: the rest of the sentence, else the next one; empty for talk."""
    own = [m for m in asking.marks[asking.marks.index(place) + 1 :] if not m.has("pause")]
    if any(map(search.strange, own)) and len(own) <= LONGEST and not asking.asked:
        return tuple(own)
    if not all(m.light for m in own):
        return ()  # more was said of the place than its name
    reply = answering.marks
    speaker = reply[0].written.utterance.speaker
    if speaker == "examiner" or any(m.terms for m in reply) or any(map(search.gave, reply)):
        return ()
    words = [m for m in reply if not m.has("pause")]
    return tuple(words) if sum(m.end - m.start for m in words) <= LONGEST else ()
