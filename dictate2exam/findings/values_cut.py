"""Values and denials that a pause has cut off from their name: "clawing | none", "there was no |
scar", "the arm reflexes | were absent"."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from dictate2exam.findings.sides_cut import SIDES
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.text.numbers import is_number

# Categories whose name alone says something, or whose value is a word.
TOLD = frozenset({"sign", "posture", "percussion", "reflex", "pulse", "bulk", "conduction"})
SEEN = frozenset({"sign", "posture", "bulk"})
LONGEST = 6  # words of a name that are looked at
BEYOND = 3  # words between a name and the cut: a side, a place
DENIED = 4  # words before a name among which its denial stands


def cut_values(words: Sequence[list[str]], vocabulary: Vocabulary) -> set[int]:
    """Places of the utterances, given in words, that go on with the one before; talk and what has
    stops is given as nothing."""
    found: set[int] = set()
    before: list[str] = []  # what was said before the tail, its own cuts mended
    tail: list[str] = []
    for at, head in enumerate(words):
        if not tail or not head:
            before, tail = tail, head
            continue
        after = words[at + 1] if at + 1 < len(words) else []
        if (
            _scaled_on(tail, head, vocabulary)
            or _ranges_on(tail, head, vocabulary)
            or _denied_on(before, tail, head, after, vocabulary)
            or _answered(tail, head, after, vocabulary)
            or _told_on(tail, head, vocabulary)
        ):
            found.add(at)
            tail = [*tail, *head]
        else:
            before, tail = tail, head
    return found


def _scaled_on(tail: list[str], head: list[str], vocabulary: Vocabulary) -> bool:
    """Whether the scale of a grade follows it: "five | over five"."""
    over = head[0] in vocabulary.phrases.cues["breath.over"]
    numbers = (tail[-1], *head[1:2])
    return over and len(numbers) > 1 and all(_number(word, vocabulary) for word in numbers)


def _ranges_on(tail: list[str], head: list[str], vocabulary: Vocabulary) -> bool:
    """Whether the second end of a range follows: "from C5 to | T1"."""
    if tail[-1] != "to" or "from" not in tail[-BEYOND - DENIED :]:
        return False
    form = vocabulary.normaliser.words(" ".join(head[:2]))
    return any(term.category == "level" for term in vocabulary.terms.get(form[:1], ()))


def _number(word: str, vocabulary: Vocabulary) -> bool:
    form = vocabulary.form_of(word)
    return len(form) == 1 and is_number(form[0])


def _denied_on(
    before: list[str],
    tail: list[str],
    head: list[str],
    after: list[str],
    vocabulary: Vocabulary,
) -> bool:
    """Whether a denial at the end is of the name behind the cut, and answers none before it:
    "there was no | scar", not "ptosis no | miosis no"."""
    cues = vocabulary.phrases.cues
    alone = len(tail) == 1
    places = TOLD - {"percussion"}
    kinds = SEEN if alone else TOLD
    if tail[-1] not in cues["breath.denial"] or not _begins_with_name(head, vocabulary, kinds):
        return False
    if tail[-1] not in cues["breath.answer_no"]:
        return True
    ahead = tail[:-1] or before
    if ahead and _ends_on_name(ahead, vocabulary, places):
        return False
    if alone and any(word in cues["breath.asked_felt"] for word in before):
        return False
    # "No | winging | present" and "no | the pulse is present" answer what was asked before.
    valued = any(w in cues["breath.result"] and w not in cues["breath.answer_no"] for w in head)
    return not valued and not (
        after and _is_result(after, cues) and after[0] not in cues["breath.answer_no"]
    )


def _answered(tail: list[str], head: list[str], after: list[str], vocabulary: Vocabulary) -> bool:
    """Whether a bare value answers the name before the cut: "clawing | none"."""
    cues = vocabulary.phrases.cues
    asking = {*cues["breath.asks"], *cues["breath.asked_felt"]}
    if not _is_result(head, cues) or any(word in asking for word in tail):
        return False
    # "There's winging on the right | none | on the left"
    if SIDES & set(tail) and SIDES & set(after) and _only_side(after, cues):
        return False
    spoken = head[0] in cues["breath.answer_no"] or head[0] in cues["breath.answer_yes"]
    if spoken and len(head) == 1 and _only_muscle(tail, vocabulary):
        return True  # under a heading: "wasting | triceps | yes | deltoid | no"
    return _ends_on_name(tail, vocabulary, TOLD - {"percussion"} if spoken else TOLD)


def _only_muscle(words: list[str], vocabulary: Vocabulary) -> bool:
    terms = vocabulary.terms.get(vocabulary.normaliser.words(" ".join(words)), ())
    return any(term.category == "muscle" for term in terms)


def _only_side(words: list[str], cues: Mapping[str, Collection[str]]) -> bool:
    return all(word in cues["breath.with_result"] for word in words)


def _is_result(words: list[str], cues: Mapping[str, Collection[str]]) -> bool:
    """Whether an utterance is nothing but a value."""
    beside = cues["breath.with_result"]
    return words[0] in cues["breath.result"] and all(
        word in cues["breath.result"] or word in beside for word in words
    )


def _told_on(tail: list[str], head: list[str], vocabulary: Vocabulary) -> bool:
    """Whether a verb goes on with the name before the cut: "the arm reflexes | were absent"."""
    cues = vocabulary.phrases.cues
    if head[0] not in cues["breath.being"] or len(head) < 2:
        return False
    if head[1] in cues["breath.asked_of"] and head[1:] != ["there"]:
        return False
    return _ends_on_name(tail, vocabulary, frozenset())


def _begins_with_name(words: list[str], vocabulary: Vocabulary, kinds: frozenset[str]) -> bool:
    form = vocabulary.normaliser.words(" ".join(words[: LONGEST + 1]))
    for start in (0, 1):
        for end in range(len(form), start, -1):
            part = form[start:end]
            if part in vocabulary.predicates or _of_head(part, vocabulary):
                return True
            if any(term.category in kinds for term in vocabulary.terms.get(part, ())):
                return True
    return False


def _ends_on_name(words: list[str], vocabulary: Vocabulary, kinds: frozenset[str] = TOLD) -> bool:
    """Whether a name of one of the categories (any, where none is given) stands at the end and has
    no value yet, a side behind it or not."""
    form = vocabulary.normaliser.words(" ".join(words[-LONGEST - BEYOND - DENIED :]))
    cues = vocabulary.phrases.cues
    for end in range(len(form), max(0, len(form) - BEYOND - 1), -1):
        beyond = form[end:]
        if any(w in cues["breath.result"] or is_number(w.rstrip("+-")) for w in beyond):
            return False
        if not all(w in cues["breath.with_result"] for w in beyond):
            continue
        for start in range(max(0, end - LONGEST), end):
            part = form[start:end]
            named = any(not kinds or t.category in kinds for t in vocabulary.terms.get(part, ()))
            named = named or part in vocabulary.predicates or _of_head(part, vocabulary)
            if not named and "kind.wasting" not in vocabulary.cues.get(part, ()):
                continue
            lead = form[max(0, start - DENIED) : start]
            told = kinds and any(w in cues["breath.shown"] for w in lead)
            told = told or any(w in cues["breath.being"] for w in part)
            denied = any(w in cues["breath.denial"] or w in cues["breath.result"] for w in lead)
            return not (told or denied)
    return False


def _of_head(form: tuple[str, ...], vocabulary: Vocabulary) -> bool:
    """Whether a word names a sign by what is seen: "bruising"."""
    stays = vocabulary.phrases.cues["head_place.stays"]
    return len(form) == 1 and form[0] in stays and form[0] in vocabulary.heads
