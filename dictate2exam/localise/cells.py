"""The surviving fraction cut into cells, and its distribution for a given mean and dispersion.

A hypothesis gives each target a mean surviving fraction and a dispersion (the fraction of the
largest possible variance); both are rounded to a grid, and a beta distribution of that mean and
variance is spread over the cells. Three modes repeat the cells: weakness of the lower motor
neurone, of the upper motor neurone, and from pain.
"""

from math import lgamma

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

# Finer at both ends, where grades change fastest.
_LOW = (0.0, 0.01, 0.025, 0.045, 0.07, 0.1, 0.14, 0.18, 0.22, 0.27, 0.32, 0.37, 0.43)
_HIGH = (0.49, 0.55, 0.61, 0.67, 0.73, 0.79, 0.84, 0.88, 0.92, 0.95, 0.975, 0.99, 1.0)
CELLS: Floats = np.array((*_LOW, *_HIGH))
MEANS = 65
DISPERSIONS: Floats = np.array([0.015, 0.04, 0.08, 0.14, 0.22, 0.35])
BINS = MEANS * len(DISPERSIONS)
LOWER, UPPER, PAIN = 0, 1, 2
MODES = 3


def incomplete_beta(a: Floats, b: Floats, x: Floats) -> Floats:
    """Regularised incomplete beta function by Lentz's continued fraction; arrays of one shape."""
    swap = x > (a + 1) / (a + b + 2)
    p, q, y = np.where(swap, b, a), np.where(swap, a, b), np.where(swap, 1 - x, x)
    gammas = np.vectorize(lgamma, otypes=[float])
    front = np.exp(
        gammas(p + q)
        - gammas(p)
        - gammas(q)
        + p * np.log(np.maximum(y, 1e-300))
        + q * np.log(np.maximum(1 - y, 1e-300))
    )
    tiny = 1e-300
    c = np.ones_like(y)
    d = 1 - (p + q) * y / (p + 1)
    d = 1 / np.where(np.abs(d) < tiny, tiny, d)
    value = d.copy()
    for m in range(1, 80):
        for step in (
            m * (q - m) * y / ((p + 2 * m - 1) * (p + 2 * m)),
            -(p + m) * (p + q + m) * y / ((p + 2 * m) * (p + 2 * m + 1)),
        ):
            d = 1 + step * d
            d = 1 / np.where(np.abs(d) < tiny, tiny, d)
            c = 1 + step / c
            c = np.where(np.abs(c) < tiny, tiny, c)
            value = value * c * d
    result = front * value / p
    return np.asarray(np.where(swap, 1 - result, result))


def cell_masses() -> Floats:
    """Probability of each cell (columns) for each bin of mean and dispersion (rows)."""
    mean = np.repeat(np.arange(MEANS) / (MEANS - 1), len(DISPERSIONS))
    dispersion = np.tile(DISPERSIONS, MEANS)
    inner = (mean > 0) & (mean < 1)
    concentration = 1 / dispersion - 1
    edges = (CELLS[1:] + CELLS[:-1]) / 2
    shape = (int(inner.sum()), len(edges))
    a = np.broadcast_to((mean * concentration)[inner, None], shape).copy()
    b = np.broadcast_to(((1 - mean) * concentration)[inner, None], shape).copy()
    below = incomplete_beta(a, b, np.broadcast_to(edges, shape).copy())
    masses = np.zeros((BINS, len(CELLS)))
    masses[mean == 0, 0] = 1
    masses[mean == 1, -1] = 1
    padded = np.concatenate([np.zeros((shape[0], 1)), below, np.ones((shape[0], 1))], axis=1)
    masses[inner] = np.maximum(np.diff(padded, axis=1), 0)
    return masses


def bin_index(mean: Floats, variance: Floats) -> npt.NDArray[np.int16]:
    """The bin of each mean (0 to 1) and variance: both rounded to the nearest grid value."""
    room = mean * (1 - mean)
    dispersion = np.where(room > 1e-9, variance / np.maximum(room, 1e-9), 0)
    edges = (DISPERSIONS[1:] + DISPERSIONS[:-1]) / 2
    column = np.searchsorted(edges, dispersion)
    row = np.floor(mean * (MEANS - 1) + 0.5)
    # A share that is almost whole is not certain: keep the last step for exactly nothing or all.
    row = np.where((row == 0) & (mean > 1e-6), 1, row)
    row = np.where((row == MEANS - 1) & (mean < 1 - 1e-6), MEANS - 2, row)
    made: npt.NDArray[np.int16] = (row * len(DISPERSIONS) + column).astype(np.int16)
    return made
