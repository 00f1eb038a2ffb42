"""Which unexamined item would tell most: the expected information about the site, in bits."""

from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.engine import Engine
from dictate2exam.localise.model import NextItem, Observation

Floats = npt.NDArray[np.float64]
# Items that an examiner can look for at the bedside; a needle or a scan is another visit.
BEDSIDE = ("power", "sensation", "sign", "reflex", "posture", "wasting")
# Rows less probable than this cannot be told apart by one more item, and the most probable ones
# are enough when doubt is wide.
LEAST_ROW = 1e-5
MOST_ROWS = 1500
PROBE = {
    "power": "5",
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


def candidates(lexicon: Lexicon, examined: Iterable[str], not_graded: Iterable[str]) -> list[str]:
    """Items that could still be examined, without muscles that are not graded on their own."""
    out = set(examined)
    for muscle in not_graded:
        out |= {f"power.{muscle}", f"wasting.{muscle}"}
    return [
        item.item_id
        for item in lexicon.items.values()
        if item.kind in BEDSIDE and item.item_id not in out
    ]


def next_items(
    engine: Engine,
    lexicon: Lexicon,
    examined: Sequence[str],
    rows: Floats,
    only: set[str] | None = None,
) -> tuple[NextItem, ...]:
    """Items not examined, by expected information about the site, best first.

    The expectation is over the value that the item would have, given everything found so far;
    `only` limits the items to choose from.
    """
    kept = np.flatnonzero(rows > LEAST_ROW)
    if len(kept) > MOST_ROWS:
        kept = kept[np.argsort(-rows[kept], kind="stable")[:MOST_ROWS]]
    kept = kept[np.argsort(engine.forward.site_of[kept], kind="stable")]
    weights = (rows[kept] / rows[kept].sum())[:, None]
    site_of = engine.forward.site_of[kept]
    starts = np.flatnonzero(np.concatenate([[True], site_of[1:] != site_of[:-1]]))
    mass = np.add.reduceat(weights[:, 0], starts)
    made = []
    not_graded = engine.tables.model["next_items"]["not_graded"]
    for item in candidates(lexicon, examined, not_graded):
        if only is not None and item not in only:
            continue
        table = engine.reader.row_table(probe(item))
        if table is None:
            continue
        joint = np.add.reduceat(weights * table.at(kept), starts, axis=0)
        total = _entropy(joint.sum(axis=0))
        inside = (mass * _entropy(joint / mass[:, None])).sum()
        bits = float(max(total - inside, 0.0))
        if bits >= 5e-4:
            made.append(NextItem(item=item, expected_bits=round(bits, 4)))
    return tuple(sorted(made, key=lambda one: (-one.expected_bits, one.item)))


def outlook(items: Sequence[NextItem], lexicon: Lexicon, little: float) -> str:
    """One sentence on what examining further promises; under `little` bits it is not much."""
    if not items:
        return "Nothing that is left to examine at the bedside would tell the sites apart."
    best = items[0]
    label = lexicon.items[best.item].label
    if best.expected_bits < little:
        return (
            f"Further examination would change little: even {label} is expected to tell only "
            f"{best.expected_bits:.2f} bits."
        )
    return f"The most telling item left is {label}, expected to tell {best.expected_bits:.2f} bits."
