"""Rules for findings that are implausible together."""

from pathlib import Path

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml, validated


class Condition(Frozen):
    """An item (in which {muscle} may stand for any muscle) and the values that fulfil it."""

    item: str
    values: tuple[str, ...]


class ConflictRule(Frozen):
    """Findings that should not hold together on one side, and why."""

    name: str
    all: tuple[Condition, ...]
    reason: str
    sources: tuple[str, ...] = ()


def read_conflicts(folder: Path) -> tuple[ConflictRule, ...]:
    """The rules of lexicon/conflicts.toml in their order."""
    return tuple(
        validated(ConflictRule, "conflicts.toml", name, {"name": name} | entry)
        for name, entry in read_toml(folder / "conflicts.toml").items()
    )
