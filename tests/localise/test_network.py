"""Inference equals variable elimination of pgmpy (1.1 or newer) on a reduced network."""

import random

import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.engine import engine_for, normalised
from dictate2exam.localise.network import FOUND, observations, reduced_network, reduced_rows

RECORDS = 200


def test_equals_variable_elimination() -> None:
    inference = pytest.importorskip("pgmpy.inference")
    lexicon = load_lexicon()
    engine, chance = engine_for(lexicon), random.Random(5)
    values = {
        item: tuple(v for v in lexicon.items[item].values if v not in ("not_tested", "uncertain"))
        for item in FOUND
    }
    rows = reduced_rows(engine)
    for _ in range(RECORDS):
        items = chance.sample(sorted(FOUND), chance.randint(1, len(FOUND)))
        found = {
            item: str(chance.randint(0, 10))
            if item.startswith("sensation")
            else chance.choice(values[item])
            for item in items
        }
        network, evidence = reduced_network(engine, found)
        asked = inference.VariableElimination(network).query(["row"], evidence, show_progress=False)
        weights = engine.log_weights(engine.reader.factors(observations(found)))
        assert normalised(weights[rows]) == pytest.approx(asked.values, abs=1e-9), found
