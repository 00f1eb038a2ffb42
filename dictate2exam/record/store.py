"""The record as versioned JSON, and files that are written whole or not at all."""

import json
import os
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from pydantic import ValidationError

from dictate2exam.errors import InputError, NewerVersionError, RecordError
from dictate2exam.record.events import EVENTS_FILE
from dictate2exam.record.fold import fold
from dictate2exam.record.log import EventLog
from dictate2exam.record.model import SCHEMA_VERSION, ExamRecord

RECORD_FILE = "record.json"


def write_files(folder: Path, texts: Mapping[str, str], remove: Iterable[str] = ()) -> None:
    """Writes all the files, then removes the named ones; on failure what was there stays.

    Every file is first written in full under another name; only when all are there do they take
    their places.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".writing-", dir=folder) as waiting:
            for name, text in texts.items():
                target = Path(waiting) / name
                with target.open("w", encoding="utf-8", newline="") as handle:
                    handle.write(text)
                    handle.flush()
                    os.fsync(handle.fileno())
            for name in remove:
                (folder / name).unlink(missing_ok=True)
            for name in texts:
                os.replace(Path(waiting) / name, folder / name)
    except OSError as error:
        reason = error.strerror or str(error)
        raise InputError(f"Cannot write to {folder}: {reason}; choose another folder.") from None


def record_json(record: ExamRecord) -> str:
    """The record as JSON text."""
    return record.model_dump_json(indent=1) + "\n"


def save_record(record: ExamRecord, folder: Path) -> None:
    """Writes record.json into the folder."""
    write_files(folder, {RECORD_FILE: record_json(record)})


def load_record(folder: Path) -> ExamRecord:
    """The record in the folder, as its events give it.

    RecordError if it is missing, broken, altered or of a newer version. A folder that was made
    before there were events gives what its record.json holds.
    """
    record = open_log(folder).record or read_saved(folder)
    if record is None:
        raise RecordError(f"{folder} holds no {RECORD_FILE}; run an examination into it first.")
    return record


def open_log(folder: Path, lexicon: str = "") -> EventLog:
    """The events of the folder, to append to them; RecordError where anything was altered.

    `lexicon` is the hash of the lexicon in use. Nothing is written.
    """
    log = EventLog(folder, lexicon)
    saved = read_saved(folder)
    if saved is not None:
        _must_agree(saved, log)
    return log


def keep(log: EventLog, record: ExamRecord, actor: str = "") -> ExamRecord:
    """Appends what led to this record, that of an older folder first; the record as kept."""
    older = read_saved(log.folder) if log.record is None else None
    if older is not None:
        log.take_over(older)
    log.note(record, actor)
    assert log.record is not None
    return log.record


def _must_agree(saved: ExamRecord, log: EventLog) -> None:
    """Refuses a record.json that its events don't give; one that events were added to is fine."""
    events, folder = log.events, log.folder
    if saved.chain is None and not events:
        return
    if saved.chain is None or saved.chain.events > len(events):
        made = f"{saved.chain.events} events" if saved.chain else "no events"
        raise RecordError(
            f"{folder / EVENTS_FILE} is cut short or of another record: it holds {len(events)} "
            f"events, and {RECORD_FILE} was made from {made}."
        )
    number = saved.chain.events
    then = log.record if number == len(events) else fold(events[:number])
    if then != saved:
        raise RecordError(
            f"{folder / RECORD_FILE} was altered after it was written; 'dictate2exam verify "
            f"{folder}' tells where. Remove it to go on with the record as {EVENTS_FILE} gives it."
        )


def read_saved(folder: Path) -> ExamRecord | None:
    """What record.json holds, None where there is none; RecordError where it is broken."""
    path = folder / RECORD_FILE
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError as error:
        raise RecordError(f"{path} cannot be read: {error.strerror}.") from None
    except (json.JSONDecodeError, UnicodeDecodeError) as error:
        raise RecordError(f"{path} is broken or cut short: {error}.") from None
    if not isinstance(content, dict):
        raise RecordError(f"{path} is no record of an examination.")
    version = content.get("schema_version")
    if isinstance(version, int) and version > SCHEMA_VERSION:
        raise NewerVersionError(
            f"{path} has format {version}, newer than {SCHEMA_VERSION}, the newest that this "
            f"version reads; update the program."
        )
    try:
        # What later formats added has its default; it is written in the newest.
        return ExamRecord.model_validate(content | {"schema_version": SCHEMA_VERSION})
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"]) or "the whole"
        raise RecordError(f"{path} does not fit its format at {where}: {first['msg']}.") from None
