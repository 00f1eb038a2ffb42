"""What is asked and answered over HTTP."""

from pydantic import Field

from dictate2exam.frozen import Frozen
from dictate2exam.live.messages.kinds import OrderName, Phase, UploadState
from dictate2exam.units import Probability, Seconds, Side


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
