"""What a report shows, worked out once for every form of report."""

from collections.abc import Sequence
from dataclasses import dataclass

from dictate2exam.findings.model import Finding
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.regions import MUSCLE_KINDS, Region, read_regions
from dictate2exam.record.meaning import place_of
from dictate2exam.record.model import ExamRecord, RecordedFinding
from dictate2exam.record.wording import clock, label_of
from dictate2exam.review.checks.sides import is_deficit
from dictate2exam.units import Side

STATE_WORDS = {"accepted": "heard", "to_confirm": "to confirm", "confirmed": "confirmed"}

# How a value reads beside the name of a muscle, where the value alone would say nothing.
ASIDE = {
    ("contraction", "present"): "contraction felt",
    ("contraction", "absent"): "no contraction felt",
    ("wasting", "present"): "wasted",
    ("wasting", "absent"): "bulk normal",
    ("wasting", "uncertain"): "wasting uncertain",
    ("needle", "normal"): "needle study normal",
    ("needle", "denervated"): "needle study: denervated",
}
DETAIL_WORDS = {
    "radiates_to": "radiates to",
    "pattern": "pattern:",
    "method": "method:",
    "modality": "",
    "limited_by": "limited by",
    "hedged": "",
}


@dataclass(frozen=True)
class Shown:
    """One finding in a cell: `main` where it is the value that the row is read for."""

    text: str
    note: str
    state: str
    abnormal: bool
    main: bool
    finding_id: str


@dataclass(frozen=True)
class Row:
    """One row of a table of findings; `middle` holds what has no side."""

    label: str
    right: tuple[Shown, ...]
    left: tuple[Shown, ...]
    middle: tuple[Shown, ...]


@dataclass(frozen=True)
class Block:
    """One region with its rows."""

    label: str
    rows: tuple[Row, ...]


def blocks(record: ExamRecord, lexicon: Lexicon) -> tuple[Block, ...]:
    """The standing findings by region, in the regions' order, empty regions left out."""
    regions = read_regions(lexicon.folder)
    order = {item: n for n, item in enumerate(lexicon.items)}
    grouped: dict[str, dict[str, list[RecordedFinding]]] = {r.label: {} for r in regions}
    standing = [entry for entry in record.findings if entry.stands]
    for entry in sorted(standing, key=lambda e: order.get(e.finding.item, len(order))):
        item = entry.finding.item
        muscle = _muscle(item, lexicon)
        region = region_of(item, regions, lexicon)
        grouped[region.label].setdefault(muscle or item, []).append(entry)
    return tuple(
        Block(label=label, rows=tuple(_row(name, rows[name], lexicon) for name in rows))
        for label, rows in grouped.items()
        if rows
    )


def region_of(item: str, regions: Sequence[Region], lexicon: Lexicon) -> Region:
    """The region that an item is shown in; the last one where none claims it."""
    muscle = _muscle(item, lexicon)
    return next((region for region in regions if region.holds(item, muscle)), regions[-1])


def _muscle(item: str, lexicon: Lexicon) -> str:
    kind, _, name = item.partition(".")
    return name if kind in MUSCLE_KINDS and ("muscle", name) in lexicon.by_id else ""


def _row(name: str, entries: list[RecordedFinding], lexicon: Lexicon) -> Row:
    term = lexicon.by_id.get(("muscle", name))
    label = term.label if term else label_of(entries[0].finding.item, lexicon)

    def cell(side: Side) -> tuple[Shown, ...]:
        shown = [_shown(e, bool(term)) for e in entries if e.finding.side == side]
        return tuple(sorted(shown, key=lambda each: not each.main))

    return Row(
        label=label[:1].upper() + label[1:],
        right=cell("right"),
        left=cell("left"),
        middle=cell("none"),
    )


def _shown(entry: RecordedFinding, of_muscle: bool) -> Shown:
    finding = entry.finding
    kind = finding.item.partition(".")[0]
    notes = [
        f"{DETAIL_WORDS.get(key, key)} {value}".strip()
        for key, value in finding.detail.items()
        if key != "hedged" and value != "touch"
    ]
    if "hedged" in finding.detail:
        notes.append("hedged")
    text = ASIDE.get((kind, finding.value), "") if of_muscle else ""
    return Shown(
        text=text or value_text(finding),
        note=", ".join(notes),
        state=entry.state,
        abnormal=is_abnormal(finding),
        main=kind == "power" or not of_muscle,
        finding_id=finding.finding_id,
    )


def value_text(finding: Finding) -> str:
    """The value as a reader expects it: 4+, 7/10, 1/2, not tested."""
    if finding.scale == "ten" and finding.value.isdigit():
        return f"{finding.value}/10"
    if finding.scale == "isncsci" and finding.value.isdigit():
        return f"{finding.value}/2"
    return finding.value.replace("_", " ")


def is_abnormal(finding: Finding) -> bool:
    """Whether the value is a departure from normal, so that the eye is led to it."""
    kind = finding.item.partition(".")[0]
    if kind in ("power", "sensation"):
        return is_deficit(finding)
    if kind in ("contraction", "pulse"):
        return finding.value != "present"
    if kind in ("sign", "wasting", "posture"):
        return finding.value in ("present", "uncertain")
    normal = ("normal", "full", "intact", "not_tested")
    return kind != "context" and finding.value not in normal


def percent(probability: float) -> str:
    """A probability in words for a reader: never 0% or 100% where it is not exactly so."""
    if 0 < probability < 0.005:
        return "<1%"
    if 0.995 < probability < 1:
        return ">99%"
    return f"{100 * probability:.0f}%"


def heard_at(finding: Finding, timed: bool) -> str:
    """Where the finding was heard, as m:ss; empty for text without times and for answers."""
    if not finding.heard or not timed:
        return ""
    return clock(min(stretch.start_s for stretch in finding.heard))


def spoken_order(record: ExamRecord) -> list[RecordedFinding]:
    """The standing findings in the order in which they were spoken."""
    standing = (entry for entry in record.findings if entry.stands)
    return sorted(standing, key=lambda entry: place_of(entry.finding))
