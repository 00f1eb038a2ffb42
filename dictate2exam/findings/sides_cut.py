"""Words of side that a pause cut off: "the left hand | as ten", "winging right no | left | no".

Cut off, a side would head what follows, and all of that would stand on the wrong arm.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise

from dictate2exam.findings.vocabulary import Vocabulary

SIDES = frozenset({"left", "right"})
OTHER = frozenset({"other", "good", "healthy", "sound", "uninjured", "unaffected", "opposite"})
TENS = frozenset({"ten", "10"})
JOINS = frozenset({"and", "but"})
DENYING = frozenset({"no", "not", "without", "neither"})
NUMBER = re.compile(r"\d+[+-]?")
# "Side left" and "right hand" have so many words, and "present extensor", "four out of five".
MOST_OF_HAND = 2
MOST_OF_VALUE = 4
# So many utterances before "right" alone a value of the left makes it a side.
BACK = 3
# "Both there" has so many words, "big toes" and "plantar responses" as well.
MOST_OF_BOTH, MOST_OF_TOES = 2, 2
TOES = "plantar_extensor"

Cues = Mapping[str, Collection[str]]


def cut_sides(words: Sequence[list[str]], vocabulary: Vocabulary) -> set[int]:
    """Places of the utterances, given in words, that go on with the one before by side or value."""
    cues = vocabulary.phrases.cues
    found: set[int] = set()
    run: list[str] = []
    for at, head in enumerate(words):
        tail = words[at - 1] if at else []
        goes_on = bool(tail and head) and (
            _handedness(run, head, cues)
            or _scored(tail, head, cues)
            or _but(tail, head, vocabulary)
            or _answers(words, at, vocabulary)
            or _both(tail, head, vocabulary)
            or _toes(tail, run, head, vocabulary)
        )
        run = [*run, *head] if goes_on else head
        if goes_on:
            found.add(at)
    return found


def _handedness(said: list[str], head: list[str], cues: Cues) -> bool:
    """Whether a side alone answers a heading of handedness, or the word for it follows a side:
    "dominant | side | left", "right hand | dominant"."""
    handed, limbs = cues["not_side.handed"], cues["breath.limb"]
    last, before = said[-1], said[-2] if len(said) > 1 else ""
    if head[0] in handed:
        return last in SIDES or (last in limbs and before in SIDES)
    headed = last in handed or (last in limbs and before in handed)
    alone = all(word in SIDES or word in limbs for word in head) and len(head) <= MOST_OF_HAND
    return headed and alone and not SIDES & set(said)


def _scored(tail: list[str], head: list[str], cues: Cues) -> bool:
    """Whether the full score of a side that was named last follows: "the left hand | as ten"."""
    if head[0] not in cues["breath.scored"]:
        return False
    named = [word for word in tail if word not in cues["breath.limb"]][-1:]
    turned = bool(named) and named[0] in SIDES | OTHER
    told = next((word for word in head if word not in cues["reference.between"]), "ten")
    return turned and told in TENS


def _but(tail: list[str], head: list[str], vocabulary: Vocabulary) -> bool:
    """Whether "on the other hand" stands between a name and its value, so that it may only mean
    "but": "the profundus | on the other hand | came to four"."""
    if " ".join(head) not in vocabulary.phrases.cues["breath.contrast"]:
        return False
    return not _is_value(tail[-1], vocabulary)


def _answers(words: Sequence[list[str]], at: int, vocabulary: Vocabulary) -> bool:
    """Whether a value alone follows a side alone: "left | absent". "Right" alone may be a word of
    talk where no left was told before it."""
    cues = vocabulary.phrases.cues
    tail, head = words[at - 1], words[at]
    bound = cues["breath.determiner"], cues["breath.place"], cues["breath.limb"]
    sides = [word for word in tail if word in SIDES]
    if len(sides) != 1 or not all(
        word in SIDES or word in JOINS or any(word in one for one in bound) for word in tail
    ):
        return False
    before = [word for one in words[max(0, at - 1 - BACK) : at - 1] for word in one]
    told = any(one == "left" and _is_value(other, vocabulary) for one, other in pairwise(before))
    if tail == ["right"] and not told:
        return False
    if len(head) > MOST_OF_VALUE or head[0] in cues["not_side.after"]:
        return False
    return all(_is_value(word, vocabulary) for word in head)


def _both(tail: list[str], head: list[str], vocabulary: Vocabulary) -> bool:
    """Whether both sides are told behind what was found, or of a name: "negative | both sides",
    "radial pulses | both there"."""
    said, both = " ".join(head), vocabulary.phrases.cues["breath.both"]
    if any(said == phrase or said.startswith(f"{phrase} and ") for phrase in both):
        return _is_value(tail[-1], vocabulary) or bool(DENYING & set(tail))
    short = head[0] == "both" and len(head) <= MOST_OF_BOTH
    return short and _is_name(tail, vocabulary) and _is_value(head[-1], vocabulary)


def _toes(tail: list[str], run: list[str], head: list[str], vocabulary: Vocabulary) -> bool:
    """Whether it is told where the toes go: "plantars | down on both sides", "plantars | left
    up | right down"."""
    cues = vocabulary.phrases.cues
    if head[0] in SIDES and tail[0] in SIDES and run[0] not in SIDES:
        tail = run[: len(run) - len(tail)]
    toes = vocabulary.by_id[("sign", TOES)]
    named = toes in vocabulary.terms.get(vocabulary.form_of(" ".join(tail)), ())
    named = named or (tail[-1] in cues["toe.words"] and len(tail) <= MOST_OF_TOES)
    told = set(head) & set(cues["toe.goes"])
    return named and bool(told) and not SIDES & set(tail)


def _is_name(words: list[str], vocabulary: Vocabulary) -> bool:
    return vocabulary.form_of(" ".join(words)) in vocabulary.terms


def _is_value(word: str, vocabulary: Vocabulary) -> bool:
    """Whether a word is a grade, a score, a finding or an answer."""
    cues = vocabulary.phrases.cues
    if word in cues["answer.no"] or word in cues["answer.yes"] or word in cues["breath.sign"]:
        return True
    form = vocabulary.form_of(word)
    number = len(form) == 1 and NUMBER.fullmatch(form[0]) is not None
    return number or form in vocabulary.values
