"""Weights and thresholds of lexicon/phrases/unread.toml: when unread words are asked about."""

from functools import lru_cache
from pathlib import Path

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml, validated
from dictate2exam.units import Probability


class ItemAlone(Frozen):
    """Weights of an item without a value."""

    muscle: Probability
    other: Probability
    evidence: Probability
    valued: Probability
    overheard: Probability
    like_number: Probability
    hardly: Probability
    amid: Probability
    determined: Probability
    talk: Probability


class InPassing(Frozen):
    """Weights of a finding in words that instruct, ask or teach."""

    valued: Probability
    named: Probability
    overheard: Probability
    stops: Probability
    past: Probability
    framed: Probability
    said_to_be: Probability


class ValueAlone(Frozen):
    """Weights of a value without an item; `longest` in words."""

    like: Probability
    hardly: Probability
    longest: int


class DenialAlone(Frozen):
    """Likeness to a sign that what is denied must have."""

    least: Probability


class Unclaimed(Frozen):
    """Weights of numbers in a value's place that nothing claimed."""

    run: Probability
    named: Probability
    alone: Probability
    talk: Probability
    unsure: Probability


class Unanswered(Frozen):
    """Score of a place that was asked and whose answer was not understood; `before` in words."""

    score: Probability
    before: int


class PassedOver(Frozen):
    """Scores of a muscle named amid the looks of others, of a site named where one taps, and of a
    nerve's name with a result beside it."""

    looked_at: Probability
    tapped: Probability
    measured: Probability


class SaidAnew(Frozen):
    """Score of another value behind a finding and words that correct."""

    score: Probability


class Evidence(Frozen):
    """How sure the learnt reader must be: of a name whose value gave nothing (`name`) or gave a
    finding to another (`name_of_read`), of one that has another value or is unknown
    (`name_again`), of a value of a name (`value`), of one beside an unknown name (`value_alone`),
    of their being of each other (`linked`), of a value's being replaced, and at least where the
    rules hold the words for talk (`in_talk`). `unread` is the score of its questions.

    From `of_today` on a finding is of today, and below `no_value` a value is none: a rule's doubt
    of it is not asked.
    """

    unread: Probability
    name: Probability
    name_of_read: Probability
    name_again: Probability
    value: Probability
    value_alone: Probability
    linked: Probability
    replaced: Probability
    in_talk: Probability
    of_today: Probability
    no_value: Probability


class Unread(Frozen):
    """When words that look like a finding and gave none are asked about; `ask` is a score,
    `determiners` words that a name in a finding's place does not follow."""

    ask: Probability
    determiners: tuple[str, ...]
    item: ItemAlone
    passing: InPassing
    value: ValueAlone
    denial: DenialAlone
    unclaimed: Unclaimed
    unanswered: Unanswered
    passed_over: PassedOver
    said_anew: SaidAnew
    evidence: Evidence


@lru_cache(maxsize=4)
def read_unread(folder: Path) -> Unread:
    """Reads phrases/unread.toml; LexiconError names what is wrong in it."""
    file = "phrases/unread.toml"
    return validated(Unread, file, "of the whole file", read_toml(folder / file))
