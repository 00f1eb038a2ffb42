"""What the page sends over its WebSocket."""

from typing import Annotated, Literal

from pydantic import Field, TypeAdapter

from dictate2exam.frozen import Frozen
from dictate2exam.live.messages.kinds import OrderName

# A sound frame: its sequence number as unsigned 32 bits little-endian, then signed 16 bit
# little-endian samples, 10 to 250 ms of them.
FRAME_HEADER = "<I"
SHORTEST_FRAME = 160
LONGEST_FRAME = 4_000


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
