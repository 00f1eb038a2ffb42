"""The ranking equals a second implementation written in plain loops for this test."""

import random

import pytest
from localise.plain import GRADES, Plain

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.engine import engine_for, normalised
from dictate2exam.localise.model import Observation

VALUES = {
    "power": GRADES,
    "sensation": [str(score) for score in range(11)],
    "reflex": ["absent", "reduced", "normal", "brisk"],
    "wasting": ["present", "absent"],
    "sign": ["present", "absent"],
    "posture": ["present", "absent"],
}
SILENT = ("bruit", "scar", "open_wound", "percussion.other", "knee", "ankle")


@pytest.fixture(scope="module")
def plain() -> Plain:
    lexicon = load_lexicon()
    wholes = {t.term_id: list(t.parts) for t in lexicon.terms if t.category == "muscle" and t.parts}
    Plain.muscle_ids = tuple({share.target for share in lexicon.anatomy.muscle_shares})
    return Plain(lexicon.folder, wholes)


def compare(plain: Plain, seed: int) -> None:
    chance = random.Random(seed)
    lexicon = load_lexicon()
    items = [
        item.item_id
        for item in lexicon.items.values()
        if item.kind in VALUES and not item.item_id.endswith(SILENT)
    ]
    chosen = chance.sample(items, chance.randint(1, 12))
    findings = [(item, chance.choice(VALUES[item.partition(".")[0]])) for item in chosen]
    observations = [
        Observation(observation_id=item, item=item, side="left", value=value)
        for item, value in findings
    ]
    engine = engine_for(lexicon)
    rows = normalised(engine.log_weights(engine.reader.factors(observations)))
    sites = engine.by_site(rows)
    second = plain.chances(findings)
    assert {site.site_id for site in engine.sites} == set(second)
    for number, site in enumerate(engine.sites):
        assert sites[number] == pytest.approx(second[site.site_id], abs=1e-9)


@pytest.mark.parametrize("seed", range(3))
def test_equals_plain_loops(plain: Plain, seed: int) -> None:
    compare(plain, seed)


@pytest.mark.slow
def test_equals_plain_loops_on_two_hundred_records(plain: Plain) -> None:
    for seed in range(200):
        compare(plain, seed)
