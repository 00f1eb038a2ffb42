"""How much the answer to a question matters for the location, in bits."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.engine import Engine, engine_for, normalised
from dictate2exam.localise.evidence import SILENT
from dictate2exam.localise.model import Observation
from dictate2exam.units import Bits, Side

Floats = npt.NDArray[np.float64]


def stakes(
    observations: Sequence[Observation],
    item: str,
    side: Side,
    values: Sequence[str],
    lexicon: Lexicon,
    *,
    scale: str = "",
    weights: Sequence[float] | None = None,
    setting: str = "mixed",
) -> Bits:
    """How far the location depends on which of `values` the item has on this side, given the rest.

    0 where every candidate gives the same sites; at most the entropy of `weights` (one a value,
    even where none are given). An empty value, or `not_tested`, stands for "was never found". What
    `observations` say of the item on that side is left out. Raises InputError for a value that the
    item cannot have.
    """
    rest = [o for o in observations if (o.item, o.side) != (item, side)]
    worlds = [
        [
            *rest,
            Observation(observation_id="asked", item=item, side=side, value=value, scale=scale),
        ]
        if value not in SILENT
        else rest
        for value in values
    ]
    return stakes_between(worlds, side, lexicon, weights=weights, setting=setting)


def stakes_between(
    worlds: Sequence[Sequence[Observation]],
    side: Side,
    lexicon: Lexicon,
    *,
    weights: Sequence[float] | None = None,
    setting: str = "mixed",
) -> Bits:
    """The information about the site of `side` in learning which of these examinations is right.

    For questions that one item's values cannot put: which side was meant, which item was named.
    Bits between 0 and the entropy of `weights`.
    """
    if len(worlds) < 2:
        return 0.0
    engine = engine_for(lexicon, setting)
    sites = np.array([_sites(engine, world, side) for world in worlds])
    given = np.ones(len(worlds)) if weights is None else np.asarray(weights, dtype=float)
    share = given / given.sum()
    mixed = float(_entropy(share @ sites))
    return max(mixed - float(share @ _entropy(sites)), 0.0)


def _sites(engine: Engine, observations: Sequence[Observation], side: Side) -> Floats:
    known = [o for o in observations if o.side in (side, "none")]
    return engine.by_site(normalised(engine.log_weights(engine.reader.factors(known))))


def _entropy(chances: Floats) -> Floats:
    safe = np.maximum(chances, 1e-300)
    return np.asarray(-(chances * np.log2(safe)).sum(axis=-1))
