"""Everything that the live page and its server say to each other.

HTTP routes; all but the first load need the cookie that the first load sets, else 403:

| Route | Does |
|---|---|
| GET /?token=TOKEN | sets the cookie and leads to / |
| GET / | the page |
| GET /page/NAME | its scripts and styles |
| GET /api/start | `Start` |
| GET /api/chart | the places of all items, of lexicon/chart.toml |
| POST /api/examinations | `NewExamination` to `ExaminationEntry` |
| GET /api/examinations | list of `ExaminationEntry`, newest first |
| GET /api/examinations/ID/sound?from_s=&to_s= | that stretch of the stored sound as WAV, <= 30 s |
| GET /api/examinations/ID/report | the report as a page of its own |
| GET /api/examinations/ID/files/NAME | any of its files: record.json, findings.csv, ... |
| POST /api/uploads?name=FILE&protocol=NAME&side=SIDE | raw body of one file to `Upload` |
| GET /api/uploads | list of `Upload`, newest first |
| DELETE /api/uploads/ID | gives an upload up |
| WebSocket /live | one tab on one examination |

Whatever is refused comes back as `Trouble` with a fitting status. On the WebSocket a binary frame
is sound (`FRAME_HEADER` and mono 16 kHz samples), text is one of the models below as JSON, told
apart by `type`.
"""

from typing import Annotated, Literal

from pydantic import Field, TypeAdapter

from dictate2exam.frozen import Frozen
from dictate2exam.units import Bits, Probability, Seconds, Side

# A sound frame: its sequence number as unsigned 32 bits little-endian, then signed 16 bit
# little-endian samples, 10 to 250 ms of them.
FRAME_HEADER = "<I"
SHORTEST_FRAME = 160
LONGEST_FRAME = 4_000

Phase = Literal["consent", "ready", "listening", "paused", "asking", "to_sign", "signed"]
OrderName = Literal["take_back", "repeat", "show_left", "answer", "pause", "go_on", "finish"]
Role = Literal["lead", "watch"]
CellState = Literal["accepted", "to_confirm", "confirmed"]
Became = Literal["findings", "order", "answer", "question", "talk", "nothing"]
LevelState = Literal["good", "low", "clipped", "silent", "noisy"]
UploadState = Literal["waiting", "working", "done", "failed", "given_up"]


# What the server answers over HTTP


class ProtocolEntry(Frozen):
    """A protocol that can be chosen."""

    name: str
    label: str


class Order(Frozen):
    """A spoken order: what it does in one sentence, and every way of saying it."""

    order: OrderName
    does: str
    spoken: tuple[str, ...]
    key: str = ""


class ConsentText(Frozen):
    """What is said before the first recording; `version` is kept with the answer."""

    version: str
    sentences: tuple[str, ...]
    question: str


class ExaminationEntry(Frozen):
    """One examination in the folder; counts are None where it was not opened yet."""

    exam: str
    created: str
    protocol: str
    side: Side
    examiner: str
    phase: Phase
    findings: int | None
    open_questions: int | None


class Start(Frozen):
    """What the page needs once: `required` holds the items that each protocol asks for."""

    version: str
    protocols: tuple[ProtocolEntry, ...]
    protocol: str
    examiner: str
    required: dict[str, tuple[str, ...]]
    orders: tuple[Order, ...]
    consent: ConsentText
    cautions: tuple[str, ...]
    upload_types: tuple[str, ...]
    upload_bytes: int


class NewExamination(Frozen):
    """Begins an examination; empty fields take what the command line said."""

    protocol: str = ""
    side: Side = "none"
    examiner: str = Field(default="", max_length=80)


class Upload(Frozen):
    """One dropped file; `speed` is seconds of sound read in a second, `left_s` the time still
    needed; None while unknown. `exam` is the record's examination once the upload is done.
    """

    upload: str
    name: str
    state: UploadState
    stage: str
    share: Probability
    speed: float | None = None
    left_s: Seconds | None = None
    exam: str = ""
    message: str = ""


# From the page


class Hello(Frozen):
    """First message of a tab: `tab` is its own random name, kept over reconnects."""

    type: Literal["hello"] = "hello"
    exam: str
    tab: str = Field(min_length=8, max_length=64)


class TakeOver(Frozen):
    """A watching tab asks to lead; granted while no other tab that leads is connected."""

    type: Literal["take_over"] = "take_over"


class Consent(Frozen):
    """The examiner's answer to the question of consent."""

    type: Literal["consent"] = "consent"
    agreed: bool
    version: str
    by: str = Field(default="", max_length=80)


class Device(Frozen):
    """The microphone in use, for the record: what the browser calls it, and its own rate."""

    type: Literal["device"] = "device"
    label: str = Field(max_length=200)
    rate: int = Field(ge=8_000, le=384_000)


class GiveOrder(Frozen):
    """An order by key, pedal or button: the same as spoken."""

    type: Literal["order"] = "order"
    order: OrderName


class Answer(Frozen):
    """An answer to a question: a value, a side, a suggestion, keep, reject or skip.

    `played`: the sound behind it was played to the end before.
    """

    type: Literal["answer"] = "answer"
    question_id: str
    answer: str = Field(min_length=1, max_length=200)
    played: bool = False


class Ask(Frozen):
    """Asks for what is shown on request only."""

    type: Literal["ask"] = "ask"
    what: Literal["next", "location", "chart"]


class Sign(Frozen):
    """Signs the record under a name; refused while blocking questions are open."""

    type: Literal["sign"] = "sign"
    by: str = Field(min_length=1, max_length=80)


FromPage = Annotated[
    Hello | TakeOver | Consent | Device | GiveOrder | Answer | Ask | Sign,
    Field(discriminator="type"),
]
FROM_PAGE: TypeAdapter[FromPage] = TypeAdapter(FromPage)


# To the page


class Welcome(Frozen):
    """Answer to hello: `next_sequence` is the number of the first frame that is not stored yet."""

    type: Literal["welcome"] = "welcome"
    exam: str
    role: Role
    phase: Phase
    protocol: str
    side: Side
    next_sequence: int
    seconds: Seconds


class RoleIs(Frozen):
    """Whether this tab leads or watches has changed; `led`: some tab leads at present."""

    type: Literal["role"] = "role"
    role: Role
    led: bool


class Acknowledged(Frozen):
    """All frames before `next_sequence` are on disk and may be forgotten; `seconds` stored."""

    type: Literal["ack"] = "ack"
    next_sequence: int
    seconds: Seconds


class Resend(Frozen):
    """Frames from `next_sequence` on are missing: send them again, in order."""

    type: Literal["resend"] = "resend"
    next_sequence: int


class PhaseIs(Frozen):
    """The examination is now in this phase; `answering`: the next words answer a question."""

    type: Literal["phase"] = "phase"
    phase: Phase
    answering: str = ""


class Partial(Frozen):
    """Words that may still change; an empty text withdraws them."""

    type: Literal["partial"] = "partial"
    text: str


class Heard(Frozen):
    """One utterance with what became of it, in a few plain words."""

    type: Literal["heard"] = "heard"
    text: str
    start_s: Seconds
    end_s: Seconds
    became: Became
    what: str
    finding_ids: tuple[str, ...] = ()


class Cell(Frozen):
    """A finding that stands; `said` is its value in words as it may be spoken aloud.

    `more` are other findings of the same item and side that stand (touch and pin).
    """

    finding_id: str
    value: str
    text: str
    said: str
    scale: str = ""
    detail: dict[str, str] = {}
    state: CellState
    abnormal: bool
    question_ids: tuple[str, ...] = ()
    confidence: Probability
    heard: str
    start_s: Seconds
    end_s: Seconds
    more: tuple["Cell", ...] = ()


class ChartRow(Frozen):
    """One item with what was found of it, by side."""

    item: str
    right: Cell | None = None
    left: Cell | None = None
    none: Cell | None = None


class RedFlagShown(Frozen):
    """A sign that must not wait, confirmed or not."""

    flag: str
    message: str
    confirmed: bool


class Chart(Frozen):
    """All that was found so far, whole each time; `changed` are the findings new in it.

    `done` and `wanted` count the protocol's required items on the examined sides; `left` are those
    not examined yet on one of them at least.
    """

    type: Literal["chart"] = "chart"
    revision: int
    rows: tuple[ChartRow, ...]
    changed: tuple[str, ...] = ()
    done: int
    wanted: int
    left: tuple[str, ...] = ()
    red_flags: tuple[RedFlagShown, ...] = ()
    cautions: tuple[str, ...] = ()


class Listened(Frozen):
    """What one listener heard there."""

    listener: str
    text: str


class SoundBehind(Frozen):
    """A stretch of stored sound behind a question, its words with their times, what each heard."""

    start_s: Seconds
    end_s: Seconds
    text: str
    words: tuple[tuple[str, Seconds, Seconds], ...] = ()
    readings: tuple[Listened, ...] = ()


class QuestionShown(Frozen):
    """One open question; no suggestion is preselected, and sound comes before suggestions."""

    question_id: str
    kind: str
    blocking: bool
    item: str
    label: str
    side: Side
    question: str
    suggestions: tuple[str, ...] = ()
    recorded: tuple[str, ...] = ()
    sound: tuple[SoundBehind, ...] = ()


class Questions(Frozen):
    """Open questions, the one on top first; gaps are counted apart (see `Next`)."""

    type: Literal["questions"] = "questions"
    open: tuple[QuestionShown, ...]
    blocking: int
    gaps: int


class Done(Frozen):
    """An order or answer was carried out; `say` is one sentence to show, and to speak if wanted."""

    type: Literal["done"] = "done"
    order: OrderName | Literal["answer_given"]
    say: str
    finding_ids: tuple[str, ...] = ()


class Level(Frozen):
    """How the sound of the last seconds is: decibels of full scale, share clipped; `say` is one
    sentence where something is wrong.
    """

    type: Literal["level"] = "level"
    state: LevelState
    level_db: float
    snr_db: float | None
    clipped: Probability
    say: str = ""


class NextShown(Frozen):
    """An item still to examine: expected information, how it is commonly examined, donor."""

    item: str
    label: str
    side: Side
    bits: Bits | None
    how: str = ""
    donor: str = ""


class Next(Frozen):
    """What is left: by expected information about the site, and in the order of the protocol."""

    type: Literal["next"] = "next"
    by_information: tuple[NextShown, ...]
    by_protocol: tuple[NextShown, ...]


class SiteShown(Frozen):
    """A site of the location with its probability."""

    summary: str
    probability: Probability


class Place(Frozen):
    """The most probable sites of one side."""

    side: Side
    sites: tuple[SiteShown, ...]
    outlook: str


class Location(Frozen):
    """The location so far, only ever sent when asked for; `stamp` must be shown with it."""

    type: Literal["location"] = "location"
    provisional: bool
    stamp: str
    places: tuple[Place, ...]
    cautions: tuple[str, ...]
    red_flags: tuple[str, ...]


class Signed(Frozen):
    """The record is signed and written; the report is at `report`."""

    type: Literal["signed"] = "signed"
    by: str
    at: str
    report: str
    located: bool
    say: str


class Trouble(Frozen):
    """Something went wrong or was refused, in one sentence; `lasting` until `over` is sent."""

    type: Literal["trouble"] = "trouble"
    trouble: Literal["refused", "disk", "recogniser", "sound", "input", "over"]
    message: str
    lasting: bool = False


ToPage = (
    Welcome
    | RoleIs
    | Acknowledged
    | Resend
    | PhaseIs
    | Partial
    | Heard
    | Chart
    | Questions
    | Done
    | Level
    | Next
    | Location
    | Signed
    | Trouble
)
