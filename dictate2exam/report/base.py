"""What a report must offer, so that any of them can be written at the end of a run."""

from collections.abc import Sequence
from typing import Protocol

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.model import Localisation
from dictate2exam.record.model import ExamRecord


class Report(Protocol):
    """A report on one examination: `name` is its registered name, `file_name` what it writes."""

    name: str
    file_name: str

    def render(self, record: ExamRecord, places: Sequence[Localisation], lexicon: Lexicon) -> str:
        """The whole report as text; `places` is empty while localisation waits."""
        ...
