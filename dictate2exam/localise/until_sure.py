"""How many items it takes until 90% is reached, in the order of a protocol and by information."""

from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.draw import Drawer, items_of
from dictate2exam.localise.engine import Engine, normalised
from dictate2exam.localise.model import Observation
from dictate2exam.localise.next_items import STUDIES, candidates, next_items
from dictate2exam.localise.tally import COVERED

Floats = npt.NDArray[np.float64]


class _Case:
    """One drawn arm of which everything can be examined; `order` is the protocol's."""

    def __init__(self, engine: Engine, found: list[Observation], order: list[str]) -> None:
        self._engine = engine
        self._found = {one.item: one for one in found}
        self.order = [item for item in order if item in self._found]

    def rows(self, items: list[str]) -> Floats:
        """The posterior of all rows after these items."""
        factors = self._engine.reader.factors([self._found[item] for item in items])
        return normalised(self._engine.log_weights(factors))

    def certainty(self, items: list[str]) -> tuple[float, float]:
        """Probability of the leading site, and of the leading group of sites."""
        return _certainty(self._engine, self.rows(items))

    def of(self, more: list[str]) -> list[str]:
        """The protocol's items and these, as far as they were drawn."""
        return [*self.order, *(item for item in more if item in self._found)]


def _certainty(engine: Engine, rows: Floats) -> tuple[float, float]:
    sites = engine.by_site(rows)
    groups = np.bincount(engine.groups[0], weights=sites)
    return float(sites.max()), float(groups.max())


def _in_order(case: _Case) -> Iterator[tuple[float, float]]:
    for count in range(len(case.order) + 1):
        yield case.certainty(case.order[:count])


def _by_information(engine: Engine, lexicon: Lexicon, case: _Case) -> Iterator[tuple[float, float]]:
    asked: list[str] = []
    while True:
        rows = case.rows(asked)
        yield _certainty(engine, rows)
        rest = [item for item in case.order if item not in asked]
        if not rest:
            return
        ranked = next_items(engine, lexicon, asked, rows, only=set(rest))
        asked.append(ranked[0].item if ranked else rest[0])


def _reached(steps: Iterator[tuple[float, float]]) -> list[int | None]:
    """Items after which the leading site, and the leading group, first hold 90%."""
    reached: list[int | None] = [None, None]
    for count, certainty in enumerate(steps):
        for at, chance in enumerate(certainty):
            if reached[at] is None and chance >= COVERED:
                reached[at] = count
        if None not in reached:
            break
    return reached


def until_sure(engine: Engine, lexicon: Lexicon, seed: int, cases: int) -> dict[str, Any]:
    """Items of the full protocol until 90%, for sites and for groups of sites, and what bounds it.

    The medians are over the cases that reach 90% in both orders; the bound is the certainty after
    the whole protocol, after everything that the bedside offers, and with every study of the model.
    """
    order = items_of(lexicon, "full")
    not_graded = engine.tables.model["next_items"]["not_graded"]
    more = candidates(lexicon, order, not_graded)
    studies = candidates(lexicon, order, not_graded, STUDIES)
    drawer = Drawer(engine, lexicon, seed)
    fixed, chosen, whole, most, beyond = [], [], [], [], []
    for _ in range(cases):
        drawn = drawer.draw([*order, *more, *studies], missing=0.0)
        case = _Case(engine, drawn.observations, order)
        fixed.append(_reached(_in_order(case)))
        chosen.append(_reached(_by_information(engine, lexicon, case)))
        whole.append(case.certainty(case.order))
        most.append(case.certainty(case.of(more)))
        beyond.append(case.certainty(case.of([*more, *studies])))
    return {
        name: {
            "cases": cases,
            **_compared([one[at] for one in fixed], [one[at] for one in chosen]),
            "certainty_after_the_protocol": _spread([one[at] for one in whole]),
            "certainty_after_the_whole_bedside": _spread([one[at] for one in most]),
            "certainty_after_studies_too": _spread([one[at] for one in beyond]),
        }
        for at, name in enumerate(("sites", "groups_of_sites"))
    }


def _compared(fixed: list[int | None], chosen: list[int | None]) -> dict[str, Any]:
    both = [(a, b) for a, b in zip(fixed, chosen, strict=True) if a is not None and b is not None]
    firsts = [a for a, _ in both]
    seconds = [b for _, b in both]
    return {
        "reached_in_order": sum(one is not None for one in fixed),
        "reached_by_information": sum(one is not None for one in chosen),
        "median_items_in_order": float(np.median(firsts)) if both else None,
        "median_items_by_information": float(np.median(seconds)) if both else None,
    }


def _spread(chances: list[float]) -> dict[str, float]:
    held = np.array(chances)
    return {
        "median": round(float(np.median(held)), 3),
        "share_at_90_percent": round(float((held >= COVERED).mean()), 3),
    }
