"""The bench on a few drawn examinations: better than both baselines, and calibrated enough."""

import numpy as np
import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.baselines import Rules
from dictate2exam.localise.draw import Drawer
from dictate2exam.localise.engine import engine_for
from dictate2exam.localise.model import Observation
from dictate2exam.localise.simulate import bench_localise, measure
from dictate2exam.localise.tally import figures as figures_of
from dictate2exam.localise.tally import share_of_places, smallest_size


def test_ahead_of_both_baselines() -> None:
    lexicon = load_lexicon()
    figures = figures_of(measure(lexicon, engine_for(lexicon), "full", 150, 7))
    assert figures["top1"] > 1.5 * figures["rules"]["top1"]
    assert figures["top3"] > 1.5 * figures["nearest_pattern"]["top3"]
    assert figures["calibration_error"] < 0.15
    assert figures["covered_by_90_set"] > 0.75


def test_a_tie_of_k_earns_its_share() -> None:
    near = np.array([False, True, True, True, False])
    assert share_of_places(near, 0, 1, 1) == pytest.approx(1 / 3)
    # One stands before the tie, so that two of its three places count among the first three.
    assert share_of_places(near, 1, 3, 2) == pytest.approx(2 / 3)
    assert share_of_places(near, 1, 3, 4) == 0


def test_as_the_model_assumes_it_nothing_is_missing_and_it_does_better() -> None:
    lexicon = load_lexicon()
    engine = engine_for(lexicon)
    assumed, broken = (
        figures_of(measure(lexicon, engine, "screen", 150, 7, misreading))
        for misreading in ("as_assumed", "halved_log_odds")
    )
    assert assumed["top1"] > broken["top1"]
    assert assumed["median_size_of_90_set"] < broken["median_size_of_90_set"]
    drawn = Drawer(engine, lexicon, 3, "as_assumed").draw(["power.biceps_brachii"] * 50)
    assert len(drawn.observations) == 50


def test_the_smallest_sets_hold_the_sites_above_one_probability() -> None:
    sites = [np.array([0.7, 0.2, 0.1]), np.array([0.4, 0.35, 0.25]), np.array([0.9, 0.06, 0.04])]
    assert smallest_size([0.7, 0.35, 0.9], sites, 1.0) == 1  # above 0.35: one, two, one
    assert smallest_size([0.2, 0.25, 0.04], sites, 1.0) == 3


def test_components_of_one_hidden_fact_come_together() -> None:
    # Horner's components share one interrupted nerve: both or neither far oftener than by chance.
    lexicon = load_lexicon()
    engine = engine_for(lexicon)
    drawer = Drawer(engine, lexicon, 3, "doubled_errors")
    both = one = 0
    for _ in range(600):
        drawn = drawer.draw(["sign.ptosis", "sign.miosis"], missing=0.0)
        present = sum(o.value == "present" for o in drawn.observations)
        both, one = both + (present == 2), one + (present == 1)
    assert both > one / 4


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
    figures = bench_localise(cases=400, parts="simulation,order")
    for protocol in ("full", "short"):
        assert figures[protocol]["calibration_error"] <= 0.08
        before = figures[protocol]["preganglionic"]
        assert before["brier"] < before["brier_of_prior"]
    until = figures["until_90_percent"]["sites"]
    assert until["median_items_by_information"] * 2 <= until["median_items_in_order"]
