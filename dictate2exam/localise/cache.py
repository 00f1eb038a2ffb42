"""Keeps the predictions of all rows between runs, under a hash of what they are made of."""

import hashlib
import json
import os
import tempfile
from collections.abc import Callable
from dataclasses import fields
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.lexicon.likelihoods import Likelihoods
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.forward import Forward

# Each is some 30 MB; more are of lexicons or settings that are no longer in use.
KEPT = 4
_NAMES = "column"


def cached_forward(lexicon: Lexicon, tables: Likelihoods, build: Callable[[], Forward]) -> Forward:
    """The predictions as kept in the user's cache folder, else built and kept.

    A folder that can't be used, or a broken file, costs the time of building and nothing else.
    """
    folder = _folder()
    path = folder / f"{_key(lexicon, tables)}.npz"
    known = _read(path)
    if known is not None:
        return known
    made = build()
    _keep(made, path)
    return made


def _folder() -> Path:
    base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(base) / "dictate2exam" / "localisation"


def _key(lexicon: Lexicon, tables: Likelihoods) -> str:
    digest = hashlib.sha256(repr((lexicon.hash, np.__version__, tables)).encode())
    for path in sorted(Path(__file__).parent.glob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:24]


def _read(path: Path) -> Forward | None:
    try:
        with np.load(path, allow_pickle=False) as kept:
            column = json.loads(str(kept[_NAMES]))
            arrays = {f.name: kept[f.name] for f in fields(Forward) if f.name != _NAMES}
        os.utime(path)
        return Forward(column=column, **arrays)
    except Exception:  # a file cut short fails in many ways, and all mean: build it again
        return None


def _keep(made: Forward, path: Path) -> None:
    content: dict[str, Any] = {f.name: getattr(made, f.name) for f in fields(Forward)}
    content[_NAMES] = json.dumps(made.column)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".part", delete=False) as handle:
            np.savez(handle, **content)
        os.replace(handle.name, path)
        by_age = sorted(path.parent.glob("*.npz"), key=lambda file: -file.stat().st_mtime)
        for old in by_age[KEPT:]:
            old.unlink(missing_ok=True)
    except OSError:
        return
