"""Sound as it was received: copied beside the record, with its SHA-256."""

import hashlib
import os
import tempfile
from pathlib import Path
from typing import Any

from dictate2exam.errors import InputError

AUDIO_FOLDER = "audio"
BLOCK = 1 << 20


def sound_of(path: Path) -> dict[str, Any]:
    """Name, size and SHA-256 of a file, as an event holds them; `stored` is empty: not copied."""
    return {
        "name": path.name,
        "stored": "",
        "bytes": path.stat().st_size,
        "sha256": hash_of(path),
    }


def hash_of(path: Path) -> str:
    """SHA-256 of a file, in hexadecimal."""
    found = hashlib.sha256()
    with path.open("rb") as handle:
        while block := handle.read(BLOCK):
            found.update(block)
    return found.hexdigest()


def store_sound(path: Path, folder: Path) -> dict[str, Any]:
    """Copies a file unchanged to audio/ in the folder; its `sound_of`, with where it is `stored`.

    A file of the same content is not copied again, one of the same name is left as it is. Raises
    InputError where the copy cannot be made.
    """
    target = folder / AUDIO_FOLDER
    try:
        target.mkdir(parents=True, exist_ok=True)
        return _copied(path, target)
    except OSError as error:
        reason = error.strerror or str(error)
        raise InputError(
            f"Cannot keep {path.name} in {target}: {reason}; choose another folder, or --no-audio."
        ) from None


def _copied(path: Path, target: Path) -> dict[str, Any]:
    found, size = hashlib.sha256(), 0
    with tempfile.TemporaryDirectory(prefix=".writing-", dir=target) as waiting:
        copy = Path(waiting) / "copy"
        with path.open("rb") as source, copy.open("wb") as written:
            while block := source.read(BLOCK):
                found.update(block)
                size += len(block)
                written.write(block)
            written.flush()
            os.fsync(written.fileno())
        digest = found.hexdigest()
        stored = _free_name(path, target, digest)
        if not stored.exists():
            os.replace(copy, stored)
    return {
        "name": path.name,
        "stored": f"{AUDIO_FOLDER}/{stored.name}",
        "bytes": size,
        "sha256": digest,
    }


def _free_name(path: Path, target: Path, digest: str) -> Path:
    """The file's own name, numbered where another content has it."""
    stored, number = target / path.name, 2
    while stored.exists() and hash_of(stored) != digest:
        stored = target / f"{path.stem}_{number}{path.suffix}"
        number += 1
    return stored
