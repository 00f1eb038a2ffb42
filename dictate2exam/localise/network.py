"""The model of a few sites as a network for pgmpy, to check the ranking and its speed against."""

import importlib
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.localise.engine import Engine
from dictate2exam.localise.likelihood import MASSES
from dictate2exam.localise.model import Observation
from dictate2exam.localise.tables import bent_yes

SITES = ("none", "axillary_nerve", "upper_trunk_proximal", "c8_preganglionic+t1_preganglionic")
FOUND = {
    "power.deltoid_middle": "1",
    "wasting.deltoid_middle": "present",
    "power.biceps_brachii": "4",
    "reflex.biceps": "reduced",
    "sensation.axillary_regimental_patch": "3",
    "power.dorsal_interosseous_1": "5",
    "sign.ptosis": "absent",
    "sign.miosis": "absent",
}
ROWS = 40


def observations(found: dict[str, str]) -> list[Observation]:
    """Findings of one arm."""
    return [
        Observation(observation_id=item, item=item, side="left", value=value)
        for item, value in found.items()
    ]


def reduced_rows(engine: Engine) -> npt.NDArray[np.int64]:
    """The first rows of a few sites."""
    numbers = [n for n, site in enumerate(engine.sites) if site.site_id in SITES]
    return np.flatnonzero(np.isin(engine.forward.site_of, numbers))[:ROWS]


def reduced_network(engine: Engine, found: dict[str, str] = FOUND) -> tuple[Any, dict[str, int]]:
    """pgmpy's network of those rows with all of FOUND under them, and the states of `found`.

    A hidden node stands for what survives of each target, another for the interrupted outflow.
    """
    # By name, since the shipped program needs no pgmpy.
    tabular_cpd = importlib.import_module("pgmpy.factors.discrete").TabularCPD
    models = importlib.import_module("pgmpy.models")
    forward, reader, rows = engine.forward, engine.reader, reduced_rows(engine)
    prior = np.exp(forward.log_prior[rows])
    network = models.DiscreteBayesianNetwork()
    network.add_node("row")
    chance = engine.signs.interrupted[rows]
    tables = [
        tabular_cpd("row", len(rows), (prior / prior.sum())[:, None]),
        tabular_cpd("interrupted", 2, np.stack([1 - chance, chance]), ["row"], [len(rows)]),
    ]
    network.add_edge("row", "interrupted")
    evidence, cells = {}, MASSES.shape[1]
    for item, usual in FOUND.items():
        value = found.get(item, usual)
        target, kind, values = reader.about(item, "", value)
        if target:
            if target not in network.nodes:
                masses = MASSES[forward.bins[rows, forward.column[target]]]
                tables.append(tabular_cpd(target, cells, masses.T, ["row"], [len(rows)]))
                network.add_edge("row", target)
            table = reader.table(kind)[:cells]
            tables.append(tabular_cpd(item, len(values), table.T, [target], [cells]))
            network.add_edge(target, item)
            state = values.index(value)
        else:
            horner, name = engine.tables.model["horner"], item.partition(".")[2]
            chances = np.array([horner["otherwise"][name], horner["if_interrupted"][name]])
            present = bent_yes(chances, float(engine.tables.model["signs"]["reserve"]))
            both = np.stack([present, 1 - present])
            tables.append(tabular_cpd(item, 2, both, ["interrupted"], [2]))
            network.add_edge("interrupted", item)
            state = 0 if value == "present" else 1
        if item in found:
            evidence[item] = state
    network.add_cpds(*tables)
    network.check_model()
    return network, evidence
