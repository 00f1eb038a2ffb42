"""How good each rule of doubt is: of what it asked how much was needed, of the errors how many."""

import sys
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

from dictate2exam.bench.chances import interval
from dictate2exam.bench.score import Comparison
from dictate2exam.frozen import Frozen
from dictate2exam.questions import Question, QuestionKind

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

OTHER = "other"


class DoubtRule(Frozen):
    """A rule, told by the kind of its questions and by words that they say."""

    name: str
    kind: QuestionKind
    says: tuple[str, ...]


class Asked(Frozen):
    """One question of one transcript: by which rule, whether it was needed, what it points at.

    `errors` are counted; `alone` those of them that no other question points at.
    """

    script: str
    rule: str
    kind: QuestionKind
    blocking: bool
    needed: bool
    errors: int
    alone: int


@lru_cache(maxsize=1)
def doubt_rules() -> tuple[DoubtRule, ...]:
    """The rules of doubt_rules.toml, in the order in which they are tried."""
    text = (Path(__file__).parent / "doubt_rules.toml").read_text(encoding="utf-8")
    return tuple(DoubtRule(name=name, **entry) for name, entry in tomllib.loads(text).items())


def rule_of(question: Question) -> str:
    """The name of the rule that asks this question; `other` where none is known for it."""
    for rule in doubt_rules():
        if rule.kind == question.kind and any(words in question.question for words in rule.says):
            return rule.name
    return OTHER


def asked_in(script: str, compared: Comparison) -> list[Asked]:
    """The questions of one record, gaps apart, with what each was good for."""
    errors = compared.errors()
    hedged = {row.item for row in compared.expected if row.detail.get("hedged")}
    made = []
    for question in compared.asked:
        mine = [points for _, points in errors if any(q is question for q in points)]
        made.append(
            Asked(
                script=script,
                rule=rule_of(question),
                kind=question.kind,
                blocking=question.blocking,
                needed=bool(mine) or question.item in hedged,
                errors=len(mine),
                alone=sum(len(points) == 1 for points in mine),
            )
        )
    return made


def rule_figures(
    asked: Sequence[Asked], findings: dict[str, int], errors: dict[str, int]
) -> dict[str, Any]:
    """Each rule as a point of precision and recall; counts of findings and errors by script.

    Precision is the share of its questions that were needed, recall the share of all errors that
    it points at. A rule is of no use whose questions hit no more often than asking about findings
    drawn at random would (`at_random`, the share of findings that are wrong).
    """
    total, wrong = sum(findings.values()), sum(errors.values())
    chance = round(100 * wrong / total, 2) if total else 0.0
    made: dict[str, Any] = {"at_random_percent": chance, "errors": wrong, "findings": total}
    for rule in sorted({one.rule for one in asked}):
        mine = [one for one in asked if one.rule == rule]
        by_script = [
            (
                float(sum(one.needed for one in mine if one.script == script)),
                float(sum(one.script == script for one in mine)),
            )
            for script in findings
        ]
        precision = round(100 * sum(one.needed for one in mine) / len(mine), 1)
        made[rule] = {
            "asked": len(mine),
            "per_100": round(100 * len(mine) / total, 2),
            "precision": precision,
            "precision_95": interval(by_script),
            "recall": round(100 * sum(one.errors for one in mine) / wrong, 1) if wrong else None,
            "errors": sum(one.errors for one in mine),
            "errors_it_alone_points_at": sum(one.alone for one in mine),
            "worse_than_chance": precision <= chance,
        }
    return made
