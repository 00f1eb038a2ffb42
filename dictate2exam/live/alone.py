"""One server in a folder: a second one would write into the same examinations."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from dictate2exam.errors import InputError

IN_USE_FILE = ".in_use"  # the lock ends with the process, the file stays


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Holds the folder for this process; InputError where another server holds it."""
    path = folder / IN_USE_FILE
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        held = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise InputError(
            f"Cannot use {folder}: {error.strerror or error}; choose another with --folder."
        ) from None
    try:
        if not _locked(held):
            raise InputError(
                f"Another 'dictate2exam live' listens in {folder} already; use its page, or end it "
                f"first, or choose another folder with --folder."
            )
        yield
    finally:
        os.close(held)


def _locked(descriptor: int) -> bool:
    """Whether the file is this process's now; the system frees it when the process ends."""
    try:
        if os.name == "nt":
            import msvcrt

            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
