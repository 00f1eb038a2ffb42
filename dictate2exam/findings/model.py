"""A finding as read out of speech, before the record decides which one stands."""

from dictate2exam.frozen import Frozen
from dictate2exam.provenance import Heard
from dictate2exam.questions import Question
from dictate2exam.units import Probability, Side

MRC_GRADES: tuple[str, ...] = (
    "0",
    "1",
    "2-",
    "2",
    "2+",
    "3-",
    "3",
    "3+",
    "4-",
    "4",
    "4+",
    "5-",
    "5",
)


class Finding(Frozen):
    """One item with its side and value, and the words it was read from.

    `finding_id` is unique within an examination and the same for the same input; `scale` is
    "mrc", "ten", "isncsci" or empty; `detail` holds the contract's keys (radiates_to, pattern,
    method, modality, limited_by, hedged); `side_spoken` is False where the side is only the
    default of the run; `corrects` names the finding that this one replaces by a spoken
    correction; `rule` names the rule that made it; `confidence` is the probability that item,
    side and value are as spoken.
    """

    finding_id: str
    item: str
    side: Side
    value: str
    scale: str = ""
    detail: dict[str, str] = {}
    heard: tuple[Heard, ...]
    confidence: Probability = 1.0
    side_spoken: bool = True
    corrects: str = ""
    rule: str = ""

    @property
    def heard_text(self) -> str:
        """The words behind the finding, stretches joined by an ellipsis."""
        return " … ".join(stretch.text for stretch in self.heard)


class Extraction(Frozen):
    """Everything read from one transcript: findings in spoken order, doubts, withdrawn ids.

    `withdrawn` are findings that the speaker took back without putting anything in their place.
    """

    findings: tuple[Finding, ...]
    questions: tuple[Question, ...] = ()
    withdrawn: tuple[str, ...] = ()
