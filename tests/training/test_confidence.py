"""The fit of a word's probability: known weights come back, and a voice apart is what is told."""

import numpy as np
import pytest

from dictate2exam.errors import InputError
from dictate2exam.training.confidence import NAMES, calibration_error, fit, report


def table(seed: int, noise: float, count: int = 6000) -> np.ndarray:
    """Words that are right as often as a logistic sum of the given weights says."""
    chance = np.random.default_rng(seed)
    known = np.column_stack(
        [np.ones(count), chance.uniform(-1, 1, (count, 4)), chance.uniform(0, 12, count)]
    )
    sure = 1 / (1 + np.exp(-known @ np.array([0.5, 2.0, 1.0, 0.5, 0.3, noise])))
    return np.column_stack([known, chance.random(count) < sure])


def test_known_weights_come_back() -> None:
    made = table(1, noise=-0.1)
    assert fit(made[:, :-1], made[:, -1]) == pytest.approx([0.5, 2.0, 1.0, 0.5, 0.3, -0.1], abs=0.2)


def test_noise_never_makes_a_word_surer() -> None:
    made = table(2, noise=0.1)
    weights = fit(made[:, :-1], made[:, -1])
    assert weights[NAMES.index("noise")] == 0
    assert weights[0] > 0.5  # the rest is fitted anew without it


def test_the_calibration_is_that_of_what_was_left_out() -> None:
    honest = report([table(3, noise=-0.1), table(4, noise=-0.1)])
    assert honest["calibration_error"] < 0.03
    assert honest["words"] == 12_000
    strange = table(5, noise=-0.1)
    strange[:, -1] = np.random.default_rng(6).random(len(strange)) < 0.2  # a voice ill heard
    assert report([table(3, noise=-0.1), strange])["calibration_error"] > 0.2
    with pytest.raises(InputError, match="give more"):
        report([strange])


def test_the_calibration_error_by_hand() -> None:
    sure, right = np.array([0.95, 0.95, 0.15, 0.15]), np.array([1.0, 0.0, 0.0, 0.0])
    # half of the words in each bin: |0.95 - 0.5| and |0.15 - 0|
    assert calibration_error(sure, right) == pytest.approx(0.5 * 0.45 + 0.5 * 0.15)
