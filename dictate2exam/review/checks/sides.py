"""Which side or sides an examination is about."""

from collections import Counter

from dictate2exam.findings.model import Finding
from dictate2exam.record.model import ExamRecord
from dictate2exam.units import Side

GRADED = ("power", "sensation")
NORMAL = frozenset({"5", "normal", "not_tested", "full", "10"})


def is_deficit(finding: Finding) -> bool:
    """Whether a grade of power or sensation is below normal."""
    if finding.item.partition(".")[0] not in GRADED or finding.value in NORMAL:
        return False
    return not (finding.scale == "isncsci" and finding.value == "2")


def examined_sides(record: ExamRecord) -> tuple[Side, ...]:
    """The sides with deficits; without any, the side with most grades; else the side of the run."""
    graded = [f for f in record.standing if f.item.partition(".")[0] in GRADED]
    deficits: Counter[Side] = Counter(f.side for f in graded if is_deficit(f))
    all_: Counter[Side] = Counter(f.side for f in graded)
    del deficits["none"], all_["none"]
    if deficits:
        most = max(deficits.values())
        # A single odd grade on the good arm doesn't make it an arm to examine in full.
        return tuple(sorted(side for side, count in deficits.items() if 3 * count >= most))
    if all_:
        return (all_.most_common(1)[0][0],)
    return (record.default_side,)
