"""An examination that one looks back on: which words gave something, which items were found."""

from bisect import bisect_left
from collections.abc import Sequence
from itertools import chain

from dictate2exam.findings.claims import Claim, Context, Reading, item_id, kinds_of
from dictate2exam.findings.fuzzy import likeness_for
from dictate2exam.findings.heard_numbers import number_sounds
from dictate2exam.findings.marks import MOTOR, Mark
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.overheard import overheard, words_of
from dictate2exam.findings.state import Draft, State
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term
from dictate2exam.lexicon.unread import read_unread
from dictate2exam.units import Side

# Marks looked at beside a name.
NEXT = 2


class Examined:
    """What was read of an examination, asked about mark by mark."""

    def __init__(self, state: State, vocabulary: Vocabulary) -> None:
        self.state, self.vocabulary = state, vocabulary
        self.likeness = likeness_for(vocabulary)
        self.weights = read_unread(vocabulary.lexicon.folder)
        self.used: dict[int, set[int]] = {}
        drafts, doubts = state.drafts, state.doubts
        for mark in chain(*(d.marks for d in drafts), *(d.marks for d in doubts)):
            here = self.used.setdefault(mark.written.utterance.index, set())
            here.update(range(mark.start, mark.end))
        self.found = {d.item for d in drafts} | {d.item for d in doubts}
        self.drafts = sorted((d for d in drafts if d.marks and not d.gone), key=place_of)
        self.places = [place_of(d) for d in self.drafts]
        self.others = overheard(state, self.found)
        self.marks: dict[int, list[Mark]] = {}
        for mark in chain.from_iterable(sentence.marks for sentence in state.read):
            self.marks.setdefault(mark.written.utterance.index, []).append(mark)

    def gave(self, mark: Mark) -> bool:
        """Whether a finding or a question came of the mark."""
        used = self.used.get(mark.written.utterance.index, set())
        return not used.isdisjoint(range(mark.start, mark.end))

    def before(self, mark: Mark) -> Draft | None:
        """The finding said last before a mark."""
        at = bisect_left(self.places, (mark.written.utterance.index, mark.start))
        return self.drafts[at - 1] if at else None

    def around(self, mark: Mark, count: int) -> list[Draft]:
        """The findings said last before and first after a mark, `count` of each."""
        at = bisect_left(self.places, (mark.written.utterance.index, mark.start))
        return self.drafts[max(0, at - count) : at + count]

    def side_at(self, mark: Mark) -> Side:
        before = self.before(mark)
        return before.side if before else "none"

    def item_of(self, term: Term, mark: Mark) -> str:
        """The item that the term is most likely to name there; empty where it has none."""
        before = self.before(mark)
        topic = before.item.partition(".")[0] if before else ""
        kinds = list(kinds_of(term, Context(), self.vocabulary))
        if topic in kinds and term.category not in MOTOR:
            kinds.insert(0, topic)
        found = (item_id(term, kind, self.vocabulary) for kind in kinds)
        return next((item for item in found if item), "")

    def item_with(self, term: Term, value: Mark) -> str:
        """The item of a term that a value is of; the likeliest where it is of none."""
        reading = self.reading_of(term, value, value)
        return reading.item if reading else self.item_of(term, value)

    def reading_of(self, term: Term, value: Mark, place: Mark) -> Reading | None:
        """What a term has with a value, where what was found before a place set the topic."""
        before = self.before(place)
        context = Context(topic=before.item.partition(".")[0] if before else "")
        return read_claim(term, Claim.of(value), context, self.vocabulary)

    def is_new(self, term: Term, item: str) -> bool:
        """Whether neither the term nor its whole, its group or its parts gave such an item."""
        kind = item.partition(".")[0]
        groups = self.vocabulary.groups_of.get(term.term_id, ())
        names = {term.term_id, *term.parts, *(group.term_id for group in groups)}
        return item not in self.found and not any(f"{kind}.{n}" in self.found for n in names)

    def others_of(self, item: str) -> list[str]:
        return [one.draft.value for one in self.others if one.draft.item == item]

    def strange(self, mark: Mark) -> bool:
        """A word that means nothing here and is no common one."""
        common = self.likeness.is_ordinary(mark.text) or mark.text in self.likeness.plain
        return is_free(mark) and not mark.roles - {"unknown"} and not common

    def talk_in(self, marks: Sequence[Mark]) -> float:
        """The share of words that are neither name, value nor hold speech together."""
        return sum(is_free(m) and not m.light for m in marks) / max(1, len(marks))

    def in_list(self, marks: list[Mark], at: int) -> bool:
        """Whether another name stands beside this one."""
        return any(
            next((m for m in way if not (m.light or m.has("pause"))), marks[at]).terms
            for way in (marks[at + 1 :], marks[:at][::-1])
            if any(not (m.light or m.has("pause")) for m in way)
        )

    def number_after(
        self, marks: list[Mark], at: int, highest: int
    ) -> tuple[float, list[str], int]:
        """How like a number the words after a name sound, the likeliest values, where they end.

        Common words count where they end what is said: "for the record" is no grade.
        """
        sounds = number_sounds(self.likeness)
        found: list[tuple[float, str, int]] = []
        for end in range(at + 1, min(at + 1 + NEXT, len(marks))):
            stretch = marks[at + 1 : end + 1]
            if not all(is_free(m) or (m.values and not self.gave(m)) for m in stretch):
                break
            closes = end + 1 == len(marks) or marks[end + 1].terms or marks[end + 1].has("pause")
            if not (closes or any(map(self.strange, stretch))):
                continue
            words = [word for m in stretch for word in m.text.split()]
            like, number = sounds.number(words, highest)
            if like >= self.weights.item.like_number:
                found.append((like, number.text, end))
        found.sort(reverse=True)
        if not found:
            return 0.0, [], at
        return found[0][0], [value for _, value, _ in found], found[0][2]

    def names_like(
        self, said: list[Mark], categories: frozenset[str], mark: Mark
    ) -> tuple[float, list[str]]:
        """The items whose names sound most like some words, and how like the first is."""
        ranked = self.likeness.rank(" ".join(m.text for m in said), categories)
        terms = [self.vocabulary.terms[form][0] for _, form in ranked]
        items = [self.item_with(term, mark) for term in terms if not term.is_group]
        return (ranked[0][0] if ranked else 0.0), list(dict.fromkeys(filter(None, items)))

    def marks_of(self, index: int, words: Sequence[int]) -> tuple[Mark, ...]:
        """The marks of an utterance that these words lie in; all of it where none does."""
        here = self.marks.get(index, [])
        wanted = set(words)
        found = [m for m in here if wanted & set(words_of(m))]
        return tuple(found or here)


def place_of(draft: Draft) -> tuple[int, int]:
    return min((m.written.utterance.index, m.start) for m in draft.marks)


def is_free(mark: Mark) -> bool:
    """A word that is no name, value, side or pause, and stands in no talk."""
    return not (mark.terms or mark.valued or mark.scope or mark.has("pause") or mark.has("side"))


def doubt_in(marks: Sequence[Mark]) -> float:
    """How doubtful the least surely heard word is, from 0 to 1; 0 where none was measured."""
    tokens = chain.from_iterable(m.written.tokens[m.start : m.end] for m in marks)
    sure = [token.confidence for token in tokens if token.confidence is not None]
    return 1 - min(sure, default=1.0)
