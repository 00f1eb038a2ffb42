"""Where an examination stands: a fold of its ledger, live and after a restart alike."""

from collections.abc import Iterable
from pathlib import Path

from dictate2exam.errors import RecordError
from dictate2exam.live.ledger import (
    Answered,
    Begun,
    Consented,
    Entry,
    Ordered,
    ReadFile,
    SignedBy,
    Spoken,
    TakenBack,
)
from dictate2exam.live.messages.kinds import Phase
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Utterance
from dictate2exam.units import Seconds


class Progress:
    """All that the entries so far say; `apply` takes one more.

    `speech` are the utterances of the examination, orders and answers left out; `withdrawals`
    the seconds up to which speech had been read when its last finding was taken back; `heard_to`
    up to where any utterance has been taken; `skipping`: what does not block may stay open.
    """

    def __init__(self, entries: Iterable[Entry] = ()) -> None:
        self.begun: Begun | None = None
        self.phase: Phase = "consent"
        self.speech: list[Utterance] = []
        self.withdrawals: list[Seconds] = []
        self.answers: list[Answered] = []
        self.heard_to: Seconds = 0.0
        self.finished_at: Seconds | None = None
        self.signed: SignedBy | None = None
        self.from_file: ReadFile | None = None
        self.answering = False
        self.skipping = False
        for entry in entries:
            self.apply(entry)

    def apply(self, entry: Entry) -> None:
        """Takes one entry into account."""
        if isinstance(entry, Begun):
            self.begun = entry
        elif isinstance(entry, Consented):
            self.phase = "listening" if entry.agreed else "consent"
        elif isinstance(entry, Spoken):
            self.heard_to = max(self.heard_to, entry.utterance.end_s)
            if entry.order:
                self._order(entry.order)
            elif entry.answer:
                self._answer(entry.answer)
            elif entry.taken_back:
                self._take_back()
            elif not entry.unread:
                self.speech.append(entry.utterance)
                self.answering = False
        elif isinstance(entry, Ordered):
            self._order(entry)
        elif isinstance(entry, Answered):
            self._answer(entry)
        elif isinstance(entry, TakenBack):
            self._take_back()
        elif isinstance(entry, ReadFile):
            self.from_file, self.phase = entry, "asking"
        elif isinstance(entry, SignedBy):
            self.signed, self.phase = entry, "signed"

    def must_be_begun(self, folder: Path) -> Begun:
        """The first entry; RecordError where the folder holds no examination."""
        if self.begun is None:
            raise RecordError(f"{folder} holds no live examination.")
        return self.begun

    def settings(self, base: Settings) -> Settings:
        """The settings of this examination."""
        assert self.begun is not None
        return base.model_copy(
            update={
                "side": self.begun.side,
                "protocol": self.begun.protocol,
                "setting": self.begun.setting,
                "examiner": self.begun.examiner,
            }
        )

    def _answer(self, entry: Answered) -> None:
        self.answers.append(entry)
        self.answering = False

    def _take_back(self) -> None:
        if self.answers:
            self.answers.pop()

    def _order(self, entry: Ordered) -> None:
        if entry.order == "take_back":
            self.withdrawals.append(entry.at_s)
        elif entry.order == "answer":
            self.answering = True
        elif entry.order == "pause":
            self.phase, self.answering = "paused", False
        elif entry.order == "go_on":
            self.phase, self.finished_at, self.skipping = "listening", None, False
        elif entry.order == "finish":
            if self.phase == "asking":
                self.skipping = True
            else:
                self.phase, self.finished_at, self.answering = "asking", entry.at_s, False
