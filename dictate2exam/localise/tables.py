"""Probability of every value of an item, given the cell of the surviving fraction of its target.

Each function gives an array of cells by values, rows summing to one over the values; cells are the
three modes of `cells` one after another (lower motor neurone, upper motor neurone, pain).
"""

from math import erf, sqrt
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.findings.model import MRC_GRADES
from dictate2exam.localise.cells import CELLS, MODES

Floats = npt.NDArray[np.float64]
TEN = tuple(str(score) for score in range(11))
WORDS = ("absent", "reduced", "normal", "increased")
ISNCSCI = ("0", "1", "2")
REFLEXES = ("absent", "reduced", "normal", "brisk")
POTENTIALS = ("absent", "reduced", "normal")
PRESENCE = ("present", "absent")
NEEDLE = ("denervated", "normal")


def _normal_below(value: float) -> float:
    return 0.5 * (1 + erf(value / sqrt(2)))


def _intervals(positions: Floats, boundaries: list[float], spread: Floats) -> Floats:
    """Probability of each interval between boundaries, for each position on the scale."""
    below = np.array(
        [
            [_normal_below((boundary - position) / noise) for boundary in boundaries]
            for position, noise in zip(positions, spread, strict=True)
        ]
    )
    ends = np.zeros((len(positions), 1)), np.ones((len(positions), 1))
    return np.diff(np.concatenate([ends[0], below, ends[1]], axis=1), axis=1)


def _with_outliers(table: Floats, share: float, spread: Floats | None = None) -> Floats:
    values = table.shape[1]
    flat = np.full(values, 1 / values) if spread is None else spread
    return (1 - share) * table + share * flat[None, :]


def _curve(model: dict[str, Any], key: str, cells: Floats = CELLS) -> Floats:
    made: Floats = np.interp(cells, model["surviving"], model[key])
    return made


def bent(chances: Floats, reserve: float) -> Floats:
    """Chances (values along the last axis) whose log odds among each other are divided."""
    weights = np.maximum(chances, 1e-300) ** (1 / reserve)
    return np.asarray(weights / weights.sum(axis=-1, keepdims=True))


def bent_yes(chance: Floats, reserve: float) -> Floats:
    """The same for the chance of a yes."""
    return bent(np.stack([chance, 1 - chance], axis=-1), reserve)[..., 0]


def power(model: dict[str, Any], limited: bool = False) -> Floats:
    """MRC grades, the same in every mode; `limited` where pain or stiffness limited the test."""
    noise = _curve(model, "spread") * float(model["reserve"])
    table = _intervals(_curve(model, "position"), model["boundaries"], noise)
    whole = np.array([round(float(grade.rstrip("+-"))) for grade in MRC_GRADES])
    flat = np.array([1 / 6 / (whole == grade).sum() for grade in whole])
    share = float(model["limited_outlier"] if limited else model["outlier"])
    return np.tile(_with_outliers(table, share, flat), (MODES, 1))


def sensation(model: dict[str, Any], scale: str) -> Floats:
    """Scores out of ten, 0-1-2, or words."""
    positions = _curve(model, "position")
    spread = _curve(model, "spread") * float(model["reserve"])
    if scale == "ten":
        boundaries = [model["absent_below"], *[score + 0.5 for score in range(1, 9)]]
        table = _intervals(positions, [*boundaries, model["normal_above"]], spread)
        flat = np.array([0.12] + [0.07] * 9 + [0.25])
        return np.tile(_with_outliers(table, float(model["outlier"]), flat), (MODES, 1))
    cuts = [model["absent_below"], model["normal_above"]]
    table = _intervals(positions, cuts, spread)
    if scale == "words":
        more = np.interp(CELLS, model["surviving"], model["increased"])[:, None]
        table = np.concatenate([table * (1 - more), more], axis=1)
    return np.tile(_with_outliers(table, float(model["outlier"])), (MODES, 1))


def contraction(model: dict[str, Any]) -> Floats:
    """Contraction felt or seen."""
    present = _curve(model, "present")
    table = np.stack([present, 1 - present], axis=1)
    return np.tile(_with_outliers(table, float(model["outlier"])), (MODES, 1))


def due(model: dict[str, Any], interval: float | None) -> float:
    """How far a slow sign has come after `interval` days: 0 not at all, 1 fully."""
    if interval is None:
        return float(model["unknown_interval"])
    first, last = float(model["begins_days"]), float(model["complete_days"])
    return float(np.clip((interval - first) / (last - first), 0, 1))


def _slow(model: dict[str, Any], table: Floats, interval: float | None) -> Floats:
    """A table that comes true with time, and holds in the lower motor neurone mode alone."""
    come = due(model, interval)
    healthy = np.tile(table[-1:], (len(CELLS), 1))
    lower = come * table + (1 - come) * healthy
    return _with_outliers(np.concatenate([lower, healthy, healthy]), float(model["outlier"]))


def wasting(model: dict[str, Any], interval: float | None) -> Floats:
    """Visible wasting."""
    present = _curve(model, "present")
    return _slow(model, np.stack([present, 1 - present], axis=1), interval)


def needle(model: dict[str, Any], interval: float | None) -> Floats:
    """Denervation on needle study."""
    denervated = _curve(model, "denervated")
    return _slow(model, np.stack([denervated, 1 - denervated], axis=1), interval)


def conduction(model: dict[str, Any], interval: float | None) -> Floats:
    """Sensory potential."""
    absent, reduced = _curve(model, "absent"), _curve(model, "reduced")
    table = np.stack([absent, reduced, 1 - absent - reduced], axis=1)
    return _slow(model, table, interval)


def reflex(model: dict[str, Any]) -> Floats:
    """Tendon reflex: both arms of its arc run in the same nerve."""
    arc = CELLS**2
    columns = [_curve(model, key, arc) for key in ("absent", "reduced", "brisk")]
    lower = np.stack([columns[0], columns[1], 1 - sum(columns), columns[2]], axis=1)
    upper_model = model["upper_motor_neurone"]
    upper = [upper_model[key] for key in ("absent", "reduced", "brisk")]
    row = np.array([[upper[0], upper[1], 1 - sum(upper), upper[2]]])
    parts = [lower, np.tile(row, (len(CELLS), 1)), np.tile(lower[-1:], (len(CELLS), 1))]
    seen = _with_outliers(np.concatenate(parts), float(model["outlier"]))
    return bent(seen, float(model["reserve"]))
