"""Observations out of a record or out of the rows of a findings table."""

from collections.abc import Iterable, Mapping

from dictate2exam.errors import InputError
from dictate2exam.localise.model import Observation
from dictate2exam.record.model import ExamRecord
from dictate2exam.units import SIDES, Probability


def observations_from_record(
    record: ExamRecord, doubtful_at_most: Probability = 1.0
) -> list[Observation]:
    """The standing findings; one that is still to be confirmed counts as this sure at most."""
    return [
        Observation(
            observation_id=entry.finding.finding_id,
            item=entry.finding.item,
            side=entry.finding.side,
            value=entry.finding.value,
            scale=entry.finding.scale,
            detail=entry.finding.detail,
            confidence=min(entry.finding.confidence, doubtful_at_most)
            if entry.state == "to_confirm"
            else entry.finding.confidence,
        )
        for entry in record.findings
        if entry.stands
    ]


def _detail(text: str) -> dict[str, str]:
    pairs = [part.partition("=") for part in text.split(";") if "=" in part]
    return {key.strip(): value.strip() for key, _, value in pairs}


def observations_from_table(rows: Iterable[Mapping[str, str]]) -> list[Observation]:
    """Rows with item, side and value, optionally detail, scale, finding_id and confidence."""
    made = []
    for number, row in enumerate(rows, start=1):
        given = {key: (value or "").strip() for key, value in row.items() if key}
        missing = [column for column in ("item", "side", "value") if column not in given]
        if missing:
            raise InputError(
                f"The findings table lacks the column {missing[0]}; it needs item, side and value."
            )
        side = given["side"].lower() or "none"
        if side not in SIDES:
            raise InputError(
                f"Row {number} of the findings table: the side {given['side']!r} must be left, "
                f"right or none."
            )
        try:
            confidence = float(given.get("confidence") or 1.0)
        except ValueError:
            raise InputError(
                f"Row {number} of the findings table: confidence must be a number between 0 and 1, "
                f"not {given['confidence']!r}."
            ) from None
        made.append(
            Observation(
                observation_id=given.get("finding_id") or str(number),
                item=given["item"].lower(),
                side=side,
                value=given["value"].lower(),
                scale=given.get("scale", "").lower(),
                detail=_detail(given.get("detail", "")),
                confidence=1.0 if given.get("state") == "confirmed" else confidence,
            )
        )
    return made
