"""Two plain ways to find a site, to measure against: a list of rules, and the nearest pattern."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.files import read_csv
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.engine import Engine
from dictate2exam.localise.infer import is_deficit
from dictate2exam.localise.model import Observation

# How much must be lost before a pattern counts a muscle or skin area as affected.
AFFECTED = 0.3


class Rules:
    """The textbook patterns: the first whose weak, spared and numb items all fit."""

    def __init__(self, lexicon: Lexicon) -> None:
        columns = ("site_id", "weak", "spared", "numb", "sources")
        rows = read_csv(lexicon.folder / "likelihoods" / "textbook_patterns.csv", columns)
        self._rules = [
            (
                row["site_id"],
                {f"power.{name}" for name in row["weak"].split()}
                | {f"sensation.{name}" for name in row["numb"].split()},
                {f"power.{name}" for name in row["spared"].split()},
            )
            for row in rows
        ]

    def ranked(self, observations: Sequence[Observation]) -> list[str]:
        """Sites from the best fitting rule down."""
        affected = {o.item for o in observations if is_deficit(o)}
        healthy = {o.item for o in observations} - affected
        if not affected:
            return ["none"]
        scores = []
        for at, (site, weak, spared) in enumerate(self._rules):
            tested = (weak | spared) & (affected | healthy)
            fitting = len(weak & affected) + len(spared & healthy)
            extra = sum(item.startswith("power.") for item in affected - weak)
            share = fitting / len(tested) if tested else 0.0
            scores.append((-share + 0.02 * extra, -fitting, at, site))
        return [site for *_, site in sorted(scores)]


class NearestPattern:
    """The site whose complete lesion predicts affected and spared items most like those found."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        first: dict[int, int] = {}
        for at, made in enumerate(engine.hypotheses.configurations):
            first.setdefault(made.site, at)
        self._rows = np.array([first[site] for site in range(len(engine.sites))])
        self._pattern: npt.NDArray[np.bool_] = engine.forward.means[self._rows] < 1 - AFFECTED

    def ranked(self, observations: Sequence[Observation]) -> list[tuple[str, int]]:
        """Sites with the number of items that fit otherwise, fewest first."""
        columns, found = [], []
        for observed in observations:
            about = self._engine.reader.about(observed.item, observed.scale, observed.value)
            if about[0] and about[1] in {"power", "ten", "reflex"}:
                columns.append(self._engine.forward.column[about[0]])
                found.append(is_deficit(observed))
        wrong = (self._pattern[:, columns] != np.array(found, dtype=bool)).sum(axis=1)
        order = np.argsort(wrong, kind="stable")
        return [(self._engine.sites[int(n)].site_id, int(wrong[n])) for n in order]
