"""Red flags: what must not wait, by finding and by the plain words of anybody in the room."""

from pathlib import Path

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml, validated


class FlagRule(Frozen):
    """One red flag.

    `findings` maps an item to the values that raise it; `words` are patterns, each a list of
    groups of phrases: one phrase of every group must stand within `within` words of the others.
    """

    message: str
    within: int
    findings: dict[str, tuple[str, ...]] = {}
    words: tuple[tuple[tuple[str, ...], ...], ...] = ()
    sources: tuple[str, ...] = ()


class FlagRules(Frozen):
    """All red flags with the words that deny, suppose or ask; reaches are in words."""

    negation_reach: int
    undo_reach: int
    ask_reach: int
    negators: tuple[str, ...]
    breaks: tuple[str, ...]
    undoers: tuple[str, ...]
    suppositions: tuple[str, ...]
    asks: tuple[str, ...]
    agreements: tuple[str, ...]
    flags: dict[str, FlagRule]


def read_flag_rules(folder: Path) -> FlagRules:
    """The rules of lexicon/red_flags.toml."""
    return validated(
        FlagRules, "red_flags.toml", "of the whole file", read_toml(folder / "red_flags.toml")
    )
