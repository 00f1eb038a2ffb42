"""Observations out of a record, and findings that are not sure as distributions."""

import numpy as np
import pytest
from examples import finding, record
from localise.reading import observed

from dictate2exam.findings.model import MRC_GRADES
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.evidence import days_in
from dictate2exam.localise.infer import localise
from dictate2exam.localise.likelihood import spread_over
from dictate2exam.localise.observe import observations_from_record
from dictate2exam.record.model import FindingState


@pytest.mark.parametrize(
    ("state", "sure"), [("accepted", 0.9), ("to_confirm", 0.8), ("confirmed", 1.0)]
)
def test_what_is_to_be_confirmed_is_less_sure_and_what_is_confirmed_sure(
    state: FindingState, sure: float
) -> None:
    made = record([finding("f1", "power.deltoid", "4")])
    (entry,) = made.findings
    less = entry.finding.model_copy(update={"confidence": 0.9})
    entry = entry.model_copy(update={"finding": less, "state": state})
    (found,) = observations_from_record(made.model_copy(update={"findings": (entry,)}), 0.8)
    assert (found.item, found.side, found.value) == ("power.deltoid", "right", "4")
    assert found.confidence == pytest.approx(sure)


def test_superseded_findings_are_left_out() -> None:
    made = record([finding("f1", "power.deltoid", "4")])
    (entry,) = made.findings
    gone = entry.model_copy(update={"state": "superseded"})
    assert observations_from_record(made.model_copy(update={"findings": (gone,)})) == []


def test_misheard_may_be_anything_hedged_is_next_to_it() -> None:
    clear = spread_over("4", MRC_GRADES, 1.0)
    assert clear.tolist() == [float(grade == "4") for grade in MRC_GRADES]
    misheard, hedged = spread_over("4", MRC_GRADES, 0.7), spread_over("4", MRC_GRADES, 1.0, 0.6)
    four, none = MRC_GRADES.index("4"), MRC_GRADES.index("0")
    for weights, sure in ((misheard, 0.7), (hedged, 0.6)):
        assert weights.sum() == pytest.approx(1)
        assert weights[four] == pytest.approx(sure)
    assert misheard[none] > 0 == hedged[none]
    assert hedged[four - 1] == hedged[four + 1] == pytest.approx(0.2)
    assert np.all(misheard[[four - 1, four + 1]] > misheard[none])


def test_a_hedge_takes_away_from_what_a_finding_says() -> None:
    plain = observed("power.deltoid=0;power.supraspinatus=5;power.biceps_brachii=5")
    hedged = [plain[0].model_copy(update={"detail": {"hedged": "yes"}}), *plain[1:]]
    first = [localise(one, load_lexicon())[0].evidence[0].bits_leading for one in (plain, hedged)]
    assert first[0] > first[1] > 0


@pytest.mark.parametrize(
    ("text", "days"),
    [("21", 21), ("10 days", 10), ("3 weeks", 21), ("2.5 weeks", 17.5), ("a while", None)],
)
def test_the_interval_may_name_its_unit(text: str, days: float | None) -> None:
    assert days_in(text) == days
