"""Observations out of the rows of a findings table."""

import pytest

from dictate2exam.errors import InputError
from dictate2exam.localise.observe import observations_from_table


def test_rows_need_item_side_and_value_alone() -> None:
    rows = [{"item": "power.deltoid", "side": "Right", "value": "4+", "other": "x"}]
    (found,) = observations_from_table(rows)
    assert (found.observation_id, found.side, found.value) == ("1", "right", "4+")
    assert found.confidence == 1.0 and found.detail == {}


def test_detail_and_confidence_are_read() -> None:
    row = {"item": "sign.scapular_winging", "side": "left", "value": "present"}
    more = {"detail": "pattern=medial;hedged=yes", "confidence": "0.7", "finding_id": "f3"}
    (found,) = observations_from_table([row | more])
    assert found.detail == {"pattern": "medial", "hedged": "yes"}
    assert (found.observation_id, found.confidence) == ("f3", 0.7)
    (sure,) = observations_from_table([row | more | {"state": "confirmed"}])
    assert sure.confidence == 1.0


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ({"item": "power.deltoid", "value": "4"}, "lacks the column side"),
        ({"item": "power.deltoid", "side": "up", "value": "4"}, "must be left, right or none"),
        (
            {"item": "power.deltoid", "side": "left", "value": "4", "confidence": "high"},
            "between 0 and 1",
        ),
    ],
)
def test_broken_rows_are_refused(row: dict[str, str], said: str) -> None:
    with pytest.raises(InputError, match=said):
        observations_from_table([row])
