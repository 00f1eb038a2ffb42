"""Rules for findings that are implausible together."""

from collections import defaultdict
from functools import lru_cache
from pathlib import Path
from typing import Literal

from pydantic import Field

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_csv, read_toml, validated

CONFLICTS_FILE = "conflicts.toml"


class Condition(Frozen):
    """An item (in which {muscle} may stand for any muscle) and the values that fulfil it."""

    item: str
    values: tuple[str, ...]


class ConflictRule(Frozen):
    """Findings that should not hold together on one side, and why.

    The rule is silent where the words of a finding hold one of `unless_said`.
    """

    name: str
    all: tuple[Condition, ...] = Field(min_length=2)
    reason: str
    unless_said: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


class Comparison(Frozen):
    """Grades that should not lie so far apart: of a movement or whole, and of what makes it.

    `margin` is in whole MRC grades, plus and minus counting a third. "stronger" compares with the
    strongest of the muscles whose share is `least_share` or more, all of them graded; "weaker" with
    each single muscle of such a share. A whole shares out equally among its parts.
    """

    name: str
    compare: Literal["movement", "whole"]
    than: Literal["stronger", "weaker"]
    margin: float = Field(gt=0)
    least_share: float = Field(ge=0, le=1, default=0.0)
    reason: str
    sources: tuple[str, ...] = ()


def read_conflicts(folder: Path) -> tuple[ConflictRule, ...]:
    """The rules of lexicon/conflicts.toml that name values, in their order."""
    return tuple(
        validated(ConflictRule, CONFLICTS_FILE, name, {"name": name} | entry)
        for name, entry in read_toml(folder / CONFLICTS_FILE).items()
        if "compare" not in entry
    )


def read_comparisons(folder: Path) -> tuple[Comparison, ...]:
    """The rules of lexicon/conflicts.toml that compare grades, in their order."""
    return tuple(
        validated(Comparison, CONFLICTS_FILE, name, {"name": name} | entry)
        for name, entry in read_toml(folder / CONFLICTS_FILE).items()
        if "compare" in entry
    )


@lru_cache(maxsize=4)
def movement_shares(folder: Path) -> dict[str, dict[str, float]]:
    """The muscles that make each movement and each myotome, with their shares, which sum to one."""
    made: dict[str, dict[str, float]] = defaultdict(dict)
    for row in read_csv(folder / "likelihoods" / "movements.csv", ("movement", "muscle", "weight")):
        made[row["movement"]][row["muscle"]] = float(row["weight"])
    return dict(made)
