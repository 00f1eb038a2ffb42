"""The file of events on disk: lines are added, none is altered, each is there before it is told."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from dictate2exam.errors import InputError, NewerVersionError, RecordError
from dictate2exam.record.events import EVENTS_FILE, BrokenLine, Event, line_of, read_line

# Where an event that was being written when the process was killed is put aside.
UNFINISHED_FILE = "events.unfinished"


def read_events(folder: Path) -> tuple[list[Event], bytes]:
    """The events of a folder, and the bytes of an unfinished last one, empty where there is none.

    A last line without its end was never acknowledged. RecordError where anything else is altered.
    """
    path = folder / EVENTS_FILE
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return [], b""
    except OSError as error:
        raise RecordError(f"{path} cannot be read: {error.strerror}.") from None
    *lines, unfinished = content.split(b"\n")
    events: list[Event] = []
    for number, line in enumerate(lines, start=1):
        try:
            events.append(read_line(line, events[-1] if events else None))
        except BrokenLine as error:
            raise RecordError(
                f"{path}, line {number}: {error}; 'dictate2exam verify {folder}' tells more."
            ) from None
        except NewerVersionError as error:
            raise NewerVersionError(f"{path}, line {number}: {error}") from None
    return events, unfinished


class EventFile:
    """The events that a folder held when it was opened, and the end of its file, to add lines to.

    One writer at a time: a file that another program has added to meanwhile is refused.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.events, self._unfinished = read_events(folder)
        self._size = sum(len(line_of(event)) for event in self.events)

    def add(self, event: Event) -> None:
        """Puts an event on disk for good; what was there is as before where that fails.

        InputError where nothing can be written, RecordError where others have written.
        """
        line = line_of(event)
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with (self.folder / EVENTS_FILE).open("ab") as handle, _alone(handle):
                self._set_aside(handle)
                try:
                    handle.write(line)
                    handle.flush()
                    os.fsync(handle.fileno())
                except OSError:
                    handle.truncate(self._size)
                    raise
            if not self.events:
                _sync_folder(self.folder)
        except OSError as error:
            reason = error.strerror or str(error)
            raise InputError(
                f"Cannot write to {self.folder}: {reason}; choose another folder."
            ) from None
        self._size += len(line)
        self.events.append(event)

    def _set_aside(self, handle: IO[bytes]) -> None:
        """Moves an unfinished last line to its own file; refuses where others have written."""
        if os.fstat(handle.fileno()).st_size != self._size + len(self._unfinished):
            raise RecordError(
                f"The record in {self.folder} was changed by another program meanwhile; nothing "
                f"was written, start again."
            )
        if not self._unfinished:
            return
        with (self.folder / UNFINISHED_FILE).open("ab") as aside:
            aside.write(self._unfinished + b"\n")
            aside.flush()
            os.fsync(aside.fileno())
        handle.truncate(self._size)
        self._unfinished = b""


@contextmanager
def _alone(handle: IO[bytes]) -> Iterator[None]:
    """Holds the file for this process alone, where the system knows such locks."""
    try:
        import fcntl
    except ImportError:  # Windows: the size of the file still tells of another writer
        yield
        return
    fcntl.flock(handle.fileno(), fcntl.LOCK_EX)
    try:
        yield
    finally:
        fcntl.flock(handle.fileno(), fcntl.LOCK_UN)


def _sync_folder(folder: Path) -> None:
    """Makes a new name in the folder last, where the system allows it."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
