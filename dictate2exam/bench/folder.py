"""A folder of samples: NAME.script.txt with NAME.expected.csv, and NAME.toml, NAME.flac beside."""

import csv
import sys
from pathlib import Path
from typing import Any, cast

from dictate2exam.bench.model import Expected, Sample, Truth
from dictate2exam.errors import InputError
from dictate2exam.units import Seconds, Side

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

SOUND_ENDINGS = (".flac", ".wav", ".mp3", ".ogg")


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def parse_detail(text: str) -> dict[str, str]:
    """`key=value` pairs joined by semicolons as a dictionary."""
    pairs = (pair.partition("=") for pair in text.split(";") if pair)
    return {key: value for key, _, value in pairs}


def read_expected(path: Path) -> tuple[Expected, ...]:
    """The true findings of a table; raises InputError where a column is missing."""
    made = []
    for row in _rows(path):
        try:
            made.append(
                Expected(
                    item=row["item"],
                    side=cast(Side, row["side"]),
                    value=row["value"],
                    detail=parse_detail(row.get("detail") or ""),
                    scale=row.get("scale") or "",
                    line=int(row.get("line") or 0),
                )
            )
        except KeyError as missing:
            raise InputError(f"{path} lacks the column {missing}; see sample_audio.") from None
    return tuple(made)


def _times(path: Path) -> dict[int, tuple[Seconds, Seconds]]:
    if not path.exists():
        return {}
    return {int(r["line"]): (float(r["start_s"]), float(r["end_s"])) for r in _rows(path)}


def read_facts(path: Path) -> dict[str, Any]:
    """What a NAME.toml says; nothing where there is none."""
    return tomllib.loads(path.read_text(encoding="utf-8")) if path.exists() else {}


def read_sample(script: Path) -> Sample:
    """The sample of one script with everything that lies beside it."""
    name = script.name.removesuffix(".script.txt")
    folder = script.parent
    facts = read_facts(folder / f"{name}.toml")
    expected = read_expected(folder / f"{name}.expected.csv")
    truth = facts.get("truth")
    sounds = (folder / f"{name}{ending}" for ending in SOUND_ENDINGS)
    sides = [row.side for row in expected if row.side != "none"]
    return Sample(
        name=name,
        style=facts.get("style", ""),
        side=facts.get("side") or (max(set(sides), key=sides.count) if sides else "none"),
        script=script,
        sound=next((path for path in sounds if path.exists()), None),
        expected=expected,
        truth=Truth(
            kind=truth["kind"],
            segments=tuple(truth.get("segments", ())),
            ganglion=truth.get("ganglion", "na"),
        )
        if truth
        else None,
        times=_times(folder / f"{name}.times.csv"),
    )


def read_folder(folder: Path) -> tuple[Sample, ...]:
    """All samples of a folder by name; raises InputError where there is none."""
    scripts = sorted(folder.glob("*.script.txt"))
    if not scripts:
        raise InputError(f"{folder} holds no NAME.script.txt with NAME.expected.csv beside it.")
    return tuple(read_sample(script) for script in scripts)


def sample_folder() -> Path:
    """The shipped samples: the packaged copy, or the sibling folder of a source tree."""
    package = Path(__file__).parents[1]
    for folder in (package / "_sample_audio", package.parent / "sample_audio"):
        if folder.is_dir():
            return folder
    raise InputError("The sample recordings are missing; install the package again.")
