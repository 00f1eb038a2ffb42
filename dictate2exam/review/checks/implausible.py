"""Findings that anatomy or the examination itself makes implausible together."""

from collections.abc import Iterator

from dictate2exam.findings.model import Finding
from dictate2exam.lexicon.conflicts import Condition, ConflictRule, read_conflicts
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import label_of, name_of
from dictate2exam.units import SIDES

MUSCLE = "{muscle}"


def implausible_questions(record: ExamRecord, lexicon: Lexicon) -> Iterator[Question]:
    """A question that doesn't block for each rule that the findings of one side fulfil."""
    rules = read_conflicts(lexicon.folder)
    for side in SIDES:
        found = {f.item: f for f in record.standing if f.side == side}
        for rule in rules:
            for findings in _fulfilled(rule, found):
                yield _question(rule, findings, lexicon)


def _fulfilled(rule: ConflictRule, found: dict[str, Finding]) -> Iterator[list[Finding]]:
    if not any(MUSCLE in condition.item for condition in rule.all):
        names = [""]
    else:
        kinds = [c.item.partition(".")[0] for c in rule.all if MUSCLE in c.item]
        names = sorted(item.partition(".")[2] for item in found if item.startswith(kinds[0] + "."))
    for name in names:
        findings = [_match(condition, name, found) for condition in rule.all]
        if all(findings):
            yield [finding for finding in findings if finding]


def _match(condition: Condition, muscle: str, found: dict[str, Finding]) -> Finding | None:
    finding = found.get(condition.item.replace(MUSCLE, muscle))
    return finding if finding and finding.value in condition.values else None


def _question(rule: ConflictRule, findings: list[Finding], lexicon: Lexicon) -> Question:
    first = findings[0]
    listed = ", ".join(f"{label_of(f.item, lexicon)} {f.value}" for f in findings)
    return Question(
        kind="conflict",
        blocking=False,
        item=first.item,
        side=first.side,
        question=(
            f"{name_of(first.item, first.side, lexicon)}: {rule.reason} Recorded: {listed}. "
            f"Answer keep if all are right, else the right value, with the item's name if another."
        ),
        suggestions=("keep",),
        finding_ids=tuple(finding.finding_id for finding in findings),
        heard=tuple(stretch for finding in findings for stretch in finding.heard),
    )
