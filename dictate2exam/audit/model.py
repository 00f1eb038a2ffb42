"""How complete examinations were, as counts that add up over records."""

from math import sqrt

from dictate2exam.frozen import Frozen
from dictate2exam.units import Probability

# Of the normal distribution, for 95%.
Z = 1.959964


class Count(Frozen):
    """How often something was asked for and what became of it.

    `examined` has a value, `not_tested` was said to be not tested, the rest was left out.
    """

    asked: int = 0
    examined: int = 0
    not_tested: int = 0

    def __add__(self, other: "Count") -> "Count":
        return Count(
            asked=self.asked + other.asked,
            examined=self.examined + other.examined,
            not_tested=self.not_tested + other.not_tested,
        )

    @property
    def left_out(self) -> int:
        """How often nothing was said of it."""
        return self.asked - self.examined - self.not_tested

    @property
    def share(self) -> Probability:
        """Examined of those asked for; 0 where nothing was."""
        return self.examined / self.asked if self.asked else 0.0

    @property
    def interval(self) -> tuple[Probability, Probability]:
        """95% score interval of the share (Wilson, J Am Stat Assoc 1927); 0 to 1 without any."""
        if not self.asked:
            return 0.0, 1.0
        squared, n = Z * Z, self.asked
        centre = (self.share + squared / (2 * n)) / (1 + squared / n)
        spread = self.share * (1 - self.share) / n + squared / (4 * n * n)
        half = Z * sqrt(spread) / (1 + squared / n)
        return max(centre - half, 0.0), min(centre + half, 1.0)


class Asked(Frozen):
    """What became of the questions of one kind."""

    total: int = 0
    blocking: int = 0
    open: int = 0
    answered: int = 0
    skipped: int = 0

    def __add__(self, other: "Asked") -> "Asked":
        return Asked(
            total=self.total + other.total,
            blocking=self.blocking + other.blocking,
            open=self.open + other.open,
            answered=self.answered + other.answered,
            skipped=self.skipped + other.skipped,
        )


class ItemKey(Frozen):
    """One requirement of a protocol; `key` and `donor` are as the protocol marks them."""

    protocol: str
    section: str
    item: str
    required: bool
    key: str = ""
    donor: str = ""


class Audit(Frozen):
    """Counts over records: every requirement in the protocols' order, and questions by kind.

    An examination of both arms counts each item twice, once an arm.
    """

    records: int
    findings: int
    signed: int
    items: dict[ItemKey, Count]
    questions: dict[str, Asked]

    def total(self, protocol: str, section: str = "") -> Count:
        """All required items of a protocol, or of one of its sections."""
        counts = (
            count
            for item, count in self.items.items()
            if item.required and item.protocol == protocol and section in ("", item.section)
        )
        return sum(counts, Count())
