"""Lists that a pause cut: "pectoralis major | latissimus, biceps and triceps are five".

A name that was left without its value belongs to the list that follows, where that is one by its
own words: it joins names, or its verb stands for several. "Deltoid | biceps five" stays apart,
since the grade of the deltoid may not have been heard.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dictate2exam.findings.forms import Form, Forms
from dictate2exam.findings.vocabulary import Vocabulary

# Utterances of nothing but names that may lie between the first name and the list's value.
MOST_BETWEEN = 3
LONGEST = 4  # words of a name on either side of a cut
LIGHT = frozenset({"list", "list.light", "part", "part_noun", "part_after", "kind"})
JOINS = frozenset({"and", "or", "nor"})


@dataclass(frozen=True)
class Names:
    """Where names stand among the words of one utterance, and what else there is."""

    tokens: Form
    places: tuple[tuple[int, int], ...]
    light: frozenset[int]
    valued: int
    parts: frozenset[int] = frozenset()
    verbs: frozenset[int] = frozenset()
    headings: frozenset[int] = frozenset()

    @property
    def only(self) -> bool:
        """Whether there is nothing but names and the words between them."""
        return bool(self.places) and self.valued < 0 and len(self.tokens) == self._covered

    @property
    def idle(self) -> bool:
        """Whether it only goes on with what was named: "both heads"."""
        return bool(self.tokens) and len(self.light) == len(self.tokens)

    @property
    def opens(self) -> bool:
        """Whether a name is the first thing said."""
        return bool(self.places) and all(at in self.light for at in range(self.places[0][0]))

    @property
    def ends(self) -> bool:
        """Whether a name is the last thing said but for light words, and has no value yet."""
        last = self.places[-1][1] if self.places else 0
        return last > 0 and self.valued < 0 and set(range(last, len(self.tokens))) <= self.light

    @property
    def _covered(self) -> int:
        return len(self.light) + sum(end - start for start, end in self.places)


def reach(said: Sequence[Names], plural: frozenset[str]) -> int:
    """How many utterances after the first hold the list that its last name belongs to."""
    if not said[0].ends:
        return 0
    if len(said) > 1 and said[1].tokens and 0 in said[1].parts | said[1].verbs:
        return 1  # a part of what was named, or its verb
    for at, one in enumerate(said[1:], start=1):
        if one.idle:
            continue
        if not one.opens:
            return 0
        if one.valued >= 0 or any(token in JOINS for token in one.tokens):
            return at if (one.valued >= 0 or one.only) and _is_list(one, plural) else 0
        if not one.only:
            return 0
    return 0


def spans(tail: Form, head: Form, names: Forms) -> bool:
    """Whether a name lies across the cut that is none on both sides: "the lower | lateral arm"."""
    both = (*tail[-LONGEST:], *head[:LONGEST])
    cut = len(tail[-LONGEST:])
    return any(
        start < cut < end and not (_whole(both[start:cut], names) and _whole(both[cut:end], names))
        for start, end in names.everywhere(both)
    )


def _whole(part: Form, names: Forms) -> bool:
    return (0, len(part)) in names.everywhere(part)


def _is_list(one: Names, plural: frozenset[str]) -> bool:
    """Whether the names before the value are joined, or its verb stands for several."""
    ahead = one.tokens[: one.valued] if one.valued >= 0 else one.tokens
    names = [place for place in one.places if one.valued < 0 or place[0] < one.valued]
    joined = len(names) > 1 and any(token in JOINS for token in ahead[names[0][1] : names[-1][0]])
    return joined or (len(names) > 1 and any(token in plural for token in ahead))


def cut_lists(texts: Sequence[str], vocabulary: Vocabulary) -> set[int]:
    """Places of the texts that go on with a list or a name begun in the one before."""
    plural = frozenset(vocabulary.phrases.cues["breath.plural"])
    said = [_names_in(text, vocabulary) for text in texts]
    found: set[int] = set()
    for at in range(len(said) - 1):
        size = reach(said[at : at + MOST_BETWEEN + 2], plural)
        found.update(range(at + 1, at + 1 + size))
        heading = 0 in said[at + 1].headings  # "the back of the arm | reflexes"
        if not heading and spans(said[at].tokens, said[at + 1].tokens, vocabulary.term_forms):
            found.add(at + 1)
    return found


def _names_in(text: str, vocabulary: Vocabulary) -> Names:
    tokens = vocabulary.normaliser.words(text)
    places = tuple((at, at + size) for at, size in vocabulary.listed_forms.longest(tokens))
    inside = {at for start, end in places for at in range(start, end)}
    roles = [vocabulary.cues.get((token,), frozenset()) for token in tokens]
    light = frozenset(at for at, role in enumerate(roles) if at not in inside and role & LIGHT)
    found = [at for at, _ in vocabulary.value_forms.longest(tokens) if at not in inside]
    found += [at for at, token in enumerate(tokens) if token[0].isdigit() and at not in inside]
    return Names(
        tokens,
        places,
        light,
        min(found, default=-1),
        frozenset(at for at, role in enumerate(roles) if "part" in role and at not in inside),
        frozenset(at for at, role in enumerate(roles) if "list.copula" in role),
        frozenset(at for at, role in enumerate(roles) if "kind" in role),
    )
