"""What happened in a live examination, in order, on disk before anybody is told of it.

The state of an examination is a fold of these entries (`progress.py`), so that a killed server
goes on where it was.
"""

import json
import os
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter, ValidationError

from dictate2exam.errors import RecordError
from dictate2exam.frozen import Frozen
from dictate2exam.live.messages.kinds import OrderName
from dictate2exam.questions import Question
from dictate2exam.speech.model import Utterance
from dictate2exam.units import Seconds, Side

LEDGER_FILE = "live.jsonl"


class Begun(Frozen):
    """First entry; `created` names the examination in its record."""

    kind: Literal["begun"] = "begun"
    created: str
    protocol: str
    side: Side
    setting: str
    examiner: str


class Consented(Frozen):
    """The answer to the question of consent, before the first recording."""

    kind: Literal["consented"] = "consented"
    time: str
    agreed: bool
    version: str
    by: str


class Microphone(Frozen):
    """What the browser calls the microphone in use, and its own rate in hertz."""

    kind: Literal["microphone"] = "microphone"
    time: str
    label: str
    rate: int


class Ordered(Frozen):
    """An order: `at_s` is up to which second of the sound everything had been read before it."""

    kind: Literal["ordered"] = "ordered"
    time: str
    order: OrderName
    by: Literal["voice", "key"]
    at_s: Seconds


class Answered(Frozen):
    """An answer with the question as it stood then; `played`: its sound was heard before."""

    kind: Literal["answered"] = "answered"
    time: str
    question: Question
    answer: str
    by: Literal["voice", "key"]
    played: bool = False


class TakenBack(Frozen):
    """The last answer was taken back; its question is open again."""

    kind: Literal["taken_back"] = "taken_back"
    time: str
    by: Literal["voice", "key"]


class Spoken(Frozen):
    """An utterance; with the `order` or `answer` that it was it is no speech of the record.

    `unread` are answers that fitted no question: neither speech nor answer.
    """

    kind: Literal["spoken"] = "spoken"
    utterance: Utterance
    order: Ordered | None = None
    answer: Answered | None = None
    taken_back: TakenBack | None = None
    unread: bool = False


class ReadFile(Frozen):
    """The examination was read from a file given after clinic; nothing is recorded for it."""

    kind: Literal["read_file"] = "read_file"
    time: str
    name: str


class SignedBy(Frozen):
    """The record was signed, and its files written."""

    kind: Literal["signed"] = "signed"
    time: str
    by: str


Entry = Annotated[
    Begun | Consented | Microphone | Spoken | Ordered | Answered | TakenBack | ReadFile | SignedBy,
    Field(discriminator="kind"),
]
_ENTRY: TypeAdapter[Entry] = TypeAdapter(Entry)


class Ledger:
    """The entries of one examination; one writer at a time."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / LEDGER_FILE
        self.entries, self._end = _read(self.path)

    def append(self, entry: Entry) -> None:
        """Puts the entry on disk; on OSError nothing has changed."""
        line = _ENTRY.dump_json(entry) + b"\n"
        with self.path.open("ab") as handle:
            handle.truncate(self._end)  # an entry that was being written when all was killed
            try:
                handle.write(line)
                handle.flush()
                os.fsync(handle.fileno())
            except OSError:
                handle.truncate(self._end)
                raise
        self._end += len(line)
        self.entries.append(entry)


def _read(path: Path) -> tuple[list[Entry], int]:
    """The entries, and where the last whole one ends."""
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return [], 0
    except OSError as error:
        raise RecordError(f"{path} cannot be read: {error.strerror}.") from None
    whole = content[: content.rfind(b"\n") + 1]
    entries: list[Entry] = []
    for number, line in enumerate(whole.splitlines(), start=1):
        try:
            entries.append(_ENTRY.validate_python(json.loads(line)))
        except (ValueError, ValidationError):
            raise RecordError(f"{path}, line {number} is broken; it was altered.") from None
    return entries, len(whole)
