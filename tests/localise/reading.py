"""Reads the cases beside the tests."""

import csv
from pathlib import Path

from dictate2exam.localise.model import Observation

HERE = Path(__file__).parent


def rows(name: str) -> list[dict[str, str]]:
    """The rows of one CSV file of this folder."""
    with (HERE / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def observed(text: str, side: str = "left") -> list[Observation]:
    """Observations out of `item=value;item=value:detail;...`."""
    made = []
    for number, part in enumerate(text.split(";"), start=1):
        item, _, value = part.partition("=")
        value, _, detail = value.partition(":")
        key = "pattern" if item == "sign.scapular_winging" else "radiates_to"
        made.append(
            Observation(
                observation_id=str(number),
                item=item,
                side=side,
                value=value,
                detail={key: detail} if detail else {},
            )
        )
    return made
