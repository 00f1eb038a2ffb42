"""How much harm an error may do: the table of harm.toml, and which row an error falls under."""

import sys
from functools import lru_cache
from pathlib import Path

from dictate2exam.bench.model import ScoredError
from dictate2exam.findings.model import MRC_GRADES
from dictate2exam.frozen import Frozen

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

TABLE = Path(__file__).with_name("harm.toml")
PARALYSED = {"power": frozenset({"0", "1"}), "contraction": frozenset({"absent"})}
OPPOSITES = (
    frozenset({"present", "absent"}),
    frozenset({"normal", "absent"}),
    frozenset({"normal", "denervated"}),
    frozenset({"intact", "avulsed"}),
    frozenset({"full", "reduced"}),
)
# "4+" is a third of a grade above 4.
SIGNS = {"+": 1 / 3, "-": -1 / 3}


class Harm(Frozen):
    """One row of the table: points, and what happened."""

    points: float
    meaning: str


@lru_cache(maxsize=1)
def harm_table() -> dict[str, Harm]:
    """The rows of harm.toml by name."""
    rows = tomllib.loads(TABLE.read_text(encoding="utf-8"))
    return {name: Harm.model_validate(row) for name, row in rows.items()}


def _grade(kind: str, value: str) -> float | None:
    """A grade or score as a number; None where the value is a word."""
    if kind == "power" and value in MRC_GRADES:
        return int(value[0]) + SIGNS.get(value[1:], 0.0)
    if kind == "sensation" and value.isdigit():
        return float(value)
    return None


def harm_name(error: ScoredError) -> str:
    """The row of the table that an error falls under."""
    if error.kind == "wrong_side":
        return "wrong_side"
    kind = error.item.partition(".")[0]
    said, stands = (text.partition(" ")[0] for text in (error.expected, error.got))
    grades = _grade(kind, said), _grade(kind, stands)
    if None not in grades and abs((grades[0] or 0.0) - (grades[1] or 0.0)) <= 1.0 + 1e-9:
        return "one_step"
    paralysed = PARALYSED.get(kind, frozenset())
    if stands in paralysed:
        return "invented_paralysis"
    if said in paralysed:
        return "lost_paralysis"
    if error.kind in ("missed", "invented"):
        return error.kind
    return "opposite" if frozenset({said, stands}) in OPPOSITES else "other_value"


def harm_of(error: ScoredError) -> float:
    """The points of an error."""
    return harm_table()[harm_name(error)].points
