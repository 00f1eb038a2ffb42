"""Where a learnt reader saw a finding that the rules did not: each is asked about once.

The finder of evidence (evidence.py) says of each word how likely a finding was read from it, and
which value goes with which name. Asked about are names and values that gave nothing though they
look like evidence, and values that look replaced while nothing replaced them. That a name stands
in another finding already, with the same value or another, says mostly that it was repeated. And
where a rule raised a doubt of what is plain to the learnt reader, it is not asked.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from itertools import chain

from dictate2exam.findings.claims import Reading
from dictate2exam.findings.evidence import Seen, evidence_finder, stretches
from dictate2exam.findings.examined import Examined, doubt_in
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Doubtful, Draft
from dictate2exam.findings.word_kinds import Stream, Stretch
from dictate2exam.lexicon.terms import Term

NAMES = frozenset(
    {
        "muscle",
        "movement",
        "sign",
        "posture",
        "reflex",
        "place",
        "level",
        "area",
        "percussion",
        "bulk",
        "conduction",
        "pulse",
        "bare",
    }
)
VALUES = frozenset({"number", "value"})
# What is explained to others are signs more than grades.
GRADED = ("power.", "sensation.")
# So many words behind an unknown one stands the value that it may be the name of.
BEHIND = 8
# So many words on, a value replaces another.
REPLACING = 30
# Values and names farther apart than this are not of each other.
APART = 60
# So many marks before and behind are shown with a name or a value.
SHOWN = 3


class Evidence:
    """What the finder of evidence saw in a whole examination, beside what the rules read."""

    def __init__(self, search: Examined) -> None:
        self.search, self.vocabulary = search, search.vocabulary
        self.weights = search.weights.evidence
        stream = Stream(search.state.phrases, self.vocabulary)
        self._stretch, self.size = stream.stretch, len(stream.words)
        self.seen: Seen = evidence_finder().look(stream.words, stream.kinds)
        self.stretches = list(stretches(stream.kinds))
        self.start = {at: (s, e) for s, e, _ in self.stretches for at in range(s, e)}
        self.names = [(s, e) for s, e, kind in self.stretches if kind in NAMES]
        self._values = [(s, e) for s, e, kind in self.stretches if kind in VALUES]
        self.marks = {
            at: mark
            for marks in search.marks.values()
            for mark in marks
            if (stretch := self._stretch(mark))
            for at in range(*stretch)
        }
        self.standing = [d for d in search.state.drafts if not d.gone and d.marks]
        self.values_of: dict[str, set[str]] = {}
        for draft in self.standing:
            self.values_of.setdefault(draft.item, set()).add(draft.value)
        doubts = search.state.doubts
        drafts = chain(
            (d for d in search.state.drafts if not d.dropped), *(q.drafts for q in doubts)
        )
        self.read = self._places(chain(*(d.marks for d in drafts)))
        self.doubted = self._places(chain(*(q.marks for q in doubts)))
        self.doubted |= self._places(chain(*(d.marks for q in doubts for d in q.drafts)))

    def _places(self, marks: Iterator[Mark]) -> set[int]:
        return {at for m in marks if (stretch := self._stretch(m)) for at in range(*stretch)}

    def questions(self) -> Iterator[Doubtful]:
        """The questions that it raises, in the order of the words."""
        yield from self._unread()
        yield from self._replaced()

    def gainsays(self, doubt: Doubtful) -> bool:
        """Whether it knows better than a rule that raised a doubt: a value looks like none, that
        behind an unknown word was read of something else, a finding looks like one of today."""
        marks = doubt.marks
        if doubt.rule in ("other_day_or_person", "may_be_talk"):
            if any(mark.written.utterance.domain == "talk" for mark in marks):
                return False
            graded = doubt.item.startswith(GRADED)
            return graded and self._surest(marks) >= self.weights.of_today
        if doubt_in(marks) > self.search.weights.item.hardly:
            return False
        if doubt.rule == "value_without_item":
            return self._surest(marks) < self.weights.no_value
        if doubt.rule != "unknown_term" or not marks or not _typed(marks[-1]):
            return False
        unknown = self._stretch(marks[-1])
        end = unknown[1] if unknown else self.size
        value = next(iter(self._values[bisect_left(self._values, (end, 0)) :][:1]), None)
        return value is None or value[0] >= end + BEHIND or value[0] in self.read

    def _surest(self, marks: Sequence[Mark]) -> float:
        found = [self.seen.evidence(*s) for m in marks if (s := self._stretch(m))]
        return max(found, default=1.0)

    # -- what gave nothing ---------------------------------------------------------------

    def _unread(self) -> Iterator[Doubtful]:
        """Names and values that look like evidence and gave nothing."""
        taken = self.read | self.doubted
        for start, end, kind in self.stretches:
            mark = self.marks.get(start)
            if mark is None or not taken.isdisjoint(range(start, end)):
                continue
            sure = self.seen.evidence(start, end)
            if mark.scope not in ("", "question") and sure < self.weights.in_talk:
                continue
            if kind in NAMES:
                yield from self._name(mark, start, sure)
            elif mark.valued:
                yield from self._value(mark, (start, end), sure)

    def _name(self, mark: Mark, at: int, sure: float) -> Iterator[Doubtful]:
        value = self.start.get(self.seen.value_of(at))
        other = self.marks.get(value[0]) if value else None
        free = value is None or value[0] not in self.read
        term = mark.terms[0] if mark.terms else None
        reading = self._reading(term, other, mark) if term and other else None
        item = reading.item if reading else self.search.item_of(term, mark) if term else ""
        known = self.values_of.get(item, ())
        if item and reading and not known:
            if sure >= (self.weights.name if free else self.weights.name_of_read):
                yield self._asked(mark, other, item, reading.value)
        elif item and reading and free and reading.value not in known:
            if sure >= self.weights.name_again:
                yield self._asked(mark, other, item, reading.value)
        elif item and not reading and item not in self.search.found:
            if sure >= self.weights.name:
                yield self._asked(mark, None, item, "")
        elif not item and free and sure >= self.weights.name_again:
            yield self._asked(mark, other, "", "")

    def _value(self, mark: Mark, stretch: Stretch, sure: float) -> Iterator[Doubtful]:
        low = bisect_left(self.names, (stretch[0] - APART, 0))
        near = self.names[low : bisect_left(self.names, (stretch[0] + APART, 0))]
        odds = [self.seen.linked(name[0], *stretch) for name in near]
        if not odds or max(odds) < self.weights.linked:
            return
        name = near[odds.index(max(odds))]
        other = self.marks.get(name[0])
        term = other.terms[0] if other is not None and other.terms else None
        reading = self._reading(term, mark, mark) if term else None
        if reading is not None:
            if reading.item not in self.values_of and sure >= self.weights.value:
                yield self._asked(other or mark, mark, reading.item, reading.value)
        elif (
            name[0] not in self.read
            and sure >= self.weights.value_alone
            and not self._repeats(mark)
        ):
            yield self._asked(mark, other, "", "")

    def _reading(self, term: Term, value: Mark, place: Mark) -> Reading | None:
        """The item and value that a name has with a value; None where it has none."""
        reading = self.search.reading_of(term, value, place)
        return None if reading is None or reading.value == "?" else reading

    def _repeats(self, mark: Mark) -> bool:
        """Whether a number is that of the finding just before or after."""
        said = mark.number.text if mark.number else ""
        return bool(said) and any(d.value == said for d in self.search.around(mark, 1))

    def _asked(self, name: Mark, value: Mark | None, item: str, reads: str) -> Doubtful:
        marks = (name,) if value is None or value is name else (name, value)
        said = self._said(marks)
        if not item:
            question = f'"{said}": of what was that said?'
        else:
            label = self.vocabulary.lexicon.items[item].label
            question = (
                f'"{said}" was heard but not entered: is {label} {reads}?'
                if reads
                else f'"{said}" was heard but not entered: what is {label}?'
            )
        return Doubtful(
            "value" if item else "unknown_term",
            False,
            question,
            item,
            self.search.side_at(name),
            (*((reads,) if reads else ()), "reject"),
            [],
            marks,
            rule="evidence",
            score=self.weights.unread,
        )

    def _said(self, marks: Sequence[Mark]) -> str:
        """The words from the first to the last of the marks, with a few around one alone."""
        ordered = sorted(marks, key=lambda m: (m.written.utterance.index, m.start))
        first, last = ordered[0], ordered[-1]
        if first is last:
            here = self.search.marks[first.written.utterance.index]
            at = here.index(first)
            first, last = here[max(0, at - SHOWN)], here[min(len(here) - 1, at + SHOWN)]
        if first.written is last.written:
            return first.written.heard(first.start, last.end - 1).text
        return " … ".join(m.written.heard(m.start, m.end - 1).text for m in ordered)

    # -- what looks replaced -------------------------------------------------------------

    def _replaced(self) -> Iterator[Doubtful]:
        """Values that look replaced by one said behind them, though nothing replaced them."""
        last = {(d.item, d.side): d for d in self.standing}
        for draft in last.values():
            first = draft.marks[:2][-1]
            value = self._stretch(first)
            if value is None or not self.doubted.isdisjoint(range(*value)):
                continue
            if self.seen.replaced(*value) < self.weights.replaced:
                continue
            another = self._another(draft, value[1])
            if another is None:
                continue
            mark, reads = another
            said = self._said((first, mark))
            label = self.vocabulary.lexicon.items[draft.item].label
            yield Doubtful(
                "value",
                False,
                f'"{said}": which value of {label} stands?',
                draft.item,
                draft.side,
                (reads, draft.value),
                [draft],
                (mark,),
                rule="evidence",
                score=self.weights.unread,
            )

    def _another(self, draft: Draft, start: int) -> tuple[Mark, str] | None:
        """The next value of the same item that looks like one that stands."""
        low = bisect_left(self._values, (start, 0))
        for first, end in self._values[low : bisect_left(self._values, (start + REPLACING, 0))]:
            mark = self.marks.get(first)
            if mark is None or not mark.valued or first in self.read:
                continue
            if self.seen.evidence(first, end) < self.weights.value:
                continue
            reading = self._reading(draft.term, mark, draft.marks[0])
            if reading and reading.item == draft.item and reading.value != draft.value:
                return mark, reading.value
        return None


def _typed(mark: Mark) -> bool:
    """Whether nobody listened, so that a word is what it is."""
    return all(token.confidence is None for token in mark.written.tokens[mark.start : mark.end])
