"""Words that were heard, look like a finding and gave none: each is asked about once.

An item without its value, a value without its item, a denial of nothing known, a finding in words
that instruct or teach, and what only another listener heard (overheard.py). Every candidate has a
score, near the share of such candidates that hid a finding; lexicon/phrases/unread.toml holds the
weights and from where on it is asked.
"""

from collections.abc import Iterator, Sequence
from itertools import chain

from dictate2exam.findings.claims import Claim, Context, item_id, kinds_of
from dictate2exam.findings.fuzzy import likeness_for
from dictate2exam.findings.heard_numbers import HIGHEST_GRADE, HIGHEST_SCORE, number_sounds
from dictate2exam.findings.line import DENIABLE
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.overheard import overheard
from dictate2exam.findings.places import allowed, opens
from dictate2exam.findings.state import Doubtful, Draft, State, heard_text
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term
from dictate2exam.lexicon.unread import read_unread
from dictate2exam.units import Side

# Places, levels and areas are named in every instruction, and sites of percussion with every place.
MOTOR = frozenset({"muscle", "movement"})
NAMED = MOTOR | {"sign", "posture", "reflex", "conduction"}
DENIED = frozenset({"sign", "posture"})
PAST = frozenset({"history", "other_person"})
NEXT = 2
SUGGESTED = 3


def ask_unread(state: State, vocabulary: Vocabulary) -> None:
    """Asks about the candidates that are likely enough, about each item and place once."""
    least = read_unread(vocabulary.lexicon.folder).ask
    items: set[str] = set()
    places: dict[int, set[int]] = {}
    for one in candidates(state, vocabulary):
        index = one.marks[0].written.utterance.index
        tokens = {t for m in one.marks for t in range(m.start, m.end)}
        known = one.item in items if one.item else bool(tokens & places.get(index, set()))
        if one.score >= least and not known:
            items.add(one.item)
            places.setdefault(index, set()).update(tokens)
            state.doubts.append(one)


def candidates(state: State, vocabulary: Vocabulary) -> list[Doubtful]:
    """Everything that may hide a finding, likely or not; what other listeners heard comes first."""
    seen = _Examination(state, vocabulary)
    found = list(seen.overheard())
    for sentence in state.read:
        if sentence.marks and sentence.marks[0].written.utterance.speaker != "patient":
            found += chain(seen.items_of(sentence), seen.values(sentence), seen.denials(sentence))
    return found


class _Examination:
    """An examination that one looks back on: which words gave something, which items were found."""

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
        self.drafts = sorted((d for d in state.drafts if d.marks and not d.gone), key=_place)
        self.others = overheard(state, self.found)

    # -- candidates ----------------------------------------------------------------------

    def overheard(self) -> Iterator[Doubtful]:
        """What only another listener heard."""
        for one in self.others:
            draft, said = one.draft, one.utterance.text
            yield Doubtful(
                "mishearing",
                False,
                f'"{said}" may have been "{one.heard}": is {draft.term.label} {draft.value}?',
                draft.item,
                draft.side,
                (draft.value, "reject"),
                [],
                self._marks_of(one.utterance.index, one.words),
                rule="overheard_finding",
                score=round(one.score, 3),
            )

    def items_of(self, sentence: Sentence) -> Iterator[Doubtful]:
        """Items named without a value, and in words that instruct or teach also with one."""
        marks = sentence.marks
        for at, mark in enumerate(marks):
            term = mark.terms[0] if mark.terms else None
            if term is None or term.category not in NAMED or term.is_group or self._gave(mark):
                continue
            item = self._item(term, mark)
            if not item or not self._is_new(term, item):
                continue
            if mark.scope or sentence.asked:
                yield self._in_passing(marks, at, term, item)
            else:
                yield self._without_value(marks, at, term, item)

    def _without_value(self, marks: list[Mark], at: int, term: Term, item: str) -> Doubtful:
        weights, mark = self.weights.item, marks[at]
        highest = HIGHEST_GRADE if term.category in MOTOR else HIGHEST_SCORE
        like, sounding, last = self._number_after(marks, at, highest)
        heard = self._others_of(item)
        near = marks[max(0, at - NEXT) : at + 1 + NEXT]
        evident = (
            like >= weights.like_number
            or any(self._strange(m) for m in marks[at + 1 : at + 2])
            or _doubt(near) > weights.hardly
        )
        score = weights.muscle if term.category in MOTOR else weights.other
        score += weights.evidence * evident + weights.overheard * bool(heard)
        if not (opens(marks, at) or self._in_list(marks, at) or _valued_next(marks, at)):
            score -= weights.amid
        if at and marks[at - 1].text.split()[-1] in self.weights.determiners:
            score -= weights.determined
        score -= max(0.0, self._talk(marks) - weights.talk)
        later = [f"{m.number.value}{m.number.sign}" for m in marks[at + 1 :] if m.number]
        values = dict.fromkeys((*heard, *sounding, *later))
        return Doubtful(
            "value",
            False,
            f'"{_said(marks[at : last + 1])}" was heard without a value: what is {term.label}?',
            item,
            self._side(mark),
            (*list(values)[:SUGGESTED], "reject"),
            [],
            tuple(marks[at : last + 1]),
            rule="item_without_value",
            score=_bounded(score),
        )

    def _in_passing(self, marks: list[Mark], at: int, term: Term, item: str) -> Doubtful:
        weights, mark = self.weights.passing, marks[at]
        after = [m for m in marks[at + 1 : at + 1 + NEXT] if not m.has("list.copula") or m.valued]
        beside = after[0] if after and after[0].valued and not self._gave(after[0]) else None
        denied = at > 0 and marks[at - 1].has("negation.before") and term.category in DENIABLE
        heard = self._others_of(item)
        score = weights.valued if beside or denied else weights.named
        score += weights.overheard * bool(heard)
        if any(m.has("pause") for m in marks):
            score -= weights.stops
        if mark.scope in PAST and not denied:
            score -= weights.past
        if mark.scope == "teaching" and any(m.has("list.copula") for m in marks[at + 1 : at + 2]):
            score -= weights.said_to_be
        values = [*heard, *(["absent"] if denied else [])]
        if beside is not None:
            claim = Claim(beside, beside.number, beside.values, beside.predicates)
            reading = read_claim(term, claim, Context(), self.vocabulary)
            if reading is not None and reading.value != "?":
                item = reading.item
                values.append(reading.value)
        before = marks[at - 1 : at] if denied else []
        said = _said([*before, mark, *(after[:1] if beside else [])])
        return Doubtful(
            "commentary",
            False,
            f'"{said}" stands in words that may be talk: is it a finding of {term.label}?',
            item,
            self._side(mark),
            (*list(dict.fromkeys(values))[:SUGGESTED], "reject"),
            [],
            (mark, *([beside] if beside else [])),
            rule="finding_in_passing",
            score=_bounded(score),
        )

    def values(self, sentence: Sentence) -> Iterator[Doubtful]:
        """Grades and scores that nothing claimed, after words that may have been a name."""
        marks, weights = sentence.marks, self.weights.value
        for at, mark in enumerate(marks):
            if not mark.valued or mark.light or mark.scope or mark.predicates or self._gave(mark):
                continue
            if any(word.answer for word in mark.values) or self._counts(mark):
                continue
            start = at
            while start > 0 and _is_free(marks[start - 1]):
                start -= 1
            if start > 0 and not (marks[start - 1].has("pause") or marks[start - 1].number):
                continue
            said = marks[start:at]
            while said and said[-1].has("list.copula"):
                said = said[:-1]
            if not said or len(said) > weights.longest or any(map(self._gave, said)):
                continue
            like, items = self._names_like(said, allowed(marks, at), mark)
            doubt = _doubt(said)
            yield Doubtful(
                "unknown_term",
                False,
                f'"{_said(marks[start : at + 1])}": of what was that said?',
                "",
                self._side(mark),
                (*items[:SUGGESTED], "reject"),
                [],
                tuple(said),
                rule="value_without_item",
                score=_bounded(weights.like * like + weights.hardly * doubt),
            )

    def denials(self, sentence: Sentence) -> Iterator[Doubtful]:
        """ "No calmness on either side": what is denied is no known sign."""
        marks = sentence.marks
        for at, mark in enumerate(marks):
            if not mark.has("negation.before") or mark.scope or self._gave(mark):
                continue
            said = marks[at + 1 : at + 1 + NEXT]
            ways = [said[:size] for size in range(1, len(said) + 1)]
            ways = [w for w in ways if all(map(_is_free, w)) and any(map(self._strange, w))]
            if not ways:
                continue
            like, items, words = max(
                ((*self._names_like(way, DENIED, mark), way) for way in ways),
                key=lambda one: one[0],
            )
            if like < self.weights.denial.least or not items or items[0] in self.found:
                continue
            yield Doubtful(
                "unknown_term",
                False,
                f'"{_said([mark, *words])}": what was denied?',
                "",
                self._side(mark),
                (*items[:SUGGESTED], "reject"),
                [],
                tuple(words),
                rule="denial_of_nothing",
                score=_bounded(like),
            )

    def _counts(self, mark: Mark) -> bool:
        """Whether a number is beyond all scales, or "one" that may stand for a thing."""
        number = mark.number
        if number is None:
            return False
        bare = not (number.sign or number.scale)
        return number.value > HIGHEST_SCORE or (number.value == 1 and bare)

    # -- looking around ------------------------------------------------------------------

    def _gave(self, mark: Mark) -> bool:
        """Whether a finding or a question came of the mark."""
        used = self.used.get(mark.written.utterance.index, set())
        return not used.isdisjoint(range(mark.start, mark.end))

    def _before(self, mark: Mark) -> Draft | None:
        """The finding said last before a mark."""
        here = (mark.written.utterance.index, mark.start)
        return next((d for d in reversed(self.drafts) if _place(d) < here), None)

    def _side(self, mark: Mark) -> Side:
        before = self._before(mark)
        return before.side if before else "none"

    def _item(self, term: Term, mark: Mark) -> str:
        """The item that the term is most likely to name there; empty where it has none."""
        before = self._before(mark)
        topic = before.item.partition(".")[0] if before else ""
        kinds = list(kinds_of(term, Context(), self.vocabulary))
        if topic in kinds and term.category not in MOTOR:
            kinds.insert(0, topic)
        found = (item_id(term, kind, self.vocabulary) for kind in kinds)
        return next((item for item in found if item), "")

    def _item_with(self, term: Term, value: Mark) -> str:
        """The item of a term that a value is of; the likeliest where it is of none."""
        before = self._before(value)
        context = Context(topic=before.item.partition(".")[0] if before else "")
        claim = Claim(value, value.number, value.values, value.predicates)
        reading = read_claim(term, claim, context, self.vocabulary)
        return reading.item if reading else self._item(term, value)

    def _is_new(self, term: Term, item: str) -> bool:
        """Whether neither the term nor its whole, its group or its parts gave such an item."""
        kind = item.partition(".")[0]
        groups = self.vocabulary.groups_of.get(term.term_id, ())
        names = {term.term_id, *term.parts, *(group.term_id for group in groups)}
        return item not in self.found and not any(f"{kind}.{n}" in self.found for n in names)

    def _others_of(self, item: str) -> list[str]:
        return [one.draft.value for one in self.others if one.draft.item == item]

    def _strange(self, mark: Mark) -> bool:
        """A word that means nothing here and is no common one."""
        common = self.likeness.is_ordinary(mark.text) or mark.text in self.likeness.plain
        return _is_free(mark) and not mark.roles - {"unknown"} and not common

    def _talk(self, marks: Sequence[Mark]) -> float:
        """The share of words that are neither name, value nor hold speech together."""
        return sum(_is_free(m) and not m.light for m in marks) / max(1, len(marks))

    def _in_list(self, marks: list[Mark], at: int) -> bool:
        """Whether another name stands beside this one."""
        return any(
            next((m for m in way if not (m.light or m.has("pause"))), marks[at]).terms
            for way in (marks[at + 1 :], marks[:at][::-1])
            if any(not (m.light or m.has("pause")) for m in way)
        )

    def _number_after(
        self, marks: list[Mark], at: int, highest: int
    ) -> tuple[float, list[str], int]:
        """How like a number the words after a name sound, the likeliest values, where they end.

        Common words count where they end what is said: "for the record" is no grade.
        """
        sounds = number_sounds(self.likeness)
        found: list[tuple[float, str, int]] = []
        for end in range(at + 1, min(at + 1 + NEXT, len(marks))):
            stretch = marks[at + 1 : end + 1]
            if not all(_is_free(m) or (m.values and not self._gave(m)) for m in stretch):
                break
            closes = end + 1 == len(marks) or marks[end + 1].terms or marks[end + 1].has("pause")
            if not (closes or any(map(self._strange, stretch))):
                continue
            words = [word for m in stretch for word in m.text.split()]
            like, number = sounds.number(words, highest)
            if like >= self.weights.item.like_number:
                found.append((like, f"{number.value}{number.sign}", end))
        found.sort(reverse=True)
        if not found:
            return 0.0, [], at
        return found[0][0], [value for _, value, _ in found], found[0][2]

    def _names_like(
        self, said: list[Mark], categories: frozenset[str], mark: Mark
    ) -> tuple[float, list[str]]:
        """The items whose names sound most like some words, and how like the first is."""
        ranked = self.likeness.rank(" ".join(m.text for m in said), categories)
        terms = [self.vocabulary.terms[form][0] for _, form in ranked]
        items = [self._item_with(term, mark) for term in terms if not term.is_group]
        return (ranked[0][0] if ranked else 0.0), list(dict.fromkeys(filter(None, items)))

    def _marks_of(self, index: int, words: Sequence[int]) -> tuple[Mark, ...]:
        """The marks of an utterance that these words lie in; all of it where none does."""
        here = [m for s in self.state.read for m in s.marks if m.written.utterance.index == index]
        wanted = set(words)
        found = [m for m in here if wanted & set(_words(m))]
        return tuple(found or here)


def _place(draft: Draft) -> tuple[int, int]:
    return min((m.written.utterance.index, m.start) for m in draft.marks)


def _words(mark: Mark) -> range:
    heard = mark.written.heard(mark.start, mark.end - 1)
    return range(heard.first_word, heard.last_word + 1)


def _is_free(mark: Mark) -> bool:
    """A word that is no name, value, side or pause, and stands in no talk."""
    return not (mark.terms or mark.valued or mark.scope or mark.has("pause") or mark.has("side"))


def _valued_next(marks: list[Mark], at: int) -> bool:
    return any(m.valued for m in marks[at + 1 : at + 2])


def _said(marks: Sequence[Mark]) -> str:
    return " ".join(heard_text(mark) for mark in marks)


def _doubt(marks: Sequence[Mark]) -> float:
    """How doubtful the least surely heard word is, from 0 to 1; 0 where none was measured."""
    tokens = chain.from_iterable(m.written.tokens[m.start : m.end] for m in marks)
    sure = [token.confidence for token in tokens if token.confidence is not None]
    return 1 - min(sure, default=1.0)


def _bounded(score: float) -> float:
    return round(max(0.0, min(1.0, score)), 3)
