"""The events of one examination: what led from one record to the next, kept one after another."""

from collections.abc import Callable, Mapping
from datetime import datetime, timezone
from pathlib import Path
from typing import Any, TypeVar

from dictate2exam import __version__
from dictate2exam.errors import RecordError
from dictate2exam.provenance import Versions
from dictate2exam.record.event_file import EventFile
from dictate2exam.record.events import (
    EVENTS_FILE,
    Event,
    EventKind,
    chained,
)
from dictate2exam.record.fold import State, change_between, record_of, state_after, state_of
from dictate2exam.record.model import Amendment, ExamRecord
from dictate2exam.speech.model import Transcript

Made = TypeVar("Made")

PROGRAM = "dictate2exam"


class EventLog:
    """The events in a folder, opened to append to them; one writer at a time.

    `record` is the record after all events, None before the first. What an appending method has
    returned for is on disk for good. `lexicon` is the hash of the lexicon in use.
    """

    def __init__(self, folder: Path, lexicon: str = "") -> None:
        self.folder, self._lexicon = folder, lexicon
        self._file = EventFile(folder)
        self._state: State = _in_folder(folder, lambda: state_after(self.events))
        self.record: ExamRecord | None = None
        if self.events:
            self.record = _in_folder(folder, lambda: record_of(self._state, self.events[-1]))

    @property
    def events(self) -> list[Event]:
        """All events that were kept, in their order."""
        return self._file.events

    def take_over(self, record: ExamRecord) -> None:
        """Begins the chain with a record that was kept before there were events."""
        self.append("begun", PROGRAM, {"taken_over": "record.json"}, record)

    def append(
        self,
        kind: EventKind,
        actor: str,
        data: Mapping[str, Any],
        record: ExamRecord | None = None,
    ) -> Event:
        """One event; `record` is the record after it where it changed."""
        after = self._state if record is None else state_of(record)
        known = record or self.record
        event = chained(
            {
                "time": now(),
                "actor": actor or PROGRAM,
                "kind": kind,
                "versions": self._versions(known).model_dump(mode="json"),
                "protocol": known.protocol if known else "",
                "data": dict(data),
                "change": change_between(self._state, after),
            },
            self.events[-1] if self.events else None,
        )
        self._file.add(event)
        self._state = after
        self.record = record_of(after, event) if after else None
        return event

    def begin(self, record: ExamRecord, data: Mapping[str, Any], actor: str = "") -> None:
        """Begins an examination in the folder; an earlier one stays in the events before it.

        Nothing of `record` but its head is taken: `note` tells the rest. RecordError where an
        earlier one was signed.
        """
        self.must_be_unsigned()
        self.append("begun", actor, data, blank(record))

    def must_be_unsigned(self) -> None:
        """Refuses a folder whose record somebody has signed."""
        if self.record is not None and self.record.signatures:
            signed = self.record.signatures[-1]
            raise RecordError(
                f"{self.folder} holds a record that {signed.name} signed (version "
                f"{signed.version}); name another folder for a new examination."
            )

    def note(self, record: ExamRecord, actor: str = "") -> list[Event]:
        """Appends what led from the record so far to this one: one event for each kind of it.

        New words are `heard`, findings `extracted`, questions `questioned`; answers are `answered`,
        or `amended` where the record was signed or the question had been answered before. `actor`
        is who answered. Another examination than that of the folder begins anew.
        """
        if self.record is None or self.record.created != record.created:
            # Which examination it is, is told by when it was begun.
            self.begin(record, {})
        before = self.record
        assert before is not None
        self._must_follow(before, record)
        made: list[Event] = []
        if record.transcript != before.transcript:
            step = before.model_copy(update={"transcript": record.transcript})
            made.append(self.append("heard", PROGRAM, _heard(before, record), step))
        if len(record.amendments) > len(before.amendments):
            made.append(self._answered(before, record, actor))
            return made
        step = record.model_copy(
            update={"questions": before.questions, "amendments": before.amendments}
        )
        if self._differs(step):
            extracted = step.findings != before.findings or bool(made)
            kind: EventKind = "extracted" if extracted else "amended"
            who = PROGRAM if extracted else actor
            data = _extracted(before, record)
            if not extracted:
                change = Amendment(question_id="", answer=_told(data), time=now(), actor=actor)
                record = record.model_copy(update={"amendments": (*before.amendments, change)})
                step = step.model_copy(update={"amendments": record.amendments})
            made.append(self.append(kind, who, data, step))
        step = record
        if self._differs(step):
            made.append(self.append("questioned", PROGRAM, _questioned(before, record), step))
        return made

    def _answered(self, before: ExamRecord, record: ExamRecord, actor: str) -> Event:
        new = record.amendments[len(before.amendments) :]
        stamped = tuple(
            note.model_copy(update={"time": note.time or now(), "actor": note.actor or actor})
            for note in new
        )
        known = {note.question_id for note in before.amendments}
        again = bool(before.signatures) or any(note.question_id in known for note in new)
        return self.append(
            "amended" if again else "answered",
            actor,
            {
                "answers": [
                    note.model_dump(mode="json", include={"question_id", "answer", "findings"})
                    for note in new
                ]
            },
            record.model_copy(update={"amendments": (*before.amendments, *stamped)}),
        )

    def _differs(self, record: ExamRecord) -> bool:
        return self.record is None or state_of(record) != state_of(self.record)

    def _must_follow(self, before: ExamRecord, record: ExamRecord) -> None:
        """Refuses a record that knows nothing of what was kept since it was read."""
        kept = [(note.question_id, note.answer) for note in before.amendments]
        known = [(note.question_id, note.answer) for note in record.amendments]
        if known[: len(kept)] != kept or record.signatures != before.signatures:
            raise RecordError(
                f"The record in {self.folder} was changed by another program meanwhile; nothing "
                f"was written, start again."
            )

    def _versions(self, record: ExamRecord | None) -> Versions:
        return Versions(
            package=__version__,
            lexicon=self._lexicon or (record.versions.lexicon if record else ""),
            listeners=dict(record.versions.listeners) if record else {},
        )


def now() -> str:
    """The time as events write it: UTC, to the millisecond."""
    return datetime.now(timezone.utc).isoformat(timespec="milliseconds")


def blank(record: ExamRecord) -> ExamRecord:
    """The record before anything was heard."""
    return record.model_copy(
        update={
            "transcript": Transcript(utterances=()),
            "findings": (),
            "questions": (),
            "amendments": (),
            "signatures": (),
            "cautions": (),
            "red_flags": (),
        }
    )


def _heard(before: ExamRecord, after: ExamRecord) -> dict[str, Any]:
    new = len(after.transcript.utterances) - len(before.transcript.utterances)
    return {"utterances": len(after.transcript.utterances), "new": new}


def _extracted(before: ExamRecord, after: ExamRecord) -> dict[str, Any]:
    known = {entry.finding.finding_id: entry for entry in before.findings}
    changed = [
        entry.finding.finding_id
        for entry in after.findings
        if known.get(entry.finding.finding_id) != entry
    ]
    data: dict[str, Any] = {"findings": changed}
    if after.setting != before.setting:
        data["setting"] = after.setting
    return {name: value for name, value in data.items() if value}


def _told(data: Mapping[str, Any]) -> str:
    return "; ".join(f"{name} {value}" for name, value in data.items()) or "read again"


def _questioned(before: ExamRecord, after: ExamRecord) -> dict[str, Any]:
    known = {question.question_id: question for question in before.questions}
    new = [q.question_id for q in after.questions if q.question_id not in known]
    changed = [
        q.question_id
        for q in after.questions
        if q.question_id in known and known[q.question_id] != q
    ]
    return {"asked": new, "changed": changed} if changed else {"asked": new}


def _in_folder(folder: Path, made: Callable[[], Made]) -> Made:
    """What `made` gives; its errors name the file."""
    try:
        return made()
    except RecordError as error:
        raise type(error)(f"{folder / EVENTS_FILE}: {error}") from None
