"""The cited anatomy: segments, each root's share of a target, and the path of each share."""

from pathlib import Path

from dictate2exam.errors import LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_csv


class Segment(Frozen):
    """A named stretch of the plexus; `level` is its kind (preganglionic, trunk, cord, ...).

    `nerve` is what it is a stretch of, as a reader names it: a root, a trunk, a cord, a nerve.
    """

    segment_id: str
    level: str
    parents: tuple[str, ...]
    label: str = ""
    nerve: str = ""


class Share(Frozen):
    """How much of a muscle or skin area one root supplies (fractions of one; mid sums to one)."""

    target: str
    root: str
    low: float
    mid: float
    high: float
    sources: tuple[str, ...]


class Reading(Frozen):
    """What one source gives a root of a muscle, where sources disagree (fraction of one).

    A root that a reading leaves out has no share of the muscle in it.
    """

    reading: str
    target: str
    root: str
    share: float
    sources: tuple[str, ...]


class NervePath(Frozen):
    """The segments that one root's share runs through; `weight` splits it over several routes."""

    target_type: str
    target: str
    root: str
    weight: float
    segments: tuple[str, ...]
    sources: tuple[str, ...]


class SensoryArea(Frozen):
    """A skin area: a dermatome's key point or a nerve's territory."""

    area_id: str
    name: str
    type: str
    test_site: str


class Anatomy(Frozen):
    """Segments, shares and paths together; `readings` are where sources disagree about shares."""

    segments: tuple[Segment, ...]
    muscle_shares: tuple[Share, ...]
    sensory_shares: tuple[Share, ...]
    areas: tuple[SensoryArea, ...]
    paths: tuple[NervePath, ...]
    readings: tuple[Reading, ...] = ()


def _split(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(";") if part.strip())


def _number(file: str, row: dict[str, str], key: str, column: str) -> float:
    try:
        return float(row[column])
    except ValueError:
        raise LexiconError(
            f"anatomy/{file}, {row[key]} {row['root']}: {column} must be a number, "
            f"not {row[column]!r}."
        ) from None


def _shares(file: str, rows: list[dict[str, str]], key: str) -> tuple[Share, ...]:
    return tuple(
        Share(
            target=row[key],
            root=row["root"],
            low=_number(file, row, key, "share_low"),
            mid=_number(file, row, key, "share_mid"),
            high=_number(file, row, key, "share_high"),
            sources=_split(row["sources"]),
        )
        for row in rows
    )


def read_anatomy(folder: Path) -> Anatomy:
    """Reads lexicon/anatomy/."""
    base = folder / "anatomy"
    share_columns = ("root", "share_low", "share_mid", "share_high", "sources")
    sensory = read_csv(
        base / "sensory.csv", ("area_id", "area_name", "type", "test_site", *share_columns)
    )
    areas = {
        row["area_id"]: SensoryArea(
            area_id=row["area_id"],
            name=row["area_name"],
            type=row["type"],
            test_site=row["test_site"],
        )
        for row in sensory
    }
    return Anatomy(
        segments=tuple(
            Segment(
                segment_id=r["segment_id"],
                level=r["level"],
                parents=_split(r["parents"]),
                label=r["label"],
                nerve=r["nerve"],
            )
            for r in read_csv(
                base / "segments.csv", ("segment_id", "level", "parents", "label", "nerve")
            )
        ),
        muscle_shares=_shares(
            "muscles.csv",
            read_csv(base / "muscles.csv", ("muscle_id", *share_columns)),
            "muscle_id",
        ),
        sensory_shares=_shares("sensory.csv", sensory, "area_id"),
        areas=tuple(areas.values()),
        readings=tuple(
            Reading(
                reading=row["reading"],
                target=row["muscle_id"],
                root=row["root"],
                share=_number("readings.csv", row, "muscle_id", "share"),
                sources=_split(row["sources"]),
            )
            for row in read_csv(
                base / "readings.csv", ("reading", "muscle_id", "root", "share", "sources")
            )
        ),
        paths=tuple(
            NervePath(
                target_type=r["target_type"],
                target=r["target_id"],
                root=r["root"],
                weight=_number("paths.csv", r, "target_id", "path_weight"),
                segments=tuple(part.strip() for part in r["chain"].split(">"))[1:-1],
                sources=_split(r["sources"]),
            )
            for r in read_csv(
                base / "paths.csv",
                ("target_type", "target_id", "root", "path_weight", "chain", "sources"),
            )
        ),
    )
