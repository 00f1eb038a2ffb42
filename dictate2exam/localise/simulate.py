"""dictate2exam bench localise: how good the ranking is on drawn examinations, and how quick."""

from typing import Any

from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.localise.alike import alike
from dictate2exam.localise.baselines import NearestPattern, Rules
from dictate2exam.localise.draw import Drawer, Misreading, items_of
from dictate2exam.localise.engine import Engine, engine_for, normalised
from dictate2exam.localise.sensitivity import sensitivity
from dictate2exam.localise.speed import measure_speed
from dictate2exam.localise.tally import Tally, count, figures
from dictate2exam.localise.until_sure import until_sure

CASES, SEED = 5000, 20260
INFORMED_CASES, SENSITIVITY_CASES, MANY = 120, 60, 5000
PARTS = ("simulation", "order", "sensitivity", "speed")
PROTOCOLS = {"full": "full", "short": "screen"}
# The first is the harsher one, by which the targets are judged; what is added to the names of its
# figures, and what is broken.
BROKEN: dict[Misreading, tuple[str, str]] = {
    "halved_log_odds": ("", "spread of grades doubled, log odds of signs halved (the harsher)"),
    "doubled_errors": (
        "_signs_misread_twice",
        "spread of grades doubled, signs misread twice as often (the milder)",
    ),
    "as_assumed": ("_as_assumed", "nothing, every item examined: what no ranking can beat"),
}


def measure(
    lexicon: Lexicon,
    engine: Engine,
    protocol: str,
    cases: int,
    seed: int,
    misreading: Misreading = "halved_log_odds",
) -> Tally:
    """Draws examinations under one protocol and counts how each method does."""
    items = items_of(lexicon, protocol)
    drawer = Drawer(engine, lexicon, seed, misreading)
    rules, nearest = Rules(lexicon), NearestPattern(engine)
    tally = Tally()
    for _ in range(cases):
        drawn = drawer.draw(items)
        rows = normalised(engine.log_weights(engine.reader.factors(drawn.observations)))
        count(tally, engine, rows, drawn.configuration)
        truth = engine.sites[engine.hypotheses.configurations[drawn.configuration].site].site_id
        by_rule = rules.ranked(drawn.observations)
        tally.rules1.append(float(by_rule[0] == truth))
        tally.rules3.append(float(truth in by_rule[:3]))
        close = nearest.ranked(drawn.observations)
        equal = [site for site, wrong in close if wrong == close[0][1]]
        tally.nearest1.append(1 / len(equal) if truth in equal else 0.0)
        third = [site for site, wrong in close if wrong <= close[2][1]]
        tally.nearest3.append(min(1.0, 3 / len(third)) if truth in third else 0.0)
    return tally


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
    number, first, wanted = int(cases), int(seed), set(parts.split(","))
    if wanted - set(PARTS):
        raise InputError(f"The bench localise has the parts {', '.join(PARTS)}, not {parts}.")
    made: dict[str, Any] = {}
    if "simulation" in wanted:
        for misreading, (added, broken) in BROKEN.items():
            for name, protocol in PROTOCOLS.items():
                tally = measure(lexicon, engine, protocol, number, first, misreading)
                made[name + added] = {"broken": broken, **figures(tally)}
        made["sites_alike"] = alike(engine)
    if "order" in wanted:
        made["until_90_percent"] = until_sure(engine, lexicon, first, INFORMED_CASES)
    if "sensitivity" in wanted:
        made["sensitivity"] = sensitivity(lexicon, engine, SENSITIVITY_CASES, first)
    if "speed" in wanted:
        made["speed"] = measure_speed(lexicon, engine, int(many))
    made["sites"] = len(engine.sites)
    made["groups_of_sites"] = len(engine.groups[1])
    made["hypotheses"] = len(engine.forward.log_prior)
    return made
