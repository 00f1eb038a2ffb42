"""The bench on a few drawn examinations: better than both baselines, and calibrated enough."""

import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.baselines import Rules
from dictate2exam.localise.engine import engine_for
from dictate2exam.localise.model import Observation
from dictate2exam.localise.simulate import _figures, bench_localise, measure


def test_ahead_of_both_baselines() -> None:
    lexicon = load_lexicon()
    figures = _figures(measure(lexicon, engine_for(lexicon), "full", 150, 7))
    assert figures["top1"] > 1.5 * figures["rules"]["top1"]
    assert figures["top3"] > 1.5 * figures["nearest_pattern"]["top3"]
    assert figures["calibration_error"] < 0.15
    assert figures["covered_by_90_set"] > 0.75


def test_rules_know_the_textbook() -> None:
    weak = {
        "power.deltoid": "0",
        "power.infraspinatus": "5",
        "power.elbow_flexion": "5",
        "power.elbow_extension": "5",
    }
    found = [
        Observation(observation_id=item, item=item, side="left", value=value)
        for item, value in weak.items()
    ]
    assert Rules(load_lexicon()).ranked(found)[0] == "axillary_nerve"


@pytest.mark.slow
def test_the_whole_bench() -> None:
    figures = bench_localise(cases=400)
    for protocol in ("full", "short"):
        assert figures[protocol]["calibration_error"] <= 0.08
        before = figures[protocol]["preganglionic"]
        assert before["brier"] < before["brier_of_prior"]
    until = figures["until_90_percent"]
    assert until["median_items_by_information"] * 2 <= until["median_items_in_order"]
