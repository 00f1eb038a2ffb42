"""Utterances that a speaker cut in mid-sentence, joined before they are read.

A pause parts utterances wherever it falls: "it hurts at the | tip of the shoulder". Two are joined
where the first ends on a word that asks for more, or the second begins with one that only goes on.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from dictate2exam.findings.lists_cut import cut_lists
from dictate2exam.findings.marking import PAUSES, STOPS
from dictate2exam.findings.model import Extraction
from dictate2exam.findings.sides_cut import DENYING, SIDES, cut_sides
from dictate2exam.findings.values_cut import cut_values
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.provenance import Heard
from dictate2exam.speech.model import Reading, Utterance
from dictate2exam.text.model import Stopped

# Seconds; a longer pause ends a sentence whatever its words are (judgement).
LONGEST_PAUSE = 2.5
# A sentence that goes on and on is none: so many words are joined at most.
MOST_WORDS = 60
# "He was told at that time | that ...": so far back the verb of saying may stand.
REPORTED = 5
# Words of an opening that are looked at.
HEAD = 3
# A place alone ("in the right hand") has so many words at most.
MOST_OF_PLACE = 5
ALTERNATIVE = frozenset({"or", "nor"})
# Names that go on with a denial are so many words at most.
MOST_NAMES = 10


class Joined(Stopped):
    """Utterances read as one; `index` is that of the first of `parts`."""

    parts: tuple[Utterance, ...]


def join(utterances: Iterable[Utterance], vocabulary: Vocabulary) -> tuple[Utterance, ...]:
    """The utterances in order, those cut in mid-sentence joined."""
    made: list[list[Utterance]] = []
    said = tuple(utterances)
    bare = [u.text if is_bare(u) else "" for u in said]
    fillers = vocabulary.phrases.cues["breath.filler"]
    words = [[word for word in text.lower().split() if word not in fillers] for text in bare]
    cut = cut_lists(bare, vocabulary) | cut_values(words, vocabulary) | cut_sides(words, vocabulary)
    for place, utterance in enumerate(said):
        if made and _goes_on(
            made[-1], utterance, words[place - 1], words[place], vocabulary, place in cut
        ):
            made[-1].append(utterance)
        else:
            made.append([utterance])
    return tuple(parts[0] if len(parts) == 1 else as_one(parts) for parts in made)


def part(extraction: Extraction, utterances: Iterable[Utterance]) -> Extraction:
    """The extraction with every stretch given in the utterances as they were heard."""
    joined = {u.index: u for u in utterances if isinstance(u, Joined)}
    if not joined:
        return extraction

    def parted(heard: tuple[Heard, ...]) -> tuple[Heard, ...]:
        return tuple(h for one in heard for h in stretches(one, joined.get(one.utterance)))

    return extraction.model_copy(
        update={
            "findings": tuple(
                f.model_copy(update={"heard": parted(f.heard)}) for f in extraction.findings
            ),
            "questions": tuple(
                q.model_copy(update={"heard": parted(q.heard)}) for q in extraction.questions
            ),
        }
    )


def stretches(heard: Heard, joined: Joined | None) -> Iterable[Heard]:
    """A stretch of words as stretches of the utterances that were joined."""
    if joined is None:
        yield heard
        return
    start = 0
    for utterance in joined.parts:
        size = len(utterance.words)
        first, last = max(heard.first_word - start, 0), min(heard.last_word - start, size - 1)
        if first <= last:
            words = utterance.words[first : last + 1]
            yield Heard(
                utterance=utterance.index,
                first_word=first,
                last_word=last,
                start_s=words[0].start_s,
                end_s=words[-1].end_s,
                text=" ".join(word.text for word in words),
            )
        start += size


def is_bare(utterance: Utterance) -> bool:
    """Whether it is recognised speech, which has no stops, and no talk."""
    return not is_stopped(utterance) and utterance.domain != "talk"


def is_stopped(utterance: Utterance) -> bool:
    """Whether its words bring stops."""
    return any(c in STOPS | PAUSES for c in utterance.text)


def _goes_on(
    parts: list[Utterance],
    second: Utterance,
    tail: list[str],
    head: list[str],
    vocabulary: Vocabulary,
    cut: bool,
) -> bool:
    """Whether an utterance goes on with those before it, the last of which said `tail`; both are
    empty for talk and for what has stops."""
    first = parts[-1]
    if (
        not (tail and head)
        or first.speaker != second.speaker
        or first.domain != second.domain
        or second.start_s - first.end_s > LONGEST_PAUSE
        or sum(len(p.words) for p in parts) + len(second.words) > MOST_WORDS
    ):
        return False
    cues = vocabulary.phrases.cues
    digits = cues["breath.digit"]
    if cut or (head[0] in cues["breath.sign"] and tail[-1] in digits):
        return True
    if _is_letter(tail[-1]) and (_is_letter(head[0]) or head[0] in digits):
        return True
    last, opens = tail[-1], [" ".join(head[:size]) for size in range(1, HEAD + 1)]
    before = tail[-2] if len(tail) > 1 else ""
    if last in cues["breath.open_end"] or " ".join(tail[-2:]) in cues["breath.open_end"]:
        return True
    if last in cues["breath.open_copula"]:
        return before != "" and before not in cues["breath.short_answer"]
    if any(phrase in cues["breath.goes_on"] for phrase in opens):
        return True
    if head[0] in cues["breath.alone"] and len(head) == 1:
        return True
    if _more_denied(tail, head, cues):
        return True
    if head[0] in {"and", "but"} and len(head) > 1:
        return head[1] in cues["breath.verb"]
    if head[0] == "that":
        return any(word in cues["breath.reports"] for word in tail[-REPORTED:])
    determiners, places = cues["breath.determiner"], cues["breath.place"]
    if head[0] in places:
        return _places(tail, head, vocabulary)
    return last in places and head[0] in determiners


def _is_letter(word: str) -> bool:
    """Whether it is a letter of an abbreviation or a level: "f | d p"."""
    return len(word) == 1 and word not in {"a", "i"}


def _more_denied(tail: list[str], head: list[str], cues: Mapping[str, Collection[str]]) -> bool:
    """Whether names alone go on with a denial: "no wasting of deltoid | supraspinatus or teres"."""
    return (
        bool(ALTERNATIVE & set(head[1:]))
        and len(head) <= MOST_NAMES
        and bool(DENYING & set(tail))
        and not any(word in cues["breath.verb"] or word in DENYING for word in head)
    )


def _places(tail: list[str], head: list[str], vocabulary: Vocabulary) -> bool:
    """Whether a place or date at the head belongs to the clause before: "my fingers right | in
    the fossa", "he fell | in March", "normal | on the right and so is ..."."""
    cues = vocabulary.phrases.cues
    adrift = tail[-1] in SIDES and " ".join(tail[-2:-1]) not in cues["breath.determiner"]
    if adrift:
        return True
    if any(" ".join(head[1 : 1 + size]) in cues["breath.date"] for size in (1, 2)):
        return True
    side = next((i for i, word in enumerate(head[:HEAD]) if word in SIDES), None)
    if side is not None:
        beyond = [word for word in head[side + 1 :] if word not in cues["breath.limb"]]
        if beyond:
            return beyond[0] in cues["breath.side_then"]
    felt = any(word in cues["breath.felt"] for word in tail)  # it answers, and the next is asked
    return tail[0] in cues["breath.subject"] and len(head) <= MOST_OF_PLACE and not felt


def as_one(parts: Sequence[Utterance]) -> Joined:
    """The utterances as one, with every reading of all of them."""
    first = parts[0]
    readings = []
    for reading in first.readings:
        others = [r for p in parts[1:] for r in p.readings if r.listener == reading.listener]
        if len(others) != len(parts) - 1:
            continue  # a listener that did not hear all of it is not compared
        every = (reading, *others)
        readings.append(
            Reading(
                listener=reading.listener,
                text=" ".join(r.text for r in every if r.text),
                words=tuple(w for r in every for w in r.words)
                if all(r.words or not r.text for r in every)
                else (),
            )
        )
    looks, start = [], 0
    for one in parts:
        looks += [
            look.model_copy(
                update={
                    "first_word": look.first_word + start,
                    "last_word": look.last_word + start,
                }
            )
            for look in one.looks
        ]
        start += len(one.words)
    scores = [p.domain_score for p in parts if p.domain_score is not None]
    return Joined(
        index=first.index,
        start_s=first.start_s,
        end_s=parts[-1].end_s,
        speaker=first.speaker,
        words=tuple(word for p in parts for word in p.words),
        readings=tuple(readings),
        looks=tuple(looks),
        domain_score=min(scores) if scores else None,
        domain=first.domain,
        parts=tuple(parts),
    )
