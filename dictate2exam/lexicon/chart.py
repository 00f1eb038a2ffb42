"""Where the live page shows each item: blocks, rows and short words of lexicon/chart.toml."""

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from dictate2exam.errors import LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml, validated
from dictate2exam.lexicon.items import Item
from dictate2exam.lexicon.regions import MUSCLE_KINDS, Region, read_regions
from dictate2exam.lexicon.terms import Term

if TYPE_CHECKING:  # loading a lexicon checks it, and that reads the plan
    from dictate2exam.lexicon.load import Lexicon

# What is shown small beside a power, by the kind of the item; its name is that of the power.
BESIDE = ("contraction", "wasting", "needle", "range")


class PlanRow(Frozen):
    """One row: `label` is short, `parts` share its cells by letter, `wide` rows have no sides.

    `beside` are items shown small beside the row's item besides those of the same name.
    """

    label: str
    item: str
    parts: dict[str, str] = {}
    beside: tuple[str, ...] = ()
    wide: bool = False


class PlanBlock(Frozen):
    """One block of a column (1 is the leftmost); `regions` are labels of regions.toml.

    `upright` is its column on a screen that is higher than wide.
    """

    label: str
    column: int
    upright: int
    spare: int
    regions: tuple[str, ...]
    rows: tuple[PlanRow, ...]


class _Plan(Frozen):
    words: dict[str, dict[str, str]]
    beside: dict[str, dict[str, str]]
    blocks: tuple[PlanBlock, ...]


class ItemPlace(Frozen):
    """Where one item is shown: `block` and `row` count from 0, `row` is -1 for a spare row.

    `part` is the letter of a part; `beside` is set for what is shown small beside another item.
    `label` is the item's full name, `values` are all that it may have.
    """

    label: str
    values: tuple[str, ...]
    block: int
    row: int = -1
    part: str = ""
    beside: bool = False


class ChartPlan(Frozen):
    """The whole plan: blocks, the short words of values by kind, and the place of every item."""

    blocks: tuple[PlanBlock, ...]
    words: dict[str, dict[str, str]]
    beside: dict[str, dict[str, str]]
    places: dict[str, ItemPlace]


def chart_plan(lexicon: "Lexicon") -> ChartPlan:
    """The plan of lexicon/chart.toml; LexiconError where it names what does not exist."""
    return read_plan(lexicon.folder, lexicon.items, lexicon.terms)


def read_plan(folder: Path, items: Mapping[str, Item], terms: Iterable[Term]) -> ChartPlan:
    """The plan of a folder for these items."""
    content = read_toml(folder / "chart.toml")
    plan = validated(_Plan, "chart.toml", "of the whole file", content)
    places = _rows(plan, items)
    regions = read_regions(folder)
    blocks = _blocks_of_regions(plan, regions)
    muscles = {term.term_id for term in terms if term.category == "muscle"}
    for item_id, item in items.items():
        if item_id in places:
            continue
        kind, _, name = item_id.partition(".")
        muscle = name if kind in MUSCLE_KINDS and name in muscles else ""
        region = next((r for r in regions if r.holds(item_id, muscle)), regions[-1])
        places[item_id] = ItemPlace(
            label=item.label, values=item.values, block=blocks[region.label]
        )
    return ChartPlan(blocks=plan.blocks, words=plan.words, beside=plan.beside, places=places)


def _rows(plan: _Plan, items: Mapping[str, Item]) -> dict[str, ItemPlace]:
    places: dict[str, ItemPlace] = {}

    def put(item_id: str, block: int, row: int, part: str, beside: bool = False) -> None:
        if item_id not in items:
            raise LexiconError(f"chart.toml names {item_id!r}, which is no item of the lexicon.")
        if item_id in places:
            raise LexiconError(f"chart.toml shows {item_id!r} in two places.")
        item = items[item_id]
        places[item_id] = ItemPlace(
            label=item.label, values=item.values, block=block, row=row, part=part, beside=beside
        )

    for b, block in enumerate(plan.blocks):
        for r, row in enumerate(block.rows):
            for letter, item_id in {"": row.item, **row.parts}.items():
                put(item_id, b, r, letter)
                kind, _, name = item_id.partition(".")
                same = [f"{other}.{name}" for other in BESIDE] if kind == "power" else []
                for other in [item for item in same if item in items]:
                    put(other, b, r, letter, beside=True)
            for other in row.beside:
                put(other, b, r, "", beside=True)
    return places


def _blocks_of_regions(plan: _Plan, regions: tuple[Region, ...]) -> dict[str, int]:
    blocks = {label: b for b, block in enumerate(plan.blocks) for label in block.regions}
    for region in regions:
        if region.label not in blocks:
            raise LexiconError(f"No block of chart.toml takes the region {region.label!r}.")
    return blocks
