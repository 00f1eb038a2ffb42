"""What the page is told over its WebSocket."""

from typing import Literal

from dictate2exam.frozen import Frozen
from dictate2exam.live.messages.kinds import Became, CellState, LevelState, OrderName, Phase, Role
from dictate2exam.units import Bits, Probability, Seconds, Side


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
