"""Inference equals variable elimination of pgmpy (1.1 or newer) on a reduced network.

The network has the configurations of a few sites, a hidden node for what survives of each target,
the hidden interruption of the sympathetic outflow, and the findings under them.
"""

import numpy as np
import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.engine import engine_for, normalised
from dictate2exam.localise.likelihood import MASSES
from dictate2exam.localise.model import Observation

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
TARGETS = {
    "power.deltoid_middle": "motor:deltoid_middle",
    "wasting.deltoid_middle": "motor:deltoid_middle",
    "power.biceps_brachii": "motor:biceps_brachii",
    "reflex.biceps": "motor:biceps_brachii",
    "sensation.axillary_regimental_patch": "skin:axillary_regimental_patch",
    "power.dorsal_interosseous_1": "motor:dorsal_interosseous_1",
}


def _column(values: list[float]) -> list[list[float]]:
    return [[value] for value in values]


@pytest.mark.parametrize("left_out", [None, "power.deltoid_middle", "sign.ptosis"])
def test_equals_variable_elimination(left_out: str | None) -> None:
    factors = pytest.importorskip("pgmpy.factors.discrete")
    models = pytest.importorskip("pgmpy.models")
    inference = pytest.importorskip("pgmpy.inference")
    engine = engine_for(load_lexicon())
    forward, reader = engine.forward, engine.reader
    numbers = [n for n, site in enumerate(engine.sites) if site.site_id in SITES]
    rows = np.flatnonzero(np.isin(forward.site_of, numbers))[:40]
    prior = np.exp(forward.log_prior[rows])
    prior = prior / prior.sum()
    network = models.DiscreteBayesianNetwork()
    network.add_node("row")
    tables = [factors.TabularCPD("row", len(rows), _column(list(prior)))]
    for target in sorted(set(TARGETS.values())):
        masses = MASSES[forward.bins[rows, forward.column[target]]]
        network.add_edge("row", target)
        tables.append(factors.TabularCPD(target, masses.shape[1], masses.T, ["row"], [len(rows)]))
    network.add_edge("row", "interrupted")
    chance = engine.signs.interrupted[rows]
    tables.append(
        factors.TabularCPD("interrupted", 2, np.stack([1 - chance, chance]), ["row"], [len(rows)])
    )
    evidence = {}
    for item, value in FOUND.items():
        if item in TARGETS:
            _, kind, values = reader.about(item, "", value)
            table = reader.table(kind)[: MASSES.shape[1]]
            network.add_edge(TARGETS[item], item)
            tables.append(
                factors.TabularCPD(item, len(values), table.T, [TARGETS[item]], [MASSES.shape[1]])
            )
            state = values.index(value)
        else:
            model, name = engine.tables.model["horner"], item.partition(".")[2]
            present = [model["otherwise"][name], model["if_interrupted"][name]]
            network.add_edge("interrupted", item)
            absent = [1 - p for p in present]
            tables.append(factors.TabularCPD(item, 2, [present, absent], ["interrupted"], [2]))
            state = 0 if value == "present" else 1
        if item != left_out:
            evidence[item] = state
    network.add_cpds(*tables)
    network.check_model()
    asked = inference.VariableElimination(network).query(["row"], evidence, show_progress=False)
    observations = [
        Observation(observation_id=item, item=item, side="left", value=value)
        for item, value in FOUND.items()
        if item != left_out
    ]
    weights = engine.log_weights(reader.factors(observations))[rows]
    assert normalised(weights) == pytest.approx(asked.values, abs=1e-9)
