"""Counts how the ranking does on drawn examinations, and makes figures of the counts."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.localise.engine import Engine
from dictate2exam.localise.explain import configuration_mass
from dictate2exam.localise.graph import ROOTS

Floats = npt.NDArray[np.float64]
# Published sensitivity and specificity of examination for a preganglionic lesion (CAPO14).
PUBLISHED = {"sensitivity": 0.47, "specificity": 0.82, "source": "CAPO14"}
COVERED = 0.9
COVERED_AT_LEAST = 0.88  # of truths, by the 90% sets


@dataclass
class Tally:
    """Counts over cases; shares are means, each with its number of cases.

    A tie holds the sites within the tie's bits of the first (or third); one in a tie of k counts
    1/k. Groups are sites that hit the same roots or nerves.
    """

    top1: list[float] = field(default_factory=list)
    top3: list[float] = field(default_factory=list)
    in_tie: list[float] = field(default_factory=list)
    tied1: list[int] = field(default_factory=list)
    tied3: list[int] = field(default_factory=list)
    confidence: list[float] = field(default_factory=list)
    covered: list[float] = field(default_factory=list)
    size: list[int] = field(default_factory=list)
    truth: list[float] = field(default_factory=list)
    sites: list[Floats] = field(default_factory=list)
    group1: list[float] = field(default_factory=list)
    group_covered: list[float] = field(default_factory=list)
    group_size: list[int] = field(default_factory=list)
    root: list[float] = field(default_factory=list)
    before: list[tuple[float, float, float]] = field(default_factory=list)
    rules1: list[float] = field(default_factory=list)
    rules3: list[float] = field(default_factory=list)
    nearest1: list[float] = field(default_factory=list)
    nearest3: list[float] = field(default_factory=list)


def share_of_places(near: npt.NDArray[np.bool_], above: int, places: int, truth: int) -> float:
    """What a site in a tie earns where `above` sites stand before the tie and `places` count."""
    return min(1.0, (places - above) / float(near.sum())) if near[truth] else 0.0


def covering(chances: Floats) -> npt.NDArray[np.int64]:
    """The numbers of the smallest set that holds 90%, most probable first."""
    order = np.argsort(-chances, kind="stable")
    return np.asarray(order[: int(np.searchsorted(np.cumsum(chances[order]), COVERED)) + 1])


def count(tally: Tally, engine: Engine, rows: Floats, configuration: int) -> None:
    """Adds what the posterior says about one case."""
    sites = engine.by_site(rows)
    truth = engine.hypotheses.configurations[configuration].site
    order = np.argsort(-sites, kind="stable")
    tie = 2.0 ** -float(engine.tables.model["answers"]["tie_bits"])
    near = sites > sites[order[0]] * tie
    tally.top1.append(share_of_places(near, 0, 1, truth))
    tally.in_tie.append(float(near[truth]))
    tally.tied1.append(int(near.sum()))
    third = sites[order[2]]
    above = sites >= third / tie
    near = (sites > third * tie) & ~above
    tally.top3.append(float(above[truth]) or share_of_places(near, int(above.sum()), 3, truth))
    tally.tied3.append(int(near.sum()))
    tally.confidence.append(float(sites[order[0]]))
    chosen = covering(sites)
    tally.covered.append(float(truth in chosen))
    tally.size.append(len(chosen))
    tally.truth.append(float(sites[truth]))
    tally.sites.append(sites.astype(np.float32))
    numbers, _ = engine.groups
    groups: Floats = np.bincount(numbers, weights=sites).astype(np.float64)
    chosen = covering(groups)
    tally.group1.append(float(chosen[0] == numbers[truth]))
    tally.group_covered.append(float(numbers[truth] in chosen))
    tally.group_size.append(len(chosen))
    mass = configuration_mass(engine, rows)
    for root in ROOTS:
        states = engine.root_states[root]
        some, before, _ = (float(value) for value in mass @ states)
        is_some, is_before = states[configuration][0] > 0, states[configuration][1] > 0
        tally.root.append(float((some > 0.5) == is_some))
        if is_some and some > 0:
            tally.before.append((before / some, float(is_before), _prior_before(engine, root)))


def smallest_size(truth: Sequence[float], sites: Sequence[Floats], cover: float) -> float:
    """Median size of the sets that hold `cover` of the truths with the fewest sites on average.

    Those are all sites above one probability, the same for every case; chosen with the truth known,
    so that no rule for choosing sets by these probabilities does better.
    """
    least = float(np.quantile(truth, 1 - cover))
    return float(np.median([int((row >= least).sum()) for row in sites]))


def _prior_before(engine: Engine, root: str) -> float:
    weights = np.array([made.weight for made in engine.hypotheses.configurations])
    states = engine.root_states[root]
    return float((weights @ states[:, 1]) / (weights @ states[:, 0]))


def calibration(confidence: Floats, right: Floats) -> float:
    """Expected calibration error over ten bins of equal width."""
    bins = np.minimum((confidence * 10).astype(int), 9)
    error = 0.0
    for at in range(10):
        inside = bins == at
        if inside.any():
            gap = abs(float(confidence[inside].mean()) - float(right[inside].mean()))
            error += gap * float(inside.mean())
    return error


def _mean(values: Sequence[float]) -> float:
    return round(float(np.mean(values)), 4)


def _error(values: Sequence[float]) -> float:
    return round(float(np.std(values) / np.sqrt(len(values))), 4)


def _ties(sizes: Sequence[int]) -> dict[str, float]:
    tied = np.array(sizes)
    return {
        "cases_tied": round(float((tied > 1).mean()), 4),
        "mean_size": round(float(tied.mean()), 2),
        "largest": int(tied.max()),
    }


def figures(tally: Tally) -> dict[str, Any]:
    """All figures of a tally; errors are standard errors."""
    before = np.array(tally.before)
    said, truth, prior = before[:, 0], before[:, 1], before[:, 2]
    right = np.array(tally.top1)
    return {
        "cases": len(right),
        "top1": _mean(tally.top1),
        "top1_standard_error": _error(tally.top1),
        "top1_anywhere_in_tie": _mean(tally.in_tie),
        "ties_for_first": _ties(tally.tied1),
        "top3": _mean(tally.top3),
        "ties_for_third": _ties(tally.tied3),
        "calibration_error": round(calibration(np.array(tally.confidence), right), 4),
        "covered_by_90_set": _mean(tally.covered),
        "covered_standard_error": _error(tally.covered),
        "median_size_of_90_set": float(np.median(tally.size)),
        "mean_size_of_90_set": round(float(np.mean(tally.size)), 1),
        "smallest_median_size_covering_88": smallest_size(
            tally.truth, tally.sites, COVERED_AT_LEAST
        ),
        "groups_of_sites": {
            "top1": _mean(tally.group1),
            "covered_by_90_set": _mean(tally.group_covered),
            "median_size_of_90_set": float(np.median(tally.group_size)),
            "mean_size_of_90_set": round(float(np.mean(tally.group_size)), 1),
        },
        "root_involved_accuracy": _mean(tally.root),
        "preganglionic": {
            "roots": len(before),
            "brier": round(float(((said - truth) ** 2).mean()), 4),
            "brier_of_prior": round(float(((prior - truth) ** 2).mean()), 4),
            "sensitivity": round(float((said[truth > 0] > 0.5).mean()), 4),
            "specificity": round(float((said[truth == 0] <= 0.5).mean()), 4),
            "published": PUBLISHED,
        },
        "rules": {"top1": _mean(tally.rules1), "top3": _mean(tally.rules3)},
        "nearest_pattern": {"top1": _mean(tally.nearest1), "top3": _mean(tally.nearest3)},
    }
