"""The records in folders, read one after the other."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from dictate2exam.errors import InputError, RecordError
from dictate2exam.record.events import EVENTS_FILE
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.store import RECORD_FILE, load_record


def record_folders(given: Sequence[Path]) -> list[Path]:
    """Every folder with a record among these and in them, each once; InputError without any."""
    found: dict[Path, None] = {}
    for folder in given:
        if not folder.is_dir():
            raise InputError(f"There is no folder {folder}.")
        inside = (path.parent for name in (RECORD_FILE, EVENTS_FILE) for path in folder.rglob(name))
        found.update(dict.fromkeys(sorted(inside)))
    if not found:
        named = ", ".join(str(folder) for folder in given)
        raise InputError(f"There is no record in {named}; run an examination first.")
    return list(found)


class Reader:
    """Reads records one by one; `unread` holds what could not be, with the reason."""

    def __init__(self, folders: Sequence[Path]) -> None:
        self.folders = folders
        self.unread: list[str] = []

    def __iter__(self) -> Iterator[ExamRecord]:
        for folder in self.folders:
            try:
                yield load_record(folder)
            except RecordError as error:
                self.unread.append(str(error))
