"""Who of two people speaks: examiner or patient, by their words and their voices together.

Words alone say it of some utterances (who asks, who answers in a number); the voices of those are
compared. Only where the voices tell these apart, without each one's own part in it, are there two
speakers, and the other utterances get the speaker whose voice is theirs. Where they don't, and
where an utterance is near neither voice or words and voice disagree, the speaker stays unknown: a
wrong name changes what counts as a finding, silently.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from dictate2exam.audio.model import SAMPLE_RATE
from dictate2exam.lexicon.turns import Turns
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import FRAME, FRAME_S, frame_levels
from dictate2exam.speech.model import Speaker, Utterance, Word
from dictate2exam.speech.voiceprint import Voiceprints, voiceprints

LEAST_SEEDS = 4  # utterances whose words name their speaker, of each
LEAST_APART = 0.75  # share of those, halved between the two, that the voices must get right
# The same before any other utterance is taken in: one voice has 0.40 to 0.83 in 17 recordings, two
# voices 0.83 and more in four of five.
LEAST_APART_AT_FIRST = 0.8
# One voice parted at random leaves many utterances near neither: at this share of them from the
# faintest, 0.3 to 3.1 in 31 recordings of one synthetic voice, mostly 3.5 and more with two.
FAINT_SHARE = 0.15
LEAST_CLEAR = 4.0  # natural log of the voices' ratio
SURE = 2.0  # natural log of the voices' ratio above which an utterance is named
SURE_AGAINST_WORDS = 6.0  # the same where the words name the other
ROUNDS = 3
INNER_PAUSE_S = 0.15  # the speaker may change at a pause this long ...
INNER_PAUSE_DB = 18.0  # ... and this much below the loud frames of the utterance

Floats = npt.NDArray[np.float64]


def name_by_words(texts: Sequence[str], turns: Turns) -> list[Speaker]:
    """The speaker of each utterance in order as far as its words alone tell."""
    named: list[Speaker] = []
    for text in texts:
        said = f" {text.lower()} "
        words = said.split()
        asks = any(f" {phrase} " in said for phrase in turns.examiner)
        tells = any(f" {phrase} " in said for phrase in turns.patient)
        answers = 0 < len(words) <= turns.longest_answer and set(words) <= turns.answer
        if tells != asks:
            named.append("patient" if tells else "examiner")
        else:
            named.append("patient" if answers and not asks else "unknown")
    return named


def name_by_voice(prints: Voiceprints, named: Sequence[Speaker]) -> list[Speaker]:
    """The speakers of all utterances from those that words name; all unknown for one voice."""
    unknown: list[Speaker] = ["unknown"] * len(named)
    first = np.array([name == "examiner" for name in named], dtype=float)
    second = np.array([name == "patient" for name in named], dtype=float)
    if min(first.sum(), second.sum()) < LEAST_SEEDS:
        return unknown
    scores = prints.liken(first, second)
    if apart(scores, first, second) < LEAST_APART_AT_FIRST:
        return unknown
    for _ in range(ROUNDS):
        chances = 1 / (1 + np.exp(-np.clip(scores, -30, 30)))
        scores = prints.liken(chances, 1 - chances)
    clear = np.percentile(np.abs(scores), 100 * FAINT_SHARE)
    if apart(scores, first, second) < LEAST_APART or clear < LEAST_CLEAR:
        return unknown
    found: list[Speaker] = []
    for score, by_words in zip(scores, named, strict=True):
        by_voice: Speaker = "examiner" if score > 0 else "patient"
        needed = SURE if by_words in (by_voice, "unknown") else SURE_AGAINST_WORDS
        found.append(by_voice if abs(score) >= needed else "unknown")
    return found


def apart(scores: Floats, first: Floats, second: Floats) -> float:
    """How much of both speakers' own utterances the voices get right, 0.5 being chance."""
    right_first = (first * (scores > 0)).sum() / first.sum()
    right_second = (second * (scores < 0)).sum() / second.sum()
    return float((right_first + right_second) / 2)


def tell_speakers(
    utterances: Sequence[Utterance], samples: Samples, turns: Turns
) -> tuple[Utterance, ...]:
    """The utterances of one recording (mono, 16 kHz) with their speakers, as far as sure.

    An utterance in which the speaker surely changes at a pause is parted there.
    """
    parts = [part for utterance in utterances for part in _parts(utterance, samples)]
    named = name_by_words([part.text for part in parts], turns)
    sounds = [samples[part.start : part.end] for part in parts]
    speakers = name_by_voice(voiceprints(sounds), named)
    found: list[Utterance] = []
    for utterance in utterances:
        own = [
            (part, speaker)
            for part, speaker in zip(parts, speakers, strict=True)
            if part.of == utterance.index
        ]
        for speaker, begin_s, end_s in _stretches(utterance, own):
            piece = cut_utterance(utterance, begin_s, end_s)
            found.append(piece.model_copy(update={"index": len(found), "speaker": speaker}))
    return tuple(found)


@dataclass(frozen=True)
class _Part:
    """A stretch of an utterance between pauses: samples, words, and the utterance's number."""

    of: int
    start: int
    end: int
    text: str


def _parts(utterance: Utterance, samples: Samples) -> list[_Part]:
    """The stretches of an utterance between its inner pauses that hold words."""
    start, end = (int(t * SAMPLE_RATE) for t in (utterance.start_s, utterance.end_s))
    sound = samples[start:end]
    levels = frame_levels(sound)
    quiet = levels < np.percentile(levels, 90) - INNER_PAUSE_DB if len(levels) else levels > 0
    edges = np.flatnonzero(np.diff(np.concatenate(([False], quiet, [False])).astype(int)))
    cuts = [
        start + int((a + b) / 2) * FRAME
        for a, b in edges.reshape(-1, 2)
        if a > 0 and b < len(levels) and (b - a) * FRAME_S >= INNER_PAUSE_S
    ]
    parts: list[_Part] = []
    for begin, finish in pairwise([start, *cuts, end]):
        words = [w.text for w in utterance.words if begin <= _middle(w) < finish]
        if words or not parts:
            parts.append(_Part(utterance.index, begin, finish, " ".join(words)))
        else:  # nothing was heard in it: noise, or the end of a word
            parts[-1] = replace(parts[-1], end=finish)
    return parts


def _middle(word: Word) -> float:
    return (word.start_s + word.end_s) / 2 * SAMPLE_RATE


def _stretches(
    utterance: Utterance, own: Sequence[tuple[_Part, Speaker]]
) -> list[tuple[Speaker, float, float]]:
    """Speaker, begin and end in seconds of each stretch of an utterance by one speaker."""
    sure = [(part, speaker) for part, speaker in own if speaker != "unknown"]
    if not sure:
        return [("unknown", utterance.start_s, utterance.end_s)]
    made: list[tuple[Speaker, float]] = [(sure[0][1], utterance.start_s)]
    for part, speaker in sure[1:]:
        if speaker != made[-1][0]:
            made.append((speaker, part.start / SAMPLE_RATE))
    ends = [*(begin for _, begin in made[1:]), utterance.end_s]
    return [(speaker, begin, end) for (speaker, begin), end in zip(made, ends, strict=True)]


def cut_utterance(utterance: Utterance, begin_s: float, end_s: float) -> Utterance:
    """The part of an utterance between two times in seconds, its readings cut as well."""
    if begin_s <= utterance.start_s and end_s >= utterance.end_s:
        return utterance

    def inside(words: Sequence[Word]) -> tuple[Word, ...]:
        first, last = begin_s * SAMPLE_RATE, end_s * SAMPLE_RATE
        return tuple(word for word in words if first <= _middle(word) < last)

    readings = []
    for reading in utterance.readings:
        words = inside(reading.words)
        text = " ".join(word.text for word in words)
        readings.append(reading.model_copy(update={"words": words, "text": text}))
    return utterance.model_copy(
        update={
            "start_s": round(begin_s, 3),
            "end_s": round(end_s, 3),
            "words": inside(utterance.words),
            "readings": tuple(readings),
        }
    )
