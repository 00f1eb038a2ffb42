"""Observations out of a record."""

from dictate2exam.localise.model import Observation
from dictate2exam.record.model import ExamRecord, RecordedFinding
from dictate2exam.units import Probability


def observations_from_record(
    record: ExamRecord, doubtful_at_most: Probability = 1.0
) -> list[Observation]:
    """The standing findings: one to be confirmed is this sure at most, a confirmed one is sure."""
    return [
        Observation(
            observation_id=entry.finding.finding_id,
            item=entry.finding.item,
            side=entry.finding.side,
            value=entry.finding.value,
            scale=entry.finding.scale,
            detail=entry.finding.detail,
            confidence=_confidence(entry, doubtful_at_most),
        )
        for entry in record.findings
        if entry.stands
    ]


def _confidence(entry: RecordedFinding, doubtful_at_most: Probability) -> Probability:
    if entry.state == "confirmed":
        return 1.0
    sure = entry.finding.confidence
    return min(sure, doubtful_at_most) if entry.state == "to_confirm" else sure
