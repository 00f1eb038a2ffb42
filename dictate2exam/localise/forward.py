"""What each hypothesis predicts: the surviving fraction of every target, as bins.

A row is one configuration under one or more arrangements of roots (see `graph`): arrangements that
predict the same of every target are one row. The mean of what survives is the sum over paths of
share times the product of what each segment lets through; its variance comes from the published
range of the shares and from how unevenly a partial lesion hits the bundles.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.likelihoods import Likelihoods
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.cells import BINS, LOWER, PAIN, UPPER, bin_index
from dictate2exam.localise.graph import Graph
from dictate2exam.localise.hypotheses import Hypotheses

Floats = npt.NDArray[np.float64]
MOTOR, SKIN, POTENTIAL = "motor:", "skin:", "potential:"
# Means and variances closer than this are the same number, summed in another order.
SAME = 1e-11


@dataclass(frozen=True)
class Forward:
    """Predictions of all rows: `means` and `bins` are rows by target, `column` names the targets.

    `configuration` gives the configuration of each row (`lost` has a line for each of those);
    `row_of` the row of each arrangement (lines) and configuration.
    Motor targets are muscles, wholes, movements and levels; a potential is a skin area with
    nothing lost before the ganglion.
    """

    column: dict[str, int]
    means: Floats
    bins: npt.NDArray[np.int16]
    modes: npt.NDArray[np.int8]
    lost: Floats
    configuration: npt.NDArray[np.int32]
    row_of: npt.NDArray[np.int32]
    site_of: npt.NDArray[np.int32]
    log_prior: Floats

    @cached_property
    def by_mode(self) -> npt.NDArray[np.int64]:
        """Target by row: the bin, counted on over the modes of weakness."""
        offset = self.modes.astype(np.int64) * BINS
        return np.ascontiguousarray(self.bins.T.astype(np.int64) + offset)


def composites(lexicon: Lexicon, tables: Likelihoods) -> dict[str, dict[str, float]]:
    """Weights of muscles in every movement, level and whole."""
    made = dict(tables.movements)
    for term in lexicon.terms:
        if term.category == "muscle" and term.parts:
            made[term.term_id] = {part: 1 / len(term.parts) for part in term.parts}
    return made


def _kept(through: Floats, lost: Floats) -> Floats:
    """What each path (columns) lets through in each configuration (rows)."""
    logs = np.log(np.maximum(1 - lost, 1e-30)) @ through.T
    return np.asarray(np.where(logs < -60, 0.0, np.exp(logs)))


def _add_second_nerves(spread: Floats, kept: Floats, shares: Floats, graph: Graph) -> None:
    """Adds what it makes uncertain that only some limbs have a second nerve, in place.

    Path weights are means over all limbs, so that the mean is right as it is.
    """
    for nerve in graph.second_nerves:
        apart = np.zeros(len(kept))
        for second, main in nerve.paths:
            apart += shares[second, nerve.target] * (kept[:, second] - kept[:, main])
        spread[:, nerve.target] += (1 - nerve.present) / nerve.present * apart**2


def _merged(blocks: list[Floats]) -> tuple[npt.NDArray[np.int32], npt.NDArray[np.int64]]:
    """The row of each arrangement and configuration, and which of the stacked lines each row is.

    An arrangement that predicts the same as an earlier one shares its row.
    """
    count = len(blocks[0])
    row_of = np.zeros((len(blocks), count), dtype=np.int32)
    chosen: list[npt.NDArray[np.int64]] = []
    rows = 0
    for at, block in enumerate(blocks):
        free = np.arange(count)
        for earlier in range(at):
            same = np.abs(block[free] - blocks[earlier][free]).max(axis=1) < SAME
            row_of[at, free[same]] = row_of[earlier, free[same]]
            free = free[~same]
        row_of[at, free] = rows + np.arange(len(free))
        rows += len(free)
        chosen.append(free + at * count)
    return row_of, np.concatenate(chosen)


def _rival_means(
    means: Floats, names: list[str], hypotheses: Hypotheses, tables: Likelihoods
) -> None:
    """Writes the means of the rivals, which lose no segment, in place."""
    central = tables.model["central"]
    losses: dict[str, float] = central["loss"]
    for at, made in enumerate(hypotheses.configurations):
        if made.mode == LOWER:
            continue
        for column, name in enumerate(names):
            kind, _, target = name.partition(":")
            if made.mode == UPPER and kind == "motor":
                loss = losses.get(target, float(central["default"]))
                means[at, column] = 1 - made.severity * loss
            elif made.mode == UPPER and kind == "skin" and made.sensory:
                means[at, column] = 1 - made.severity * float(central["sensory"])
            elif made.mode == PAIN and target in made.region:
                means[at, column] = 1 - made.severity


def build_forward(
    lexicon: Lexicon, tables: Likelihoods, graph: Graph, hypotheses: Hypotheses
) -> Forward:
    """Predictions of every configuration under every arrangement of roots."""
    muscles = {share.target for share in lexicon.anatomy.muscle_shares}
    areas = {area.area_id for area in lexicon.anatomy.areas}
    lost = hypotheses.lost_matrix(graph)
    behind = lost.copy()
    behind[:, [at for at, s in enumerate(graph.segments) if graph.levels[s] == "preganglionic"]] = 0
    plain = [(MOTOR if t in muscles else SKIN if t in areas else "") + t for t in graph.targets]
    skin = [at for at, name in enumerate(plain) if name.startswith(SKIN)]
    whole = composites(lexicon, tables)
    mixing = np.zeros((len(plain), len(whole)))
    for at, weights in enumerate(whole.values()):
        for muscle, weight in weights.items():
            mixing[graph.targets.index(muscle), at] = weight
    names = plain + [MOTOR + name for name in whole]
    names += [POTENTIAL + graph.targets[at] for at in skin]
    modes = np.array([made.mode for made in hypotheses.configurations], dtype=np.int8)
    diffuse = float(tables.model["non_neurological"]["giving_way"])
    unevenness = float(tables.model["extent"]["unevenness"])
    kept, kept_behind = _kept(graph.through, lost), _kept(graph.through, behind)
    squared, squared_behind = kept**2, kept_behind**2
    blocks = []
    for shares in graph.shares:
        first, second = kept @ shares, squared @ shares
        _rival_means(first, plain, hypotheses, tables)
        spread = (second - first**2) * graph.tilt + (first - second) * unevenness
        _add_second_nerves(spread, kept, shares, graph)
        spread = np.where((modes != LOWER)[:, None], first * (1 - first) * diffuse, spread)
        one, two = kept_behind @ shares[:, skin], squared_behind @ shares[:, skin]
        apart = (two - one**2) * graph.tilt[skin] + (one - two) * unevenness
        means = np.concatenate([first, first @ mixing, one], axis=1)
        means = np.clip(np.where(np.abs(means - 1) < 1e-9, 1.0, means), 0, 1)
        variance = np.concatenate([spread, spread @ mixing, apart], axis=1)
        blocks.append(np.concatenate([means, np.maximum(variance, 0)], axis=1))
    row_of, lines = _merged(blocks)
    means, variance = np.split(np.concatenate(blocks)[lines], 2, axis=1)
    prior = np.array([made.weight for made in hypotheses.configurations])
    weights = graph.chances[:, None] * (prior / prior.sum())[None, :]
    configuration = (lines % len(prior)).astype(np.int32)
    sites = np.array([made.site for made in hypotheses.configurations], dtype=np.int32)
    return Forward(
        column={name: at for at, name in enumerate(names)},
        means=np.ascontiguousarray(means),
        bins=bin_index(means, variance),
        modes=modes[configuration],
        lost=lost,
        configuration=configuration,
        row_of=row_of,
        site_of=sites[configuration],
        log_prior=np.log(np.bincount(row_of.ravel(), weights=weights.ravel())),
    )
