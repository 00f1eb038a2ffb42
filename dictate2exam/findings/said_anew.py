"""A value said anew in words that nothing understood: "ADM, three. Again, please. It's two minus."

Behind a finding, words that correct and then another value of the same kind that gave nothing: the
first stands, and it is asked which was meant.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim, Context
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.state import Doubtful, Draft

if TYPE_CHECKING:
    from dictate2exam.findings.examined import Examined

CORRECTION = "correction."
# So many words further on it is no longer the same that is spoken of.
REACH = 30
# "I can't get at it at all, absent": behind what was not tested a value needs no correction.
UNTESTED, NEAR = "not_tested", 5
# Talk that is not of today.
EARLIER = "history"


def said_anew(search: Examined, marks: list[Mark]) -> Iterator[Doubtful]:
    """A question for each finding behind which another value was said; `marks` are all in order."""
    places = {id(mark): at for at, mark in enumerate(marks)}
    weighed = {
        id(draft)
        for doubt in search.state.doubts
        if doubt.kind in {"value", "mishearing"} and len(doubt.suggestions) > 1
        for draft in doubt.drafts
    }
    asked: set[int] = set()
    for draft in search.drafts:
        if id(draft) in weighed:
            continue
        ends = [places[id(mark)] for mark in draft.marks if id(mark) in places]
        if not ends:
            continue
        found = _another(search, marks, max(ends) + 1, draft)
        if found is None or found[1] in asked:
            continue
        first, last, value = found
        asked.add(last)
        said = _as_heard(marks[first : last + 1])
        label = search.vocabulary.lexicon.items[draft.item].label
        yield Doubtful(
            "value",
            False,
            f'After {label} {draft.value} "{said}" was heard: which value stands?',
            draft.item,
            draft.side,
            (value, draft.value),
            [draft],
            (marks[last],),
            rule="said_anew",
            score=search.weights.said_anew.score,
        )


def _as_heard(marks: list[Mark]) -> str:
    """The words of marks, of one utterance or several."""
    parts = groupby(marks, key=lambda mark: mark.written.utterance.index)
    stretches = [list(part) for _, part in parts]
    heard = [part[0].written.heard(part[0].start, part[-1].end - 1) for part in stretches]
    return " ".join(one.text for one in heard)


def _another(
    search: Examined, marks: list[Mark], start: int, draft: Draft
) -> tuple[int, int, str] | None:
    """Where the correcting words and the other value stand, and the value."""
    cue = -1
    for at in range(start, min(start + REACH, len(marks))):
        mark = marks[at]
        if mark.scope == EARLIER or (mark.terms and draft.term not in mark.terms):
            return None
        if any(role.startswith(CORRECTION) for role in mark.roles) and cue < 0:
            cue = at
        if not mark.valued or mark.light:
            continue
        if cue < 0 and draft.value == UNTESTED and at - start < NEAR:
            cue = start
        if search.gave(mark) or cue < 0:
            return None
        if mark.number is None and cue == at - 1:
            continue  # "wasting absent: no wasting" says the same again
        claim = Claim.of(mark)
        context = Context(topic=draft.item.partition(".")[0])
        reading = read_claim(draft.term, claim, context, search.vocabulary)
        if reading is None or reading.item != draft.item or reading.value in ("?", draft.value):
            continue
        return cue, at, reading.value
    return None
