"""Inference equals variable elimination of pgmpy (1.1 or newer) on a reduced network."""

import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.engine import engine_for, normalised
from dictate2exam.localise.network import FOUND, observations, reduced_network, reduced_rows


@pytest.mark.parametrize("left_out", [None, "power.deltoid_middle", "sign.ptosis"])
def test_equals_variable_elimination(left_out: str | None) -> None:
    inference = pytest.importorskip("pgmpy.inference")
    engine = engine_for(load_lexicon())
    found = {item: value for item, value in FOUND.items() if item != left_out}
    network, evidence = reduced_network(engine, found)
    asked = inference.VariableElimination(network).query(["row"], evidence, show_progress=False)
    weights = engine.log_weights(engine.reader.factors(observations(found)))
    assert normalised(weights[reduced_rows(engine)]) == pytest.approx(asked.values, abs=1e-9)
