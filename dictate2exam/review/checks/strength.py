"""A movement or a whole that is graded otherwise than the muscles that make it."""

from collections.abc import Iterator

from dictate2exam.findings.model import MRC_GRADES, Finding
from dictate2exam.lexicon.conflicts import (
    Comparison,
    ConflictRule,
    movement_shares,
    read_comparisons,
)
from dictate2exam.lexicon.load import Lexicon

Found = dict[str, Finding]
Strange = tuple[ConflictRule | Comparison, list[Finding]]


def strange_grades(found: Found, lexicon: Lexicon) -> Iterator[Strange]:
    """Each comparison that the grades of one side fail, with those grades.

    `found` holds the findings of that side by item.
    """
    makers = {
        "movement": movement_shares(lexicon.folder),
        "whole": {
            term.term_id: {part: 1 / len(term.parts) for part in term.parts}
            for term in lexicon.terms
            if term.category == "muscle" and term.parts
        },
    }
    for rule in read_comparisons(lexicon.folder):
        for name, shares in makers[rule.compare].items():
            whole = found.get(f"power.{name}")
            if whole is not None and whole.value in MRC_GRADES:
                yield from _compared(rule, whole, shares, found, lexicon)


def _compared(
    rule: Comparison, whole: Finding, shares: dict[str, float], found: Found, lexicon: Lexicon
) -> Iterator[Strange]:
    graded = {muscle: _graded(muscle, found, lexicon) for muscle in shares}
    main = [graded[muscle] for muscle, share in shares.items() if share >= rule.least_share]
    if rule.than == "weaker":
        for finding in main:
            if finding is not None and strength(finding) - strength(whole) >= rule.margin:
                yield rule, [whole, finding]
        return
    if not main or None in main:
        return
    known = [finding for finding in graded.values() if finding is not None]
    if strength(whole) - max(strength(finding) for finding in known) >= rule.margin:
        yield rule, [whole, *{finding.finding_id: finding for finding in known}.values()]


def strength(finding: Finding) -> float:
    """An MRC grade as a number, for comparing alone: plus and minus count a third."""
    whole, sign = finding.value.rstrip("+-"), finding.value[-1]
    return float(whole) + {"+": 1 / 3, "-": -1 / 3}.get(sign, 0.0)


def _graded(muscle: str, found: Found, lexicon: Lexicon) -> Finding | None:
    """The grade of a muscle, else that of the whole that it is part of."""
    for name in (muscle, *lexicon.wholes_of.get(muscle, ())):
        finding = found.get(f"power.{name}")
        if finding is not None and finding.value in MRC_GRADES:
            return finding
    return None
