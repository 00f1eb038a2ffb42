"""Which unexamined item would tell most: the expected information about the site, in bits."""

from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.engine import Engine
from dictate2exam.localise.model import NextItem, Observation

Floats = npt.NDArray[np.float64]
# Items that an examiner can look for at the bedside; a needle or a scan is another visit.
BEDSIDE = ("power", "sensation", "sign", "reflex", "posture", "wasting", "contraction")
# What is left of the probability is too little to be told by one more item.
LEAST_ROW = 1e-5
PROBE = {
    "power": "5",
    "contraction": "present",
    "wasting": "present",
    "reflex": "normal",
    "sign": "present",
    "posture": "present",
}


def probe(item: str) -> Observation:
    """An observation that stands for any value of the item."""
    kind = item.partition(".")[0]
    value = PROBE.get(kind, "10")
    return Observation(observation_id="", item=item, side="none", value=value)


def _entropy(chances: Floats) -> Floats:
    safe = np.maximum(chances, 1e-300)
    return np.asarray(-(chances * np.log2(safe)).sum(axis=-1))


def candidates(lexicon: Lexicon, examined: Iterable[str]) -> list[str]:
    """Items that could still be examined; parts of a whole that was examined are left out."""
    done = set(examined)
    made = []
    for item in lexicon.items.values():
        if item.kind not in BEDSIDE or item.item_id in done:
            continue
        if item.kind in {"contraction"} and f"power.{item.item_id.partition('.')[2]}" in done:
            continue
        made.append(item.item_id)
    return made


def next_items(
    engine: Engine, lexicon: Lexicon, examined: Sequence[str], rows: Floats
) -> tuple[NextItem, ...]:
    """Items not examined, by expected information about the site, best first.

    The expectation is over the value that the item would have, given everything found so far.
    """
    kept = np.flatnonzero(rows > LEAST_ROW)
    weights = rows[kept] / rows[kept].sum()
    sites, where = np.unique(engine.forward.site_of[kept], return_inverse=True)
    gather = np.zeros((len(sites), len(kept)))
    gather[where, np.arange(len(kept))] = weights
    mass = gather.sum(axis=1)
    made = []
    for item in candidates(lexicon, examined):
        table = engine.reader.row_table(probe(item))
        if table is None:
            continue
        joint = gather @ table.at(kept)
        total = _entropy(joint.sum(axis=0))
        inside = (mass * _entropy(joint / mass[:, None])).sum()
        bits = float(max(total - inside, 0.0))
        if bits >= 5e-4:
            made.append(NextItem(item=item, expected_bits=round(bits, 4)))
    return tuple(sorted(made, key=lambda one: (-one.expected_bits, one.item)))
