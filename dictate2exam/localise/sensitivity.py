"""How far the answer moves when a judged number is halved or doubled."""

import copy
from dataclasses import replace
from typing import Any

import numpy as np

from dictate2exam.lexicon.likelihoods import Likelihoods
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.draw import Drawer
from dictate2exam.localise.engine import Engine, build_engine, normalised
from dictate2exam.localise.model import Observation

# Numbers of model.toml that no source gives, as path of keys.
JUDGED = (
    ("power", "reserve"),
    ("power", "outlier"),
    ("sensation", "reserve"),
    ("sensation", "outlier"),
    ("reflex", "outlier"),
    ("signs", "steepness"),
    ("horner", "interruption", "base"),
    ("extent", "unevenness"),
    ("extent", "range_deviations"),
    ("extent", "root_complete"),
    ("variants", "shift"),
    ("classes", "none"),
    ("classes", "pair"),
    ("classes", "other_pair"),
    ("classes", "inflammatory"),
    ("classes", "central"),
    ("classes", "non_neurological"),
    ("preganglionic", "inversion"),
    ("preganglionic", "change"),
    ("preganglionic", "proximal_rupture"),
)
LIMITED_TO_ONE = {"shift", "root_complete", "inversion", "change"}


def _changed(tables: Likelihoods, keys: tuple[str, ...], factor: float) -> Likelihoods:
    model: dict[str, Any] = copy.deepcopy(tables.model)
    place = model
    for key in keys[:-1]:
        place = place[key]
    value = float(place[keys[-1]]) * factor
    place[keys[-1]] = min(value, 0.75) if keys[-1] in LIMITED_TO_ONE else value
    return replace(tables, model=model)


def _leaders(engine: Engine, examinations: list[list[Observation]]) -> list[tuple[str, float]]:
    made = []
    for observations in examinations:
        rows = normalised(engine.log_weights(engine.reader.factors(observations)))
        sites = engine.by_site(rows)
        best = int(np.argmax(sites))
        made.append((engine.sites[best].site_id, float(sites[best])))
    return made


def sensitivity(
    lexicon: Lexicon, engine: Engine, items: list[str], cases: int, seed: int
) -> list[dict[str, Any]]:
    """For each judged number and factor: share of first sites that change, mean and largest shift.

    The shift is that of the first site's probability, over drawn examinations.
    """
    drawer = Drawer(engine, lexicon, seed)
    examinations = [drawer.draw(items).observations for _ in range(cases)]
    before = _leaders(engine, examinations)
    table = []
    for keys in JUDGED:
        for factor in (0.5, 2.0):
            other = build_engine(lexicon, _changed(engine.tables, keys, factor))
            after = _leaders(other, examinations)
            pairs = list(zip(before, after, strict=True))
            shifts = np.array([abs(one[1] - two[1]) for one, two in pairs])
            moved = sum(one[0] != two[0] for one, two in pairs)
            table.append(
                {
                    "number": ".".join(keys),
                    "factor": factor,
                    "first_site_changes": round(moved / cases, 3),
                    "mean_shift": round(float(shifts.mean()), 3),
                    "largest_shift": round(float(shifts.max()), 3),
                }
            )
    return table
