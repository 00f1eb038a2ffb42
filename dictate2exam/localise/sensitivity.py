"""How far the answer moves when a judged number is halved or doubled."""

import copy
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np

from dictate2exam.lexicon.likelihoods import JUDGEMENT, Likelihoods
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.draw import Drawer, items_of
from dictate2exam.localise.engine import Engine, build_engine, normalised
from dictate2exam.localise.evidence import EvidenceReader
from dictate2exam.localise.model import Observation
from dictate2exam.localise.signs import Signs

# Tables of model.toml that hold no numbers of the model itself.
NO_NUMBERS = {"setting", "answers"}
# Kinds that no protocol asks for, though their numbers count where they are examined: so many
# items of the kind are added to the drawn examinations.
ADDED = {"contraction": 8, "wasting": 8, "conduction": 6, "needle": 8}
# Where a scale is cut is a definition; cuts that cross one another are no scale.
CUTS = {"absent_below", "normal_above"}
# A share or probability is doubled up to here.
MOST = 0.95
# Two shares of one whole: the other gives way.
WHOLE = {"root_complete": "root_even_partial", "root_even_partial": "root_complete"}
# Tables of model.toml that what rows predict is made of; others only change how it is read.
PREDICTING = {
    "variants",
    "crossing",
    "extent",
    "classes",
    "preganglionic",
    "central",
    "non_neurological",
    "segment_priors",
}

Changed = Callable[[Likelihoods, float], Likelihoods]


def judged(tables: Likelihoods) -> Iterator[tuple[str, Changed]]:
    """Every number, or table of like numbers, that judgement gave, with what changes it."""
    for name, table in tables.model.items():
        if isinstance(table, dict) and name not in NO_NUMBERS:
            for keys in _judged_in(table, (name,), False):
                yield ".".join(keys), partial(_model_changed, keys)
    for name, column in (("signs", "baseline"), ("signs", "probability")):
        yield f"{name}.csv {column}", partial(_rows_changed, name, column)
    for column in ("baseline", "probability"):
        yield f"percussion.csv {column}", partial(_rows_changed, "percussion", column)
    yield "segment_priors.csv complete", partial(_rows_changed, "segments", "complete")


def _judged_in(
    table: dict[str, Any], keys: tuple[str, ...], inherited: bool
) -> Iterator[tuple[str, ...]]:
    own = JUDGEMENT in table["sources"] if "sources" in table else inherited
    for key, value in table.items():
        if isinstance(value, dict) and own and _plain(value) and "sources" not in value:
            yield (*keys, key)
        elif isinstance(value, dict):
            yield from _judged_in(value, (*keys, key), own)
        elif own and isinstance(value, int | float) and key not in CUTS:
            yield (*keys, key)


def _plain(table: dict[str, Any]) -> bool:
    return all(isinstance(value, int | float) for value in table.values())


def _scaled(value: float, factor: float) -> float:
    return min(value * factor, MOST) if value < 1 else value * factor


def _model_changed(keys: tuple[str, ...], tables: Likelihoods, factor: float) -> Likelihoods:
    model: dict[str, Any] = copy.deepcopy(tables.model)
    place = model
    for key in keys[:-1]:
        place = place[key]
    held = place[keys[-1]]
    place[keys[-1]] = (
        {name: _scaled(value, factor) for name, value in held.items()}
        if isinstance(held, dict)
        else _scaled(float(held), factor)
    )
    other = WHOLE.get(keys[-1])
    if other:
        place[other] = min(float(place[other]), 0.99 - float(place[keys[-1]]))
    return replace(tables, model=model)


def _rows_changed(name: str, column: str, tables: Likelihoods, factor: float) -> Likelihoods:
    rows = getattr(tables, name)
    changed = tuple(
        row.model_copy(update={column: _scaled(getattr(row, column), factor)}) for row in rows
    )
    made: dict[str, Any] = {name: changed}
    return replace(tables, **made)


def _rebuilt(lexicon: Lexicon, engine: Engine, tables: Likelihoods, number: str) -> Engine:
    """The engine with other tables; predictions are made anew only where the number is in them."""
    if number.partition(".")[0] in PREDICTING:
        return build_engine(lexicon, tables)
    signs = Signs(tables, engine.graph, engine.forward)
    reader = EvidenceReader(tables, engine.forward, signs)
    return replace(engine, tables=tables, signs=signs, reader=reader)


def _leaders(engine: Engine, examinations: list[list[Observation]]) -> list[tuple[str, float]]:
    made = []
    for observations in examinations:
        rows = normalised(engine.log_weights(engine.reader.factors(observations)))
        sites = engine.by_site(rows)
        best = int(np.argmax(sites))
        made.append((engine.sites[best].site_id, float(sites[best])))
    return made


def sensitivity(lexicon: Lexicon, engine: Engine, cases: int, seed: int) -> list[dict[str, Any]]:
    """For each judged number and factor: share of first sites that change, mean and largest shift.

    The shift is that of the first site's probability, over drawn examinations of the full protocol.
    The largest mean shift comes first.
    """
    drawn: dict[str, list[list[Observation]]] = {}
    before: dict[str, list[tuple[str, float]]] = {}
    table = []
    for name, changed in judged(engine.tables):
        kind = name.partition(".")[0]
        kind = kind if kind in ADDED else ""
        if kind not in drawn:
            drawer = Drawer(engine, lexicon, seed)
            items = [*items_of(lexicon, "full"), *_items(lexicon, engine, kind)]
            drawn[kind] = [drawer.draw(items).observations for _ in range(cases)]
            before[kind] = _leaders(engine, drawn[kind])
        for factor in (0.5, 2.0):
            other = _rebuilt(lexicon, engine, changed(engine.tables, factor), name)
            after = _leaders(other, drawn[kind])
            pairs = list(zip(before[kind], after, strict=True))
            shifts = np.array([abs(one[1] - two[1]) for one, two in pairs])
            moved = sum(one[0] != two[0] for one, two in pairs)
            table.append(
                {
                    "number": name,
                    "factor": factor,
                    "first_site_changes": round(moved / cases, 3),
                    "mean_shift": round(float(shifts.mean()), 3),
                    "largest_shift": round(float(shifts.max()), 3),
                }
            )
    return sorted(table, key=lambda row: -float(row["mean_shift"]))


def _items(lexicon: Lexicon, engine: Engine, kind: str) -> list[str]:
    """Some items of a kind, evenly taken from the lexicon's."""
    if not kind:
        return []
    skipped = set(engine.tables.model["next_items"]["not_graded"])
    known = [
        item.item_id
        for item in lexicon.items.values()
        if item.kind == kind and item.item_id.partition(".")[2] not in skipped
    ]
    return known[:: max(1, len(known) // ADDED[kind])]
