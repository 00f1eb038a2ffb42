"""The cautions that every output repeats, as sentences."""

from pathlib import Path
from typing import Literal

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml, validated

Occasion = Literal["always", "side_assumed", "provisional"]


class Caution(Frozen):
    """One sentence and the occasion on which it is said."""

    when: Occasion
    text: str
    sources: tuple[str, ...] = ()


def read_cautions(folder: Path) -> tuple[Caution, ...]:
    """All cautions of lexicon/cautions.toml in their order."""
    content = read_toml(folder / "cautions.toml")
    return tuple(
        validated(Caution, "cautions.toml", name, entry) for name, entry in content.items()
    )


def cautions_for(folder: Path, occasions: set[str]) -> tuple[str, ...]:
    """The sentences that are always said, and those of the given occasions."""
    return tuple(
        caution.text
        for caution in read_cautions(folder)
        if caution.when == "always" or caution.when in occasions
    )
