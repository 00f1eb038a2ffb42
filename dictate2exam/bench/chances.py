"""How sure a figure is: bootstrap intervals of rates, and whether probabilities mean something."""

from collections.abc import Sequence
from typing import Any

import numpy as np

DRAWS = 1000
BINS = 10


def interval(parts: Sequence[tuple[float, float]], seed: int = 1) -> list[float] | None:
    """The 95% interval of sum over sum, by drawing the units (counted, out of) anew 1000 times.

    In percent; None with fewer than three units.
    """
    if len(parts) < 3 or not sum(total for _, total in parts):
        return None
    table = np.array(parts, dtype=float)
    chance = np.random.default_rng(seed)
    drawn = table[chance.integers(len(table), size=(DRAWS, len(table)))].sum(axis=1)
    rates = 100 * drawn[:, 0] / np.maximum(drawn[:, 1], 1e-9)
    return [round(float(value), 2) for value in np.percentile(rates, [2.5, 97.5])]


def calibration(beliefs: Sequence[tuple[float, bool]]) -> dict[str, Any]:
    """Reliability table in tenths, Brier score and expected calibration error of probabilities.

    The error is the mean distance between belief and truth over the tenths, weighted by count
    (Guo and others, On calibration of modern neural networks, 2017).
    """
    if not beliefs:
        return {"words": 0}
    given = np.array([belief for belief, _ in beliefs])
    right = np.array([fits for _, fits in beliefs], dtype=float)
    bins = np.minimum((given * BINS).astype(int), BINS - 1)
    table = []
    error = 0.0
    for number in range(BINS):
        inside = bins == number
        count = int(inside.sum())
        if not count:
            continue
        believed, true = float(given[inside].mean()), float(right[inside].mean())
        error += count / len(given) * abs(believed - true)
        table.append(
            {
                "from": number / BINS,
                "words": count,
                "believed": round(believed, 3),
                "right": round(true, 3),
            }
        )
    return {
        "words": len(given),
        "brier": round(float(((given - right) ** 2).mean()), 4),
        "expected_calibration_error": round(error, 4),
        "table": table,
    }
