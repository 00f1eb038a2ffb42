"""The whole record of one examination, as saved in record.json."""

from typing import Literal

from dictate2exam.findings.model import Finding
from dictate2exam.frozen import Frozen
from dictate2exam.provenance import Heard, Versions
from dictate2exam.questions import Question
from dictate2exam.speech.model import Transcript
from dictate2exam.units import Side

# 1: first format. 2: signatures, the head of the chain of events, who amended and when.
# 3: the rule and score of each question.
SCHEMA_VERSION = 3

FindingState = Literal["accepted", "to_confirm", "confirmed", "superseded", "rejected"]
STANDING: tuple[FindingState, ...] = ("accepted", "to_confirm", "confirmed")


class RecordedFinding(Frozen):
    """A finding with its place in the record; `superseded_by` names what replaced it."""

    finding: Finding
    state: FindingState
    superseded_by: str = ""

    @property
    def stands(self) -> bool:
        """Whether the finding counts: neither superseded nor rejected."""
        return self.state in STANDING


class RedFlag(Frozen):
    """A sign that must not wait; shown whether confirmed or not, independent of any gate."""

    flag: str
    message: str
    confirmed: bool
    heard: tuple[Heard, ...] = ()


class Amendment(Frozen):
    """One answer to one question, kept for ever; `findings` are the ids it changed or made.

    `time` and `actor` are those of its event; empty until it is kept.
    """

    question_id: str
    answer: str
    findings: tuple[str, ...] = ()
    time: str = ""
    actor: str = ""


class Signature(Frozen):
    """A version of the record that a person signed; it covers the first `amendments` of them."""

    version: int
    name: str
    time: str
    amendments: int


class ChainHead(Frozen):
    """The last event that the record is folded from; None where it was never kept as events."""

    events: int
    hash: str


class ExamRecord(Frozen):
    """One examination: what was heard, what was read from it, what was asked and answered.

    `setting` is who is examined (mixed, trauma, non_trauma): it chooses the priors of localisation.
    `examiner` is the name under which something is kept between sessions; empty: nothing is.
    """

    schema_version: int = SCHEMA_VERSION
    created: str
    protocol: str
    default_side: Side
    setting: str = "mixed"
    examiner: str = ""
    versions: Versions
    cautions: tuple[str, ...]
    red_flags: tuple[RedFlag, ...]
    transcript: Transcript
    findings: tuple[RecordedFinding, ...]
    questions: tuple[Question, ...]
    amendments: tuple[Amendment, ...] = ()
    signatures: tuple[Signature, ...] = ()
    chain: ChainHead | None = None

    @property
    def amended_since_signing(self) -> tuple[Amendment, ...]:
        """Amendments that came after the last signature; empty where nobody signed."""
        return self.amendments[self.signatures[-1].amendments :] if self.signatures else ()

    @property
    def standing(self) -> tuple[Finding, ...]:
        """The findings that count, in spoken order."""
        return tuple(entry.finding for entry in self.findings if entry.stands)

    @property
    def blocking(self) -> tuple[Question, ...]:
        """Open questions that localisation must wait for."""
        return tuple(q for q in self.questions if q.blocking and q.state == "open")
