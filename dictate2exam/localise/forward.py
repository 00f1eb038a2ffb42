"""What each hypothesis predicts: the surviving fraction of every target, as bins.

A row is one configuration under one arrangement of roots (see `graph`). The mean of
what survives is the sum over paths of share times the product of what each segment lets through;
its variance comes from the published range of the shares and from how unevenly a partial lesion
hits the bundles.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.likelihoods import Likelihoods
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.cells import BINS, LOWER, PAIN, UPPER, bin_index
from dictate2exam.localise.graph import VARIANTS, Graph
from dictate2exam.localise.hypotheses import Hypotheses

Floats = npt.NDArray[np.float64]
MOTOR, SKIN, POTENTIAL = "motor:", "skin:", "potential:"


@dataclass(frozen=True)
class Forward:
    """Predictions of all rows: `means` and `bins` are rows by target, `column` names the targets.

    Motor targets are muscles, wholes, movements and levels; a potential is a skin area with
    nothing lost before the ganglion.
    """

    column: dict[str, int]
    means: Floats
    bins: npt.NDArray[np.int16]
    modes: npt.NDArray[np.int8]
    lost: Floats
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


def _moments(through: Floats, shares: Floats, lost: Floats) -> tuple[Floats, Floats]:
    """Mean surviving fraction and mean of its square over the paths (configurations by target)."""
    kept = np.log(np.maximum(1 - lost, 1e-30)) @ through.T
    surviving = np.where(kept < -60, 0.0, np.exp(kept))
    return surviving @ shares, surviving**2 @ shares


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
    blocks, bins = [], []
    for shares in graph.shares:
        first, second = _moments(graph.through, shares, lost)
        _rival_means(first, plain, hypotheses, tables)
        spread = (second - first**2) * graph.tilt + (first - second) * unevenness
        spread = np.where((modes != LOWER)[:, None], first * (1 - first) * diffuse, spread)
        one, two = _moments(graph.through, shares[:, skin], behind)
        apart = (two - one**2) * graph.tilt[skin] + (one - two) * unevenness
        means = np.concatenate([first, first @ mixing, one], axis=1)
        variance = np.concatenate([spread, spread @ mixing, apart], axis=1)
        means = np.clip(np.where(np.abs(means - 1) < 1e-9, 1.0, means), 0, 1)
        blocks.append(means)
        bins.append(bin_index(means, np.maximum(variance, 0)))
    prior = np.array([made.weight for made in hypotheses.configurations])
    prior = prior / prior.sum()
    chances = np.array([float(tables.model["variants"][name]) for name in VARIANTS])
    chances = chances / chances.sum()
    return Forward(
        column={name: at for at, name in enumerate(names)},
        means=np.concatenate(blocks),
        bins=np.concatenate(bins),
        modes=np.tile(modes, len(VARIANTS)),
        lost=lost,
        site_of=np.tile(
            np.array([made.site for made in hypotheses.configurations], dtype=np.int32),
            len(VARIANTS),
        ),
        log_prior=np.log(chances[:, None] * prior[None, :]).ravel(),
    )
