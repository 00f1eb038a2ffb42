"""Findings that anatomy or the examination itself makes implausible together."""

from collections.abc import Iterator, Sequence

from dictate2exam.findings.model import Finding
from dictate2exam.lexicon.conflicts import Comparison, Condition, ConflictRule, read_conflicts
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import label_of, name_of
from dictate2exam.review.checks.strength import Found, Strange, strange_grades
from dictate2exam.units import SIDES

MUSCLE = "{muscle}"


def implausible_questions(record: ExamRecord, lexicon: Lexicon) -> Iterator[Question]:
    """A question that doesn't block for each rule that the findings of one side fulfil.

    Of two rules about the same findings, or about some of them, the one in front speaks. A finding
    that a blocking question is open on is left alone: what it is worth here, its answer will show.
    """
    rules = read_conflicts(lexicon.folder)
    waiting = {name for question in record.blocking for name in question.finding_ids}
    for side in SIDES:
        found = {f.item: f for f in record.standing if f.side == side}
        asked: list[set[str]] = []
        for rule, findings in _strange(rules, found, lexicon):
            ids = {finding.finding_id for finding in findings}
            if not ids & waiting and not any(ids <= known or known <= ids for known in asked):
                asked.append(ids)
                yield _question(rule, findings, lexicon)


def _strange(rules: Sequence[ConflictRule], found: Found, lexicon: Lexicon) -> Iterator[Strange]:
    for rule in rules:
        for findings in _fulfilled(rule, found, lexicon):
            yield rule, findings
    yield from strange_grades(found, lexicon)


def _fulfilled(rule: ConflictRule, found: Found, lexicon: Lexicon) -> Iterator[list[Finding]]:
    if not any(MUSCLE in condition.item for condition in rule.all):
        names = [""]
    else:
        names = sorted({item.partition(".")[2] for item in found})
    for name in names:
        matched = [_match(condition, name, found, lexicon) for condition in rule.all]
        findings = list({f.finding_id: f for some in matched for f in some}.values())
        if all(matched) and not _said(findings, rule.unless_said):
            yield findings


def _match(condition: Condition, muscle: str, found: Found, lexicon: Lexicon) -> list[Finding]:
    """The findings that fulfil a condition; what holds of a whole holds of its parts.

    All parts together make up their whole.
    """
    item = condition.item.replace(MUSCLE, muscle)
    kind, _, name = item.partition(".")
    term = lexicon.by_id.get(("muscle", name))
    for known in (item, *(f"{kind}.{whole}" for whole in lexicon.wholes_of.get(name, ()))):
        if known in found:
            return [found[known]] if found[known].value in condition.values else []
    parts = [found.get(f"{kind}.{part}") for part in term.parts] if term else []
    fulfilled = [part for part in parts if part is not None and part.value in condition.values]
    return fulfilled if fulfilled and len(fulfilled) == len(parts) else []


def _said(findings: Sequence[Finding], words: Sequence[str]) -> bool:
    said = {word for finding in findings for word in finding.heard_text.lower().split()}
    return bool(said & set(words))


def _question(
    rule: ConflictRule | Comparison, findings: list[Finding], lexicon: Lexicon
) -> Question:
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
        rule=rule.name,
    )
