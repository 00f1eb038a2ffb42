"""Finds the term meant where a recogniser wrote something else in a term's place."""

from dataclasses import dataclass

from dictate2exam.findings.fuzzy import Likeness, Ranked, likeness_for, stem
from dictate2exam.findings.heard_numbers import (
    HIGHEST_SCORE,
    mend_grades,
    mend_levels,
    number_sounds,
)
from dictate2exam.findings.letters import ask_letters
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.ordinary import stands_for_itself
from dictate2exam.findings.parts import may_be_finger, part_of_last
from dictate2exam.findings.places import allowed, graded_next, in_place, opens
from dictate2exam.findings.reach import FIRM
from dictate2exam.findings.soundalikes import (
    grades_given_first,
    mend_denials,
    mend_names,
    mend_numbers,
    weigh_twins,
)
from dictate2exam.findings.state import Doubtful, State, heard_text
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.speech.model import Speaker

LONGEST = 6
SHORT = 8
SHORTEST_HEARD = 3
MOST_JOINED = 3
# A term of so few letters may have been a piece of a longer one ("radial").
LIGHT = 6
# Likeness lost for each strange word that a window leaves out.
LEFT_OUT = 0.15
PASSED_OVER = FIRM | {"instruction", "counting"}


def mend(sentence: Sentence, state: State, vocabulary: Vocabulary, speaker: Speaker) -> bool:
    """Turns stretches that stand where a term must stand into the terms meant; True if any."""
    mend_numbers(sentence.marks, state, vocabulary)
    if speaker == "patient":
        return False
    mend_names(sentence.marks, vocabulary)
    mend_denials(sentence.marks, state)
    weigh_twins(sentence.marks, vocabulary)
    grades_given_first(sentence.marks)
    ask_letters(sentence.marks, state, vocabulary)
    likeness = likeness_for(vocabulary)
    sounds = number_sounds(likeness)
    mend_levels(sentence.marks, sounds, state)
    mend_grades(sentence.marks, sounds)
    marks = sentence.marks
    known = sum(1 for mark in marks if mark.terms)
    at = 0
    while at < len(marks):
        mark = marks[at]
        if (
            mark.scope not in FIRM
            and may_be_finger(mark, state)
            and (part_of_last(marks, at, state, vocabulary))
        ):
            at += 1
            continue
        if mark.scope in PASSED_OVER or not _is_strange(mark, likeness):
            at += 1
            continue
        end = at
        while end < len(marks) and end - at < LONGEST and _is_strange(marks[end], likeness):
            end += 1
        if part_of_last(marks, at, state, vocabulary):
            at += 1
            continue
        first, last = _widest(marks, at, end)
        at = _try(sentence, first, last, at, end, state, likeness)
        marks = sentence.marks
    return sum(1 for mark in marks if mark.terms) != known


def _is_strange(mark: Mark, likeness: Likeness) -> bool:
    """A word that means nothing here: no role, no value, no common word of talk."""
    return (
        not (mark.terms or mark.valued or mark.scope in FIRM)
        and (not mark.roles or mark.roles == {"homophone"})
        and mark.text[:1].isalpha()
        and len(mark.text) > 2
        and "'" not in mark.text
        and mark.text not in likeness.plain
    )


def _widest(marks: list[Mark], at: int, end: int) -> tuple[int, int]:
    """The stretch with the light words around it that a split term may have swallowed."""
    first, last = at, end
    while first > 0 and end - first < LONGEST and _swallowed(marks[first - 1]):
        first -= 1
    while last < len(marks) and last - at < LONGEST and _swallowed(marks[last]):
        last += 1
    if last < len(marks) and _is_muscle(marks[last]):
        last += 1
    return first, last


def _is_muscle(mark: Mark) -> bool:
    return bool(mark.terms) and mark.terms[0].category == "muscle"


def _is_filler(mark: Mark) -> bool:
    return _swallowed(mark) and not mark.terms


def _swallowed(mark: Mark) -> bool:
    return (
        not mark.has("pause")
        and not mark.has("side")
        and not mark.has("hurt")
        and not mark.has("negation")
        and not mark.number
        and mark.text[:1].isalpha()
        and mark.scope not in PASSED_OVER
        and mark.end - mark.start == 1
        and not mark.terms
    ) or (bool(mark.terms) and mark.end - mark.start == 1 and len(mark.text) <= LIGHT)


@dataclass
class Window:
    """A stretch of marks and the terms that it may have been, likeliest first."""

    low: int
    high: int
    ranked: Ranked
    score: float
    needed: float


# Sentences for which a place that was named is still spoken of.
PLACED = 1


def _try(
    sentence: Sentence, first: int, last: int, at: int, end: int, state: State, likeness: Likeness
) -> int:
    """Replaces the best window around the strange words; returns where to go on."""
    marks, vocabulary = sentence.marks, likeness.vocabulary
    placed = in_place(marks, at, end) or in_place(marks, first, last)
    if not placed and not likeness.is_near("".join(m.text for m in marks[at:end])):
        return end
    best: Window | None = None
    for low in range(first, end):
        for high in range(max(low + 1, at + 1), last + 1):
            if high - low > LONGEST:
                continue
            window = _weigh(marks, low, high, (at, end), likeness)
            if window and (best is None or _gain(window) > _gain(best)):
                best = window
    if best is None:
        return end
    if _continues(marks, at, end, likeness):
        return at
    if best.score >= best.needed:
        _replace(marks, best, at, likeness)
        return best.low + 1
    if _names_a_sign(marks, at, end, state, vocabulary):
        return end
    if _must_be_a_term(marks, best, (at, end), likeness):
        state.open = []
        if best.ranked[0][0] >= _least_to_ask(marks[at:end], likeness):
            _ask_unknown(marks, at, end, best.ranked, state, vocabulary)
        for mark in marks[at:end]:
            mark.roles = mark.roles | {"unknown"}
    return end


def _names_a_sign(
    marks: list[Mark], at: int, end: int, state: State, vocabulary: Vocabulary
) -> bool:
    """Whether a word tells what a part of the body looks like that was named here or just before:
    "above the clavicle, the bruise has gone"."""
    near = set(state.place_signs) if state.sentence - state.place_since <= PLACED else set()
    for mark in marks:
        for word in mark.text.split():
            near |= vocabulary.places.get(word, frozenset())
    return any(near & vocabulary.heads.get(m.text, frozenset()) for m in marks[at:end])


def _least_to_ask(strange: list[Mark], likeness: Likeness) -> float:
    """How like a term words in a term's place must be to be asked about; a single ordinary word
    was mostly meant as it was said ("the skin's fine")."""
    doubt = likeness.vocabulary.phrases.doubt
    ordinary = len(strange) == 1 and likeness.is_ordinary(strange[0].text.removesuffix("'s"))
    return doubt.suggest_ordinary if ordinary else 0.0


def _must_be_a_term(
    marks: list[Mark], best: Window, strange: tuple[int, int], likeness: Likeness
) -> bool:
    """Whether a term must have stood here: a grade follows, or a value and a term is near."""
    at, end = strange
    doubt = likeness.vocabulary.phrases.doubt
    if marks[at].scope or _held_at(marks, end):
        return False
    if not (opens(marks, at) or opens(marks, best.low)):
        return graded_next(marks, best.high) and best.score >= doubt.suggest_unplaced
    if graded_next(marks, end):
        return True
    if graded_next(marks, best.high):
        return best.score >= doubt.suggest
    return best.score >= doubt.suggest_unplaced and bool(allowed(marks, best.high))


def _held_at(marks: list[Mark], end: int) -> bool:
    """ "Shoulder at ninety" tells how the arm was held."""
    ahead = next((m for m in marks[end : end + 2] if m.number), None)
    return ahead is not None and ahead.number is not None and ahead.number.value > HIGHEST_SCORE


def _gain(window: Window) -> tuple[bool, float]:
    return window.score >= window.needed, round(window.score - window.needed, 6)


def _weigh(
    marks: list[Mark], low: int, high: int, strange: tuple[int, int], likeness: Likeness
) -> Window | None:
    """What a window may have been, and how like that it must be here to be believed."""
    at, end = strange
    stretch = marks[low:high]
    text = " ".join(m.text for m in stretch)
    if len(text) < SHORTEST_HEARD:
        return None
    ranked = likeness.rank(text, allowed(marks, high))
    named = {stem(word) for m in stretch for word in m.text.split() if likeness.is_certain(word)}
    ranked = [(score, form) for score, form in ranked if all(n in "".join(form) for n in named)]
    if not ranked:
        return None
    score = ranked[0][0]
    if low > at or high < end:
        score -= LEFT_OUT * (max(0, low - at) + max(0, end - high))
    doubt = likeness.vocabulary.phrases.doubt
    graded = graded_next(marks, high) and opens(marks, low)
    needed = doubt.graded if graded else doubt.accept
    if not in_place(marks, low, high):
        needed += doubt.unplaced
    if all(m.text in likeness.words for m in stretch):
        needed = max(needed, doubt.whole_words)
    elif likeness.is_ordinary(text):
        needed += doubt.ordinary if high - low == 1 else doubt.ordinary_several
    if not graded and sum(len(m.text) for m in stretch) < SHORT:
        needed += doubt.short
    top = likeness.vocabulary.terms[ranked[0][1]][0]
    itself = stands_for_itself(marks, low, high, top, likeness.vocabulary)
    if itself and not (graded and high - low > 1 and score >= needed):
        return None
    return Window(low, high, ranked, score, needed)


def _continues(marks: list[Mark], at: int, end: int, likeness: Likeness) -> bool:
    """Joins strange words to the term before it where both together are that term."""
    start = at - 1
    while start > 0 and at - start < MOST_JOINED and _is_filler(marks[start]):
        start -= 1
    if start < 0 or not marks[start].terms or end - start > LONGEST:
        return False
    before = marks[start]
    vocabulary = likeness.vocabulary
    doubt = vocabulary.phrases.doubt
    joined = likeness.rank(" ".join(m.text for m in marks[start:end]))
    if (
        not joined
        or " ".join(joined[0][1]) == before.text
        or joined[0][0] < doubt.accept - doubt.margin
        or vocabulary.terms[joined[0][1]] != before.terms
    ):
        return False
    before.end = marks[end - 1].end
    before.likeness = min(before.likeness, round(joined[0][0], 3))
    del marks[start + 1 : end]
    return True


def _replace(marks: list[Mark], window: Window, at: int, likeness: Likeness) -> None:
    """Puts the term in the window's place, with the rivals that come near."""
    vocabulary = likeness.vocabulary
    low, high, ranked = window.low, window.high, window.ranked
    top = vocabulary.terms[ranked[0][1]]
    least = ranked[0][0] - vocabulary.phrases.doubt.margin
    rivals = [vocabulary.terms[form][0] for score, form in ranked[1:] if score > least]
    unique = list(dict.fromkeys((r.category, r.term_id) for r in rivals if r != top[0]))
    lead = next((ranked[0][0] - s for s, f in ranked[1:] if vocabulary.terms[f][0] != top[0]), 1.0)
    marks[low:high] = [
        Mark(
            marks[low].start,
            marks[high - 1].end,
            " ".join(ranked[0][1]),
            marks[low].written,
            terms=top,
            likeness=round(window.score, 3),
            scope=marks[at].scope,
            reach=marks[at].reach,
            rivals=tuple(vocabulary.by_id[key] for key in unique),
            rivalry=round(1 - lead, 3),
        )
    ]


def _ask_unknown(
    marks: list[Mark],
    at: int,
    end: int,
    ranked: Ranked,
    state: State,
    vocabulary: Vocabulary,
) -> None:
    doubt = vocabulary.phrases.doubt
    names = []
    for other, form in ranked:
        if other >= doubt.suggest:
            names.append(vocabulary.terms[form][0].label)
    words = (
        heard_text(marks[at]) if end - at == 1 else " ".join(heard_text(m) for m in marks[at:end])
    )
    state.doubts.append(
        Doubtful(
            "unknown_term",
            False,
            f'"{words}" was followed by a value, but it is no known term: what was meant?',
            "",
            "none",
            tuple(dict.fromkeys(names))[: doubt.max_suggestions],
            [],
            tuple(marks[at:end]),
            rule="unknown_term",
            score=round(max(0.0, min(1.0, ranked[0][0])), 3),
        )
    )
