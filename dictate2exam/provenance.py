"""Where a value came from: the words and seconds behind it, and the versions that made it;
whether files are those that were released."""

import hashlib
from collections.abc import Sequence
from pathlib import Path

from dictate2exam.errors import RecogniserError
from dictate2exam.frozen import Frozen
from dictate2exam.units import Seconds


class Heard(Frozen):
    """A stretch of one utterance: first and last word (both included) and their seconds."""

    utterance: int
    first_word: int
    last_word: int
    start_s: Seconds
    end_s: Seconds
    text: str


class Versions(Frozen):
    """What made a record: package, lexicon hash, and each listener with its version."""

    package: str
    lexicon: str
    listeners: dict[str, str]


def check_released(folder: Path, what: str, names: Sequence[str] = ()) -> dict[str, str]:
    """SHA-256 of each file of the folder as SHA256SUMS lists them; RecogniserError when one of
    `names`, or of those listed where none are named, is missing or altered."""
    try:
        lines = (folder / "SHA256SUMS").read_text(encoding="utf-8").splitlines()
    except OSError:
        lines = []
    sums = {name: digest for digest, _, name in (line.partition("  ") for line in lines if line)}
    if not sums:
        raise RecogniserError(f"{what} are missing in {folder}; install dictate2exam anew.")
    for name in names or sums:
        path = folder / name
        if not path.is_file():
            raise RecogniserError(f"{name} is missing in {folder}; install dictate2exam anew.")
        if hashlib.sha256(path.read_bytes()).hexdigest() != sums.get(name):
            raise RecogniserError(
                f"{path} is not the file that was released (its SHA-256 differs from SHA256SUMS); "
                "install dictate2exam anew."
            )
    return sums
