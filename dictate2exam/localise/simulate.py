"""dictate2exam bench localise: how good the ranking is on drawn examinations, and how quick."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.localise.baselines import NearestPattern, Rules
from dictate2exam.localise.draw import Drawer, items_of
from dictate2exam.localise.engine import Engine, engine_for, normalised
from dictate2exam.localise.explain import configuration_mass
from dictate2exam.localise.graph import ROOTS
from dictate2exam.localise.model import Observation
from dictate2exam.localise.next_items import next_items
from dictate2exam.localise.sensitivity import sensitivity
from dictate2exam.localise.speed import measure_speed

Floats = npt.NDArray[np.float64]
CASES, SEED = 5000, 20260
INFORMED_CASES, SENSITIVITY_CASES, MANY = 60, 100, 5000
PARTS = ("simulation", "order", "sensitivity", "speed")
PROTOCOLS = {"full": "full", "short": "screen"}
# Published sensitivity and specificity of examination for a preganglionic lesion (CAPO14).
PUBLISHED = {"sensitivity": 0.47, "specificity": 0.82, "source": "CAPO14"}
COVERED = 0.9


@dataclass
class Tally:
    """Counts over cases; shares are means, each with its number of cases."""

    top1: list[float] = field(default_factory=list)
    top3: list[float] = field(default_factory=list)
    confidence: list[float] = field(default_factory=list)
    covered: list[float] = field(default_factory=list)
    size: list[int] = field(default_factory=list)
    root: list[float] = field(default_factory=list)
    before: list[tuple[float, float, float]] = field(default_factory=list)
    rules1: list[float] = field(default_factory=list)
    rules3: list[float] = field(default_factory=list)
    nearest1: list[float] = field(default_factory=list)
    nearest3: list[float] = field(default_factory=list)


def _share_of_tie(ids: Sequence[str], truth: str) -> float:
    return 1 / len(ids) if truth in ids else 0.0


def _count(tally: Tally, engine: Engine, rows: Floats, configuration: int) -> None:
    """Adds what the posterior says about one case."""
    sites = engine.by_site(rows)
    truth = engine.hypotheses.configurations[configuration].site
    order = np.argsort(-sites, kind="stable")
    tie = float(engine.tables.model["answers"]["tie_bits"])
    near = sites > sites[order[0]] * 2.0**-tie
    tally.top1.append(1 / float(near.sum()) if near[truth] else 0.0)
    tally.top3.append(float(truth in order[:3]))
    tally.confidence.append(float(sites[order[0]]))
    size = int(np.searchsorted(np.cumsum(sites[order]), COVERED)) + 1
    tally.covered.append(float(truth in order[:size]))
    tally.size.append(size)
    mass = configuration_mass(engine, rows)
    for root in ROOTS:
        states = engine.root_states[root]
        some, before, _ = (float(value) for value in mass @ states)
        is_some, is_before = states[configuration][0] > 0, states[configuration][1] > 0
        tally.root.append(float((some > 0.5) == is_some))
        if is_some and some > 0:
            tally.before.append((before / some, float(is_before), _prior_before(engine, root)))


def _prior_before(engine: Engine, root: str) -> float:
    weights = np.array([made.weight for made in engine.hypotheses.configurations])
    states = engine.root_states[root]
    return float((weights @ states[:, 1]) / (weights @ states[:, 0]))


def _calibration(confidence: Floats, right: Floats) -> float:
    """Expected calibration error over ten bins of equal width."""
    bins = np.minimum((confidence * 10).astype(int), 9)
    error = 0.0
    for at in range(10):
        inside = bins == at
        if inside.any():
            gap = abs(float(confidence[inside].mean()) - float(right[inside].mean()))
            error += gap * float(inside.mean())
    return error


def _figures(tally: Tally) -> dict[str, Any]:
    right = np.array(tally.top1)
    before = np.array(tally.before)
    said, truth, prior = before[:, 0], before[:, 1], before[:, 2]
    return {
        "cases": len(right),
        "top1": round(float(right.mean()), 4),
        "top1_standard_error": round(float(right.std() / np.sqrt(len(right))), 4),
        "top3": round(float(np.mean(tally.top3)), 4),
        "calibration_error": round(_calibration(np.array(tally.confidence), right), 4),
        "covered_by_90_set": round(float(np.mean(tally.covered)), 4),
        "median_size_of_90_set": float(np.median(tally.size)),
        "root_involved_accuracy": round(float(np.mean(tally.root)), 4),
        "preganglionic": {
            "roots": len(before),
            "brier": round(float(((said - truth) ** 2).mean()), 4),
            "brier_of_prior": round(float(((prior - truth) ** 2).mean()), 4),
            "sensitivity": round(float((said[truth > 0] > 0.5).mean()), 4),
            "specificity": round(float((said[truth == 0] <= 0.5).mean()), 4),
            "published": PUBLISHED,
        },
        "rules": {
            "top1": round(float(np.mean(tally.rules1)), 4),
            "top3": round(float(np.mean(tally.rules3)), 4),
        },
        "nearest_pattern": {
            "top1": round(float(np.mean(tally.nearest1)), 4),
            "top3": round(float(np.mean(tally.nearest3)), 4),
        },
    }


def measure(lexicon: Lexicon, engine: Engine, protocol: str, cases: int, seed: int) -> Tally:
    """Draws examinations under one protocol and counts how each method does."""
    items = items_of(lexicon, protocol)
    drawer, rules, nearest = Drawer(engine, lexicon, seed), Rules(lexicon), NearestPattern(engine)
    tally = Tally()
    for _ in range(cases):
        drawn = drawer.draw(items)
        rows = normalised(engine.log_weights(engine.reader.factors(drawn.observations)))
        _count(tally, engine, rows, drawn.configuration)
        truth = engine.sites[engine.hypotheses.configurations[drawn.configuration].site].site_id
        by_rule = rules.ranked(drawn.observations)
        tally.rules1.append(float(by_rule[0] == truth))
        tally.rules3.append(float(truth in by_rule[:3]))
        close = nearest.ranked(drawn.observations)
        equal = [site for site, wrong in close if wrong == close[0][1]]
        tally.nearest1.append(_share_of_tie(equal, truth))
        third = [site for site, wrong in close if wrong <= close[2][1]]
        tally.nearest3.append(min(1.0, 3 / len(third)) if truth in third else 0.0)
    return tally


def _until_sure(engine: Engine, lexicon: Lexicon, seed: int, cases: int) -> dict[str, Any]:
    """Items until one site holds 90%: in the order of the protocol, and by expected information."""
    items = items_of(lexicon, "full")
    drawer = Drawer(engine, lexicon, seed)
    fixed, chosen = [], []
    for _ in range(cases):
        left = {one.item: one for one in drawer.draw(items, missing=0.0).observations}
        order = list(left)

        def certainty(
            names: list[str], found: dict[str, Observation] = left
        ) -> tuple[float, Floats]:
            factors = engine.reader.factors([found[name] for name in names])
            rows = normalised(engine.log_weights(factors))
            return float(engine.by_site(rows).max()), rows

        count = next((n for n in range(1, len(order)) if certainty(order[:n])[0] >= COVERED), 0)
        if not count:
            continue
        asked: list[str] = []
        sure, rows = certainty(asked)
        while sure < COVERED and len(asked) < len(order):
            ranked = next_items(engine, lexicon, asked, rows, only=set(order))
            rest = [name for name in order if name not in asked]
            asked.append(ranked[0].item if ranked else rest[0])
            sure, rows = certainty(asked)
        fixed.append(count)
        chosen.append(len(asked))
    return {
        "cases": len(fixed),
        "median_items_in_order": float(np.median(fixed)),
        "median_items_by_information": float(np.median(chosen)),
    }


def bench_localise(
    cases: int | str = CASES,
    seed: int | str = SEED,
    parts: str = ",".join(PARTS),
    many: int | str = MANY,
) -> dict[str, Any]:
    """Figures for the full and the short protocol beside two baselines, and the speed.

    `parts` are some of PARTS with commas between; `many` records are scored to measure the speed.
    """
    lexicon = load_lexicon()
    engine = engine_for(lexicon)
    count, first, wanted = int(cases), int(seed), set(parts.split(","))
    if wanted - set(PARTS):
        raise InputError(f"The bench localise has the parts {', '.join(PARTS)}, not {parts}.")
    figures: dict[str, Any] = {}
    if "simulation" in wanted:
        for name, protocol in PROTOCOLS.items():
            figures[name] = _figures(measure(lexicon, engine, protocol, count, first))
    if "order" in wanted:
        figures["until_90_percent"] = _until_sure(engine, lexicon, first, INFORMED_CASES)
    if "sensitivity" in wanted:
        figures["sensitivity"] = sensitivity(
            lexicon, engine, items_of(lexicon, "full"), SENSITIVITY_CASES, first
        )
    if "speed" in wanted:
        figures["speed"] = measure_speed(lexicon, engine, int(many))
    figures["sites"] = len(engine.sites)
    figures["hypotheses"] = len(engine.forward.log_prior)
    return figures
