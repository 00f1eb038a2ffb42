"""Finds the lexicon folder and reads its TOML and CSV files with errors an editor can act on."""

import csv
import hashlib
import sys
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from dictate2exam.errors import LexiconError

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

PACKAGE = Path(__file__).resolve().parent.parent

Model = TypeVar("Model", bound=BaseModel)


def find_folder(path: Path | None = None) -> Path:
    """The lexicon folder: the given one, else the packaged copy, else the package's sibling."""
    candidates = [path] if path else [PACKAGE / "_lexicon", PACKAGE.parent / "lexicon"]
    for candidate in candidates:
        if (candidate / "sources.csv").is_file():
            return candidate
    raise LexiconError(f"No lexicon found in {candidates[0]}: it must hold sources.csv.")


def content_hash(folder: Path) -> str:
    """SHA-256 over the names and bytes of every TOML and CSV file of the lexicon."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.suffix in {".toml", ".csv", ".txt", ".dict"}:
            digest.update(path.relative_to(folder).as_posix().encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()


@lru_cache(maxsize=256)
def _parsed(text: str) -> dict[str, Any]:
    """The content of a TOML text; every reader gets the same inner tables."""
    content: dict[str, Any] = tomllib.loads(text)
    return content


def read_toml(path: Path) -> dict[str, Any]:
    """One TOML file as nested dictionaries."""
    try:
        return dict(_parsed(path.read_text(encoding="utf-8")))
    except FileNotFoundError:
        raise LexiconError(f"The lexicon lacks the file {path.name} ({path}).") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise LexiconError(f"{path.name} of the lexicon is not valid TOML: {error}.") from None


def read_csv(path: Path, columns: tuple[str, ...]) -> list[dict[str, str]]:
    """The rows of one CSV file, which must have at least the named columns."""
    try:
        with path.open(encoding="utf-8", newline="") as handle:
            reader = csv.DictReader(handle)
            missing = [c for c in columns if c not in (reader.fieldnames or ())]
            if missing:
                raise LexiconError(
                    f"{path.name} of the lexicon lacks the column {missing[0]}; "
                    f"it needs {', '.join(columns)}."
                )
            rows = list(reader)
    except FileNotFoundError:
        raise LexiconError(f"The lexicon lacks the file {path.name} ({path}).") from None
    except UnicodeDecodeError as error:
        raise LexiconError(f"{path.name} of the lexicon is not UTF-8 text: {error}.") from None
    for number, row in enumerate(rows, start=2):
        if None in row or any(row[c] is None for c in columns):
            raise LexiconError(
                f"{path.name} of the lexicon, line {number}: the number of fields is not that of "
                f"the heading; look for a missing or extra comma."
            )
    return rows


def validated(model: type[Model], file: str, entry: str, content: Any) -> Model:
    """One entry of a file as a model; a wrong or unknown key raises LexiconError naming it."""
    if not isinstance(content, dict):
        raise LexiconError(f"{file}: {entry} must be a table of keys.")
    try:
        return model.model_validate(content)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        if first["type"] == "extra_forbidden":
            what = "is not a known key; remove it or correct its spelling"
        elif first["type"] == "missing":
            what = "is missing"
        else:
            what = first["msg"].lower()
        raise LexiconError(f"{file}, entry {entry}: {where}: {what}.") from None
