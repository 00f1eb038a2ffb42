"""What happened in a live examination, in order, on disk before anybody is told of it.

Every entry is an event of the examination's chain. Its state is a fold of the entries
(`progress.py`), so that a killed server goes on where it was; the record itself is added to the
chain when it is signed, since until then a later word may change what an earlier one meant.
"""

from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, TypeAdapter, ValidationError

from dictate2exam.errors import InputError, RecordError
from dictate2exam.frozen import Frozen
from dictate2exam.live.messages.kinds import OrderName
from dictate2exam.questions import Question
from dictate2exam.record.events import Event, EventKind
from dictate2exam.record.log import EventLog
from dictate2exam.record.model import ExamRecord
from dictate2exam.speech.model import Utterance
from dictate2exam.units import Seconds, Side


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
    """The record was signed."""

    kind: Literal["signed"] = "signed"
    time: str
    by: str


Entry = Annotated[
    Begun | Consented | Microphone | Spoken | Ordered | Answered | TakenBack | ReadFile | SignedBy,
    Field(discriminator="kind"),
]
_ENTRY: TypeAdapter[Entry] = TypeAdapter(Entry)


# What kind of event an entry is; everything else is something that was heard.
KINDS: dict[str, EventKind] = {
    "begun": "begun",
    "consented": "consent",
    "answered": "answered",
    "taken_back": "amended",
}
LIVE = "live"  # names the entry's kind in the data of its event


class Ledger:
    """The entries of one examination, in its chain of events; one writer at a time.

    `lexicon` is the hash of the lexicon in use. RecordError where an event was altered.
    """

    def __init__(self, folder: Path, lexicon: str = "") -> None:
        self._folder, self._lexicon = folder, lexicon
        self.reload()

    def reload(self) -> None:
        """Reads the events again, once others have added to them."""
        self.log = EventLog(self._folder, self._lexicon)
        self.entries = [entry for event in self.log.events if (entry := _entry_of(event))]

    def begin(self, begun: Begun, record: ExamRecord) -> None:
        """The first entry; InputError where it can't be written. `record` holds nothing yet."""
        self.log.begin(record, _data(begun), begun.examiner)
        self.entries.append(begun)

    def append(self, entry: Entry) -> None:
        """Puts the entry on disk; on OSError nothing has changed."""
        by = entry.by if isinstance(entry, Consented) else ""
        examiner = self.log.record.examiner if self.log.record else ""
        try:
            self.log.append(KINDS.get(entry.kind, "heard"), by or examiner, _data(entry))
        except InputError as error:
            cause = error.__context__
            raise (cause if isinstance(cause, OSError) else error) from None
        self.entries.append(entry)


def _data(entry: Entry) -> dict[str, Any]:
    content = entry.model_dump(mode="json")
    return {LIVE: content.pop("kind"), **content}


def _entry_of(event: Event) -> Entry | None:
    """The entry that an event holds; None for those of the record."""
    if event.kind == "signed":
        return SignedBy(time=event.time, by=event.actor)
    if LIVE not in event.data:
        return None
    content = {"kind": event.data[LIVE], **event.data}
    del content[LIVE]
    try:
        return _ENTRY.validate_python(content)
    except ValidationError:
        raise RecordError(
            f"Event {event.sequence} holds nothing that this version knows of a live examination; "
            f"update the program."
        ) from None
