"""Findings after one another on the arm that was examined less, of nothing that the other has.

An arm is looked at beside the hurt one for comparison, item by item; a run of items of which the
hurt arm has none hides a word that turned the examination: "out of ten against the right: C4 ...".
"""

from itertools import groupby

from dictate2exam.findings.examined import place_of
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Doubtful, Draft, State
from dictate2exam.units import Side

# On 267 scripts one run of so many was of the arm that it stood on, three of seven hands were not.
MANY = 4


def ask_lone_runs(state: State) -> list[Doubtful]:
    """One question over the findings of each such run."""
    standing = [d for d in state.drafts if d.marks and not d.gone and d.side in OPPOSITE]
    standing.sort(key=place_of)
    sides = [d.side for d in standing]
    main: Side = max(("left", "right"), key=sides.count)
    other = OPPOSITE[main]
    if sides.count(main) == sides.count(other):
        return []
    there = {d.item for d in standing if d.side == main}
    found = []
    for side, run in groupby(standing, key=lambda draft: draft.side):
        alone = [d for d in run if side == other and d.item not in there]
        if len(alone) >= MANY and not state.sides_asked(alone):
            found.append(_question(alone, main))
    return found


def _question(alone: list[Draft], main: Side) -> Doubtful:
    first, last = alone[0], alone[-1]
    return Doubtful(
        "side",
        True,
        f"{len(alone)} findings, from {first.term.label} to {last.term.label}, stand on the "
        f"{first.side} and none of them on the {main}: which side was examined?",
        first.item,
        first.side,
        (first.side, main),
        alone,
        tuple(first.marks),
        rule="lone_run",
    )
