"""Which unexamined item would tell most: the expected information about the site, in bits."""

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.engine import Engine
from dictate2exam.localise.model import NextItem, Observation, Site

Floats = npt.NDArray[np.float64]
# Items that an examiner can look for at the bedside, and those that are another visit.
STUDIES = ("conduction", "needle", "imaging")
BEDSIDE = ("power", "sensation", "sign", "reflex", "posture", "wasting")
# Rows less probable than this cannot be told apart by one more item, and the most probable ones
# are enough when doubt is wide.
LEAST_ROW = 1e-5
MOST_ROWS = 1500
# Bits below this are said as nothing.
NOTHING = 0.005
PROBE = {
    "power": "5",
    "wasting": "present",
    "reflex": "normal",
    "sign": "present",
    "posture": "present",
    "conduction": "normal",
    "needle": "normal",
    "imaging": "intact",
}


def probe(item: str) -> Observation:
    """An observation that stands for any value of the item."""
    kind = item.partition(".")[0]
    value = PROBE.get(kind, "10")
    return Observation(observation_id="", item=item, side="none", value=value)


def _entropy(chances: Floats) -> Floats:
    safe = np.maximum(chances, 1e-300)
    return np.asarray(-(chances * np.log2(safe)).sum(axis=-1))


def candidates(
    lexicon: Lexicon,
    examined: Iterable[str],
    not_graded: Iterable[str],
    kinds: tuple[str, ...] = BEDSIDE,
) -> list[str]:
    """Items that could still be examined, without muscles that are not graded on their own."""
    out = set(examined)
    for muscle in not_graded:
        out |= {f"power.{muscle}", f"wasting.{muscle}"}
    return [
        item.item_id
        for item in lexicon.items.values()
        if item.kind in kinds and item.item_id not in out
    ]


def next_items(
    engine: Engine,
    lexicon: Lexicon,
    examined: Sequence[str],
    rows: Floats,
    only: set[str] | None = None,
    kinds: tuple[str, ...] = BEDSIDE,
    interval: float | None = None,
) -> tuple[NextItem, ...]:
    """Items not examined, by expected information about the site, best first.

    The expectation is over the value that the item would have, given everything found so far;
    `only` limits the items to choose from, `kinds` their kinds; `interval` is in days since injury.
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
    for item in candidates(lexicon, examined, not_graded, kinds):
        if only is not None and item not in only:
            continue
        table = engine.reader.row_table(probe(item), interval)
        if table is None:
            continue
        joint = np.add.reduceat(weights * table.at(kept), starts, axis=0)
        total = _entropy(joint.sum(axis=0))
        inside = (mass * _entropy(joint / mass[:, None])).sum()
        bits = float(max(total - inside, 0.0))
        if bits >= 5e-4:
            made.append(NextItem(item=item, expected_bits=round(bits, 4)))
    return tuple(sorted(made, key=lambda one: (-one.expected_bits, one.item)))


def outlook(
    items: Sequence[NextItem],
    studies: Sequence[NextItem],
    sites: Sequence[Site],
    lexicon: Lexicon,
    answers: dict[str, Any],
) -> str:
    """What examining further promises, in a sentence or three.

    Under `little_bits` of `answers` it is not much; what is undecided then is for studies.
    """
    little = float(answers["little_bits"])
    if items and items[0].expected_bits >= little:
        label = _named(items[0].item, lexicon)
        return (
            f"The most telling item left is {label}, expected to tell "
            f"{items[0].expected_bits:.2f} bits."
        )
    settled = sites[0].probability >= float(answers["settled"])
    said = "Further examination would change little."
    if not settled:
        said = "Nothing that is left to examine at the bedside would tell the sites apart."
    if items and items[0].expected_bits >= NOTHING:
        said = (
            f"Further examination would change little: even {_named(items[0].item, lexicon)} "
            f"is expected to tell only {items[0].expected_bits:.2f} bits."
        )
    if settled:
        return said
    said += " " + str(answers["beyond"]).format(first=_quoted(sites[0]), second=_quoted(sites[1]))
    if studies and studies[0].expected_bits >= little:
        label = _named(studies[0].item, lexicon)
        said += (
            f" Of the studies that the model knows, {label} is expected to tell most "
            f"({studies[0].expected_bits:.2f} bits)."
        )
    return said


def _named(item: str, lexicon: Lexicon) -> str:
    known = lexicon.items[item]
    skin = known.kind == "sensation" and "sensation" not in known.label
    return f"{known.label} sensation" if skin else known.label


def _quoted(site: Site) -> str:
    return f"\N{LEFT DOUBLE QUOTATION MARK}{site.summary}\N{RIGHT DOUBLE QUOTATION MARK} (" + (
        f"{100 * site.probability:.0f}%)"
    )
