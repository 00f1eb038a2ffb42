"""Finds the term meant where a recogniser wrote something else in a term's place."""

from dictate2exam.findings.fuzzy import Likeness, likeness_for
from dictate2exam.findings.letters import ask_letters
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.ordinary import stands_for_itself
from dictate2exam.findings.scopes import FIRM
from dictate2exam.findings.soundalikes import grades_given_first, mend_names, mend_numbers
from dictate2exam.findings.state import Doubtful, State, heard_text
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term
from dictate2exam.speech.model import Speaker

LONGEST = 6
SHORT = 8
PASSED_OVER = FIRM | {"instruction", "counting"}
FINGERS = frozenset({"index", "little", "middle", "ring", "thumb"})


def mend(sentence: Sentence, state: State, vocabulary: Vocabulary, speaker: Speaker) -> bool:
    """Turns stretches that stand where a term must stand into the terms meant; True if any."""
    mend_numbers(sentence.marks, vocabulary)
    if speaker == "patient":
        return False
    mend_names(sentence.marks, vocabulary)
    grades_given_first(sentence.marks)
    ask_letters(sentence.marks, state, vocabulary)
    likeness = likeness_for(vocabulary)
    marks = sentence.marks
    known = sum(1 for mark in marks if mark.terms)
    at = 0
    while at < len(marks):
        mark = marks[at]
        if (
            mark.scope not in FIRM
            and _finger(mark, state)
            and (_part_of_last(marks, at, state, vocabulary))
        ):
            at += 1
            continue
        if mark.scope in PASSED_OVER or not _is_strange(mark, likeness):
            at += 1
            continue
        end = at
        while end < len(marks) and end - at < LONGEST and _is_strange(marks[end], likeness):
            end += 1
        if _part_of_last(marks, at, state, vocabulary):
            at += 1
            continue
        first, last = _widest(marks, at, end)
        at = _try(sentence, first, last, at, end, state, vocabulary, likeness)
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
    return first, last


def _swallowed(mark: Mark) -> bool:
    return (
        not mark.has("pause")
        and not mark.has("side")
        and not mark.has("negation")
        and not mark.number
        and mark.text[:1].isalpha()
        and mark.scope not in PASSED_OVER
        and mark.end - mark.start == 1
        and not mark.terms
    ) or (bool(mark.terms) and mark.end - mark.start == 1 and len(mark.text) <= 6)


def _try(
    sentence: Sentence,
    first: int,
    last: int,
    at: int,
    end: int,
    state: State,
    vocabulary: Vocabulary,
    likeness: Likeness,
) -> int:
    """Replaces the best window around the strange words; returns where to go on."""
    marks, doubt = sentence.marks, vocabulary.phrases.doubt
    best: tuple[float, int, int, list[tuple[float, tuple[str, ...]]]] | None = None
    for low in range(first, end):
        for high in range(max(low + 1, at + 1), last + 1):
            if high <= at or low >= end or high - low > LONGEST:
                continue
            text = " ".join(m.text for m in marks[low:high])
            if len(text) < 4:
                continue
            ranked = likeness.rank(text)
            if not ranked:
                continue
            score = ranked[0][0]
            if low > at or high < end:
                score -= 0.15 * (max(0, low - at) + max(0, end - high))
            if best is None or score > best[0] + 1e-9:
                best = (score, low, high, ranked)
    if best is None:
        return end
    score, low, high, ranked = best
    before = marks[at - 1] if at else None
    if before is not None and before.terms and end - at == 1:
        joined = likeness.rank(f"{before.text} {marks[at].text}")
        if (
            joined
            and " ".join(joined[0][1]) != before.text
            and joined[0][0] >= doubt.accept - doubt.margin
            and (vocabulary.terms[joined[0][1]] == before.terms)
        ):
            before.end = marks[at].end
            before.likeness = min(before.likeness, round(joined[0][0], 3))
            del marks[at]
            return at
    placed = _in_place(marks, low, high)
    needed = doubt.accept if placed else doubt.accept + doubt.unplaced
    if all(m.text in likeness.words for m in marks[low:high]):
        needed = max(needed, doubt.whole_words)
    if sum(len(m.text) for m in marks[low:high]) < SHORT:
        needed += doubt.short
    top = vocabulary.terms[ranked[0][1]]
    if score >= needed and not stands_for_itself(marks, low, high, top[0], vocabulary):
        rivals = []
        for other, form in ranked[1:]:
            terms = vocabulary.terms[form]
            if ranked[0][0] - other < doubt.margin and terms[0] != top[0]:
                rivals.append(terms[0])
        unique = list(dict.fromkeys((r.category, r.term_id) for r in rivals))
        marks[low:high] = [
            Mark(
                marks[low].start,
                marks[high - 1].end,
                " ".join(ranked[0][1]),
                marks[low].written,
                roles=frozenset(),
                terms=top,
                likeness=round(score, 3),
                scope=marks[at].scope,
                reach=marks[at].reach,
                rivals=tuple(vocabulary.by_id[key] for key in unique),
            )
        ]
        return low + 1
    if placed and not marks[at].scope and _graded_next(marks, end) and _opens(marks, at):
        _ask_unknown(marks, at, end, ranked, score, state, vocabulary)
        for mark in marks[at:end]:
            mark.roles = mark.roles | {"unknown"}
    return end


def _in_place(marks: list[Mark], low: int, high: int) -> bool:
    """Whether a term may stand here: before a value, or after one that says "in" or "of"."""
    for mark in marks[high:]:
        if mark.valued or mark.has("homophone") or mark.predicates:
            return True
        if mark.terms:
            return True
        if not (mark.light or mark.has("pause") or mark.has("side") or mark.has("kind")):
            break
    for mark in reversed(marks[:low]):
        if mark.valued or mark.terms or mark.has("negation"):
            return True
        if not (mark.light or mark.has("pause") or mark.has("side")):
            return False
    return low == 0 and high == len(marks)


def _graded_next(marks: list[Mark], end: int) -> bool:
    """Whether a grade follows directly: only then is a strange word an unknown term."""
    for mark in marks[end : end + 3]:
        if mark.number:
            return True
        if not (mark.has("list.copula") or mark.text in {"muscle", "muscles", "reflex"}):
            return False
    return False


def _ask_unknown(
    marks: list[Mark],
    at: int,
    end: int,
    ranked: list[tuple[float, tuple[str, ...]]],
    score: float,
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
        )
    )
    state.open = []


def _opens(marks: list[Mark], at: int) -> bool:
    """Whether the strange words stand where a term begins: first, or after a pause or value."""
    before = marks[at - 1] if at else None
    return (
        before is None
        or before.has("pause")
        or bool(before.number)
        or before.text in {"and", "the", "then"}
        or before.has("side")
    )


def _part_of_last(marks: list[Mark], at: int, state: State, vocabulary: Vocabulary) -> bool:
    """ "anterior zero" after "deltoid": words that name a part of what was named before."""
    recent = [s.mark for s in (*state.last_subjects, *state.open)][-3:]
    recent += [m for m in marks[:at] if m.terms][-2:]
    for size in (3, 2, 1):
        window = marks[at : at + size]
        after = marks[at + size] if at + size < len(marks) else None
        if len(window) < size or after is None or not (after.valued or after.light):
            continue
        if any(m.has("pause") or m.has("side") for m in window):
            continue
        if any(m.terms and m.terms[0].category not in {"place", "area"} for m in window):
            continue
        words = tuple(word for m in window for word in m.text.split())
        for other in reversed(recent):
            if not other.terms or other.terms[0].category != "muscle":
                continue
            found = _with(words, tuple(other.text.split()), other, vocabulary)
            if found:
                text, terms = found
                first = window[0]
                first.terms, first.roles, first.number = terms, frozenset(), None
                first.values = ()
                first.text, first.end = text, window[-1].end
                del marks[at + 1 : at + size]
                return True
    return False


def _with(
    words: tuple[str, ...], form: tuple[str, ...], other: Mark, vocabulary: Vocabulary
) -> tuple[str, tuple[Term, ...]] | None:
    """The term that the words make together with what was named before."""
    shorts = [form]
    for term in (*other.terms[:1], *vocabulary.groups_of.get(other.terms[0].term_id, ())):
        shorts += [vocabulary.normaliser.words(said) for said in term.spoken[:4]]
    for short in shorts:
        tries = ((*words, *short), (*short, *words), (*short[:-1], *words), (*words, *short[1:]))
        for candidate in tries:
            found = vocabulary.terms.get(candidate)
            if found and found != other.terms and len(candidate) > len(words):
                return " ".join(candidate), found[:1]
    return None


def _finger(mark: Mark, state: State) -> bool:
    """Whether a finger or ordinal may name a part of the muscle just graded ("FDP ... little")."""
    if not state.last_subjects and not state.open:
        return False
    last = (state.open or state.last_subjects)[-1]
    if last.term.category != "muscle":
        return False
    first = mark.text.split()[0]
    return first in FINGERS or first in {"first", "third"}
