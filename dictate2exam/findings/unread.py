"""Words that were heard, look like a finding and gave none: each is asked about once.

An item without its value, a value without its item, a denial of nothing known, a finding in words
that instruct or teach, a value said anew (said_anew.py), what was looked at or tapped
(passed_over.py), what only another listener heard (overheard.py), and what only the learnt reader
saw (by_evidence.py). Every candidate has a score, near the share of such candidates that hid a
finding; lexicon/phrases/unread.toml holds the weights and from where on it is asked.
"""

from collections.abc import Iterator, Sequence
from itertools import chain

from dictate2exam.findings.by_evidence import Evidence
from dictate2exam.findings.claims import Claim, Context
from dictate2exam.findings.examined import NEXT, Examined, doubt_in, is_free
from dictate2exam.findings.heard_numbers import HIGHEST_GRADE, HIGHEST_SCORE
from dictate2exam.findings.line import DENIABLE
from dictate2exam.findings.marks import MOTOR, Mark, Sentence
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.passed_over import passed_over
from dictate2exam.findings.places import allowed, opens
from dictate2exam.findings.said_anew import said_anew
from dictate2exam.findings.state import Doubtful, State, heard_text
from dictate2exam.findings.unanswered import unanswered
from dictate2exam.findings.unclaimed import unclaimed
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term
from dictate2exam.lexicon.unread import read_unread

# Places, levels and areas are named in every instruction, and sites of percussion with every place.
NAMED = MOTOR | {"sign", "posture", "reflex", "conduction"}
# What a value was said of is more than a name in passing.
VALUED = NAMED | {"percussion", "area", "level", "bulk", "pulse"}
DENIED = frozenset({"sign", "posture"})
PAST = frozenset({"history", "other_person"})
SUGGESTED = 3


def ask_unread(state: State, vocabulary: Vocabulary) -> None:
    """Asks about the candidates that are likely enough, about each item and place once."""
    least = read_unread(vocabulary.lexicon.folder).ask
    items: set[str] = set()
    places: dict[int, set[int]] = {}
    seen = _Search(state, vocabulary)
    evidence = Evidence(seen)
    state.doubts = [doubt for doubt in state.doubts if not evidence.gainsays(doubt)]
    for one in chain(seen.candidates(), evidence.questions()):
        if not one.marks or evidence.gainsays(one):
            continue
        index = one.marks[0].written.utterance.index
        tokens = {t for m in one.marks for t in range(m.start, m.end)}
        known = one.item in items if one.item else bool(tokens & places.get(index, set()))
        if one.score >= least and not known:
            items.add(one.item)
            places.setdefault(index, set()).update(tokens)
            state.doubts.append(one)


class _Search(Examined):
    """Looks for what may hide a finding."""

    def candidates(self) -> list[Doubtful]:
        """All that the rules hold for one, likely or not; what other listeners heard is first."""
        said = [mark for sentence in self.state.read for mark in sentence.marks]
        found = [*self.overheard(), *said_anew(self, said)]
        for sentence in self.state.read:
            if not sentence.marks:
                continue
            if sentence.marks[0].written.utterance.speaker != "patient":
                found += chain(self.items_of(sentence), self.values(sentence))
                found += chain(self.denials(sentence), passed_over(self, sentence))
            found += unclaimed(self, sentence)
        return [*found, *unanswered(self, self.state.read)]

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
                self.marks_of(one.utterance.index, one.words),
                rule="overheard_finding",
                score=round(one.score, 3),
            )

    def items_of(self, sentence: Sentence) -> Iterator[Doubtful]:
        """Items named without a value, and in words that instruct or teach also with one."""
        marks = sentence.marks
        valued = _holds_value(marks) and not any(map(self.gave, marks))
        named = VALUED if valued else NAMED
        for at, mark in enumerate(marks):
            term = mark.terms[0] if mark.terms else None
            if term is None or term.category not in named or term.is_group or self.gave(mark):
                continue
            item = self.item_of(term, mark)
            if not item or not self.is_new(term, item):
                continue
            if mark.scope or sentence.asked:
                yield self._in_passing(marks, at, term, item)
            else:
                yield self._without_value(marks, at, term, item, valued)

    def _without_value(
        self, marks: list[Mark], at: int, term: Term, item: str, valued: bool
    ) -> Doubtful:
        weights, mark = self.weights.item, marks[at]
        highest = HIGHEST_GRADE if term.category in MOTOR else HIGHEST_SCORE
        like, sounding, last = self.number_after(marks, at, highest)
        heard = self.others_of(item)
        near = marks[max(0, at - NEXT) : at + 1 + NEXT]
        evident = (
            like >= weights.like_number
            or any(self.strange(m) for m in marks[at + 1 : at + 2])
            or doubt_in(near) > weights.hardly
        )
        score = weights.muscle if term.category in MOTOR else weights.other
        score += weights.evidence * evident + weights.overheard * bool(heard)
        score += weights.valued * valued
        if not (opens(marks, at) or self.in_list(marks, at) or _valued_next(marks, at)):
            score -= weights.amid
        if at and marks[at - 1].text.split()[-1] in self.weights.determiners:
            score -= weights.determined
        score -= max(0.0, self.talk_in(marks) - weights.talk)
        later = [m.number.text for m in marks[at + 1 :] if m.number]
        values = dict.fromkeys((*heard, *sounding, *later))
        return Doubtful(
            "value",
            False,
            f'"{_said(marks[at : last + 1])}" was heard without a value: what is {term.label}?',
            item,
            self.side_at(mark),
            (*list(values)[:SUGGESTED], "reject"),
            [],
            tuple(marks[at : last + 1]),
            rule="item_without_value",
            score=_bounded(score),
        )

    def _in_passing(self, marks: list[Mark], at: int, term: Term, item: str) -> Doubtful:
        weights, mark = self.weights.passing, marks[at]
        after = [m for m in marks[at + 1 : at + 1 + NEXT] if not m.has("list.copula") or m.valued]
        beside = after[0] if after and after[0].valued and not self.gave(after[0]) else None
        denied = at > 0 and marks[at - 1].has("negation.before") and term.category in DENIABLE
        heard = self.others_of(item)
        score = weights.valued if beside or denied else weights.named
        score += weights.overheard * bool(heard)
        if any(m.has("pause") for m in marks):
            score -= weights.stops
        if mark.scope in PAST and not denied:
            score -= weights.past
        if mark.scope == "teaching" and any(m.has("list.copula") for m in marks[at + 1 : at + 2]):
            score -= weights.said_to_be
        if mark.reach == "itself":
            score -= weights.framed
        values = [*heard, *(["absent"] if denied else [])]
        if beside is not None:
            claim = Claim.of(beside)
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
            self.side_at(mark),
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
            if not mark.valued or mark.light or mark.scope or mark.predicates or self.gave(mark):
                continue
            if any(word.answer for word in mark.values) or self._counts(mark):
                continue
            start = at
            while start > 0 and is_free(marks[start - 1]):
                start -= 1
            if start > 0 and not (marks[start - 1].has("pause") or marks[start - 1].number):
                continue
            said = marks[start:at]
            while said and said[-1].has("list.copula"):
                said = said[:-1]
            if not said or len(said) > weights.longest or any(map(self.gave, said)):
                continue
            like, items = self.names_like(said, allowed(marks, at), mark)
            doubt = doubt_in(said)
            yield Doubtful(
                "unknown_term",
                False,
                f'"{_said(marks[start : at + 1])}": of what was that said?',
                "",
                self.side_at(mark),
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
            if not mark.has("negation.before") or mark.scope or self.gave(mark):
                continue
            said = marks[at + 1 : at + 1 + NEXT]
            ways = [said[:size] for size in range(1, len(said) + 1)]
            ways = [w for w in ways if all(map(is_free, w)) and any(map(self.strange, w))]
            if not ways:
                continue
            like, items, words = max(
                ((*self.names_like(way, DENIED, mark), way) for way in ways),
                key=lambda one: one[0],
            )
            if like < self.weights.denial.least or not items or items[0] in self.found:
                continue
            yield Doubtful(
                "unknown_term",
                False,
                f'"{_said([mark, *words])}": what was denied?',
                "",
                self.side_at(mark),
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


def _holds_value(marks: list[Mark]) -> bool:
    return any(m.valued and not (m.light or m.scope) for m in marks)


def _valued_next(marks: list[Mark], at: int) -> bool:
    return any(m.valued for m in marks[at + 1 : at + 2])


def _said(marks: Sequence[Mark]) -> str:
    return " ".join(heard_text(mark) for mark in marks)


def _bounded(score: float) -> float:
    return round(max(0.0, min(1.0, score)), 3)
