"""What each finding says about each row, and what is taken to be independent of what.

Independence assumptions, all of them:
1. Given the row (configuration of loss and arrangement of roots), targets are independent of one
   another: what the published range leaves open in one muscle's shares says nothing about the next
   muscle's. The arrangement of roots carries the part of that doubt that muscles share.
2. Findings on one target (power, contraction, wasting, reflex, needle; touch and pin) are
   independent given what survives of that target, over which they are summed together.
3. A movement, a level or a whole is a target of its own: given the row it is independent of the
   muscles in it. Grading both counts their common noise twice.
4. The components of Horner's syndrome are independent given that the outflow to the eye is
   interrupted or not; upper motor neurone signs are independent given that the cord is injured or
   not; both hidden facts are summed out.
5. Every other sign is independent of everything else given the row.
6. An examiner's errors are independent from finding to finding; a small share of findings is
   plainly wrong, whatever the truth.
7. What was not tested, or is uncertain, is silent: whether a thing is tested does not depend on
   what would be found.
"""

from collections.abc import Collection
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from dictate2exam.localise.cells import MODES, cell_masses
from dictate2exam.localise.forward import Forward

Floats = npt.NDArray[np.float64]
Rows = npt.NDArray[np.int64]
# Numbers of findings; None for all of them.
Among = Collection[int] | None
MASSES: Floats = cell_masses()


@dataclass
class Target:
    """All findings on one target: `parts` are (finding number, likelihood of each cell)."""

    column: int
    parts: list[tuple[int, Floats]] = field(default_factory=list)

    def likelihood(self, forward: Forward, rows: Rows | None, among: Among = None) -> Floats:
        """Likelihood of each row, from the findings `among` these alone."""
        return np.asarray(self._by_bin(among)[self._bins(forward, rows)])

    def log(self, forward: Forward, rows: Rows | None, among: Among = None) -> Floats:
        """Its log."""
        return np.asarray(np.log(self._by_bin(among))[self._bins(forward, rows)])

    def _bins(self, forward: Forward, rows: Rows | None) -> Rows:
        bins = forward.by_mode[self.column]
        return bins if rows is None else np.asarray(bins[rows])

    def _by_bin(self, among: Among) -> Floats:
        likelihood = np.ones(MODES * MASSES.shape[1])
        for number, cells in self.parts:
            if among is None or number in among:
                likelihood = likelihood * cells
        return np.asarray(likelihood.reshape(MODES, -1) @ MASSES.T).ravel()

    @property
    def numbers(self) -> list[int]:
        """The findings in it."""
        return [number for number, _ in self.parts]


@dataclass
class Rowwise:
    """One finding whose probability is known for each row."""

    number: int
    probability: Floats

    def likelihood(self, forward: Forward, rows: Rows | None, among: Among = None) -> Floats:
        """Likelihood of each row, from the findings `among` these alone."""
        chosen = self.probability if rows is None else self.probability[rows]
        return chosen if among is None or self.number in among else np.ones(len(chosen))

    def log(self, forward: Forward, rows: Rows | None, among: Among = None) -> Floats:
        """Its log."""
        return np.asarray(np.log(self.likelihood(forward, rows, among)))

    @property
    def numbers(self) -> list[int]:
        """The findings in it."""
        return [self.number]


@dataclass
class Hidden:
    """Findings that hang on one hidden fact: `parts` are (number, if so, if not)."""

    chance: Floats
    parts: list[tuple[int, float, float]] = field(default_factory=list)

    def likelihood(self, forward: Forward, rows: Rows | None, among: Among = None) -> Floats:
        """Likelihood of each row, from the findings `among` these alone."""
        chance = self.chance if rows is None else self.chance[rows]
        so = not_so = 1.0
        for number, if_so, if_not in self.parts:
            if among is None or number in among:
                so, not_so = so * if_so, not_so * if_not
        return np.asarray(chance * so + (1 - chance) * not_so)

    def log(self, forward: Forward, rows: Rows | None, among: Among = None) -> Floats:
        """Its log."""
        return np.asarray(np.log(self.likelihood(forward, rows, among)))

    @property
    def numbers(self) -> list[int]:
        """The findings in it."""
        return [number for number, _, _ in self.parts]


Factor = Target | Rowwise | Hidden


def spread_over(value: str, values: tuple[str, ...], heard: float, sure: float = 1.0) -> Floats:
    """Weight of each value where `value` was said, heard rightly with the chance `heard`.

    What was misheard may be any other value as well as a neighbour in the order of `values`: half
    goes to each. A hedge is a doubt about the grade itself: with `sure` below one, the rest of what
    was heard rightly goes to the neighbours alone.
    """
    at = values.index(value)
    weights = np.zeros(len(values))
    others = [n for n in range(len(values)) if n != at]
    neighbours = [n for n in others if abs(n - at) == 1]
    weights[at] = heard * sure
    weights[neighbours] = (heard * (1 - sure) + (1 - heard) / 2) / len(neighbours)
    weights[others] += (1 - heard) / 2 / len(others)
    return weights
