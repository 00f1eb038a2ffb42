"""How good each rule of doubt is: of what it asked how much was needed, of the errors how many."""

from collections.abc import Sequence
from typing import Any

from dictate2exam.bench.chances import interval
from dictate2exam.bench.score import Comparison
from dictate2exam.frozen import Frozen
from dictate2exam.questions import QuestionKind


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
    score: float = 1.0


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
                rule=question.rule,
                kind=question.kind,
                blocking=question.blocking,
                needed=bool(mine) or question.item in hedged,
                errors=len(mine),
                alone=sum(len(points) == 1 for points in mine),
                score=question.score,
            )
        )
    return made


def rule_figures(
    asked: Sequence[Asked], findings: dict[str, int], errors: dict[str, int]
) -> dict[str, Any]:
    """Each rule as a point of precision and recall; counts of findings and errors by script.

    Precision is the share of its questions that were needed, recall the share of all errors that
    it points at; `silent_without_it` are the errors that nobody would be asked about without it. A
    rule is of no use whose questions hit no more often than asking about findings drawn at random
    would (`at_random`, the share of findings that are wrong).
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
        needed = sum(one.needed for one in mine)
        precision = round(100 * needed / len(mine), 1)
        made[rule] = {
            "asked": len(mine),
            "needed": needed,
            "per_100": round(100 * len(mine) / total, 2),
            "precision": precision,
            "precision_95": interval(by_script),
            "recall": round(100 * sum(one.errors for one in mine) / wrong, 1) if wrong else None,
            "errors": sum(one.errors for one in mine),
            "silent_without_it": sum(one.alone for one in mine),
            "worse_than_chance": precision <= chance,
        }
    return made
