"""Regions: where a report shows each item."""

from pathlib import Path

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml, validated

# What is found of a muscle is shown in one row under the muscle's name.
MUSCLE_KINDS = ("power", "contraction", "wasting", "needle")


class Region(Frozen):
    """One block of the report; `items` may end in a star, `muscles` may be a star for the rest."""

    label: str
    items: tuple[str, ...]
    muscles: tuple[str, ...]

    def holds(self, item: str, muscle: str) -> bool:
        """Whether the item (of this muscle, if not empty) is shown here."""
        if muscle:
            return muscle in self.muscles or "*" in self.muscles
        return any(
            item.startswith(name[:-1]) if name.endswith("*") else item == name
            for name in self.items
        )


class _Regions(Frozen):
    regions: tuple[Region, ...]


def read_regions(folder: Path) -> tuple[Region, ...]:
    """The regions of lexicon/regions.toml in their order."""
    content = read_toml(folder / "regions.toml")
    return validated(_Regions, "regions.toml", "of the whole file", content).regions
