"""Grades, scores and levels that were heard as other words, found by their sounds."""

from functools import cached_property, lru_cache

from dictate2exam.findings.fuzzy import Likeness
from dictate2exam.findings.marking import PAUSES, STOPS
from dictate2exam.findings.marks import Mark, Number
from dictate2exam.findings.state import State
from dictate2exam.speech.phonetic import SoundTable

HIGHEST_GRADE, HIGHEST_SCORE = 5, 10
LEVELS = ("c3", "c4", "c5", "c6", "c7", "c8", "t1", "t2")
# Words and sounds with which a level may begin.
STARTS = ("c", "s", "t")
LONGEST_LEVEL, LONGEST_GRADE = 3, 3
# Likeness by sound that a number or level must have; a number less like than SURE is asked about.
LIKE, SURE, ORDINARY = 0.78, 0.9, 0.88
NEAR = 0.06
TO_THE = ("to", "the")


class NumberSounds:
    """The sounds of levels, grades and scores."""

    def __init__(self, likeness: Likeness) -> None:
        self.likeness = likeness
        self.numbers = [Number(value) for value in range(HIGHEST_SCORE + 1)]
        self.numbers += [Number(value, sign) for value in range(2, HIGHEST_GRADE) for sign in "+-"]
        self.numbers.append(Number(HIGHEST_GRADE, "-"))

    @cached_property
    def _levels(self) -> SoundTable:
        return SoundTable(self.likeness.phonetics, [(name[0], name[1:]) for name in LEVELS])

    @cached_property
    def _numbers(self) -> SoundTable:
        signs = {"+": ("plus",), "-": ("minus",), "": ()}
        said = [(str(number.value), *signs[number.sign]) for number in self.numbers]
        return SoundTable(self.likeness.phonetics, said)

    def level(self, words: list[str]) -> list[tuple[float, str]]:
        """Levels by likeness, best first."""
        found = self._levels.likeness(words)
        return sorted(zip(map(float, found), LEVELS, strict=True), reverse=True)

    def number(self, words: list[str], highest: int) -> tuple[float, Number]:
        """The number most like the words, of those up to the highest."""
        found = self._numbers.likeness(words)
        fitting = [at for at, number in enumerate(self.numbers) if number.value <= highest]
        best = max(fitting, key=lambda at: float(found[at]))
        return float(found[best]), self.numbers[best]


@lru_cache(maxsize=4)
def number_sounds(likeness: Likeness) -> NumberSounds:
    """The sounds of numbers that go with a likeness, made once."""
    return NumberSounds(likeness)


def mend_levels(marks: list[Mark], sounds: NumberSounds, state: State) -> None:
    """ "c fine five" and "seaford ten" among dermatomes are C5 and C4."""
    here = any(m.terms and m.terms[0].category == "level" for m in marks)
    scored = here or "sensation" in {state.context.kind, state.context.topic}
    letters = sounds.likeness.vocabulary.phrases.numbers.letters
    at = 0
    while at < len(marks):
        mark = marks[at]
        letter = any(mark.text in ways for ways in letters.values())
        if (letter or (scored and _strange(mark, sounds))) and mark.text.startswith(STARTS):
            _mend_level(marks, at, sounds)
        at += 1


def _mend_level(marks: list[Mark], at: int, sounds: NumberSounds) -> None:
    vocabulary = sounds.likeness.vocabulary
    best: tuple[float, int, list[tuple[float, str]]] | None = None
    for end in range(at + 1, min(len(marks), at + LONGEST_LEVEL) + 1):
        last = marks[end - 1]
        if last.terms or last.scope or last.has("pause"):
            break
        if not _scored_next(marks, end):
            continue
        ranked = sounds.level([word for m in marks[at:end] for word in m.text.split()])
        if ranked[0][0] >= LIKE and (best is None or ranked[0][0] > best[0]):
            best = (ranked[0][0], end, ranked)
    if best is None:
        return
    score, end, ranked = best
    rivals = [name for other, name in ranked[1:] if score - other < NEAR]
    marks[at:end] = [
        Mark(
            marks[at].start,
            marks[end - 1].end,
            ranked[0][1],
            marks[at].written,
            terms=(vocabulary.by_id["level", ranked[0][1]],),
            likeness=round(score, 3),
            rivals=tuple(vocabulary.by_id["level", name] for name in rivals),
        )
    ]


def _scored_next(marks: list[Mark], end: int) -> bool:
    """Whether a score follows, or another level in a list."""
    for mark in marks[end : end + 3]:
        if mark.number or mark.values:
            return True
        if mark.terms and mark.terms[0].category == "level":
            return True
        if not (mark.has("list.copula") or mark.has("list.join") or mark.has("pause")):
            return False
    return False


def mend_grades(marks: list[Mark], sounds: NumberSounds) -> None:
    """ "biceps for a plot" is biceps four plus, where a grade must stand; what is less sure is
    asked about."""
    for at, mark in enumerate(marks):
        if not mark.terms or mark.terms[0].category not in {"muscle", "movement", "level"}:
            continue
        start = at + 1
        while start < len(marks) and (marks[start].has("list.copula") or marks[start].has("side")):
            start += 1
        end = start
        while end < len(marks) and end - start < LONGEST_GRADE and not _ends(marks, end):
            end += 1
        stretch = marks[start:end]
        if not _ends(marks, end) or not all(_free(m) for m in stretch):
            continue
        if _leads_on(marks, start, end):
            continue
        opening = _opens(marks, at) and len(stretch) > 1
        if not (opening or any(_strange(m, sounds) for m in stretch)):
            continue
        highest = HIGHEST_SCORE if mark.terms[0].category == "level" else HIGHEST_GRADE
        text = " ".join(m.text for m in stretch)
        score, number = sounds.number(text.split(), highest)
        ordinary = sounds.likeness.is_ordinary(text) and not opening
        if score < (ORDINARY if ordinary else LIKE):
            continue
        first = stretch[0]
        first.number, first.end = number, stretch[-1].end
        first.likeness = round(score, 3)
        first.roles = frozenset({"guess"} if score >= SURE else {"guess", "doubted"})
        first.scope = mark.scope
        del marks[start + 1 : end]


def _leads_on(marks: list[Mark], start: int, end: int) -> bool:
    """Whether "to the" leads on to a finger, or in written speech to another name: "superficialis
    to the middle finger", "brachialis to the finger flexors"."""
    after = marks[end] if end < len(marks) else None
    if end - start != len(TO_THE) or after is None or not after.terms:
        return False
    if tuple(m.text for m in marks[start:end]) != TO_THE:
        return False
    written = any(t.text in PAUSES | STOPS for t in after.written.tokens)
    return written or after.terms[0].category in {"place", "area"}


def _opens(marks: list[Mark], at: int) -> bool:
    """Whether a term stands first, or after a value, a side or another term."""
    for mark in reversed(marks[:at]):
        if mark.number or mark.terms or mark.has("side") or mark.has("pause"):
            return True
        if mark.text != "and":
            return False
    return True


def _strange(mark: Mark, sounds: NumberSounds) -> bool:
    """A word that means nothing here and is not among the commonest of talk."""
    return _free(mark) and not mark.roles and mark.text not in sounds.likeness.plain


def _free(mark: Mark) -> bool:
    return not (mark.terms or mark.valued or mark.scope or mark.has("pause") or mark.has("side"))


def _ends(marks: list[Mark], at: int) -> bool:
    """Whether a grade said here would be the last word about what it belongs to."""
    if at >= len(marks) or marks[at].has("pause") or marks[at].terms:
        return True
    follows = marks[at + 1] if at + 1 < len(marks) else None
    return marks[at].text in {"and", "but"} and follows is not None and bool(follows.terms)
