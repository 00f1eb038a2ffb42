"""What findings are said to add: everything that the examination did to the odds, and no more."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from localise.reading import observed

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.engine import engine_for
from dictate2exam.localise.infer import localise
from dictate2exam.localise.model import Localisation

UPPER = (
    "power.deltoid_middle=0;power.supraspinatus=0;power.infraspinatus=0;power.biceps_brachii=0;"
    "power.brachialis=0;reflex.biceps=absent;sensation.c5=0;power.rhomboids=5;"
    "power.serratus_anterior=5;power.triceps_brachii=5;power.finger_flexion=5;sign.ptosis=absent"
)


def where(text: str) -> Localisation:
    (found,) = localise(observed(text), load_lexicon())
    return found


def log_odds(chance: float) -> float:
    return float(np.log2(chance) - np.log2(1 - chance))


def prior_of(found: Localisation) -> tuple[float, float, float]:
    """Prior probability of the leading site, its rival and its group."""
    engine = engine_for(load_lexicon())
    sites = engine.by_site(np.exp(engine.forward.log_prior))
    number = {site.site_id: at for at, site in enumerate(engine.sites)}
    first, rival = number[found.sites[0].site_id], number[found.rival]
    numbers, _ = engine.groups
    return sites[first], sites[rival], sites[numbers == numbers[first]].sum()


@settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.sets(st.sampled_from(UPPER.split(";")), min_size=1))
def test_the_bits_of_all_findings_are_what_the_examination_did(chosen: set[str]) -> None:
    found = where(";".join(sorted(chosen)))
    first, rival, group = prior_of(found)
    after = {site.site_id: site.probability for site in found.sites}
    mine = next(g for g in found.site_groups if found.sites[0].site_id in g.sites)
    sums = np.array(
        [[e.bits_leading, e.bits_against_rival, e.bits_group] for e in found.evidence]
    ).sum(axis=0)
    lead = found.sites[0].probability
    assert sums[0] == pytest.approx(log_odds(lead) - log_odds(first), abs=0.01)
    assert sums[1] == pytest.approx(np.log2(lead / after[found.rival] * rival / first), abs=0.01)
    assert sums[2] == pytest.approx(log_odds(mine.probability) - log_odds(group), abs=0.01)


def test_muscles_that_repeat_one_another_share_what_they_say() -> None:
    # Common practice, no source: a paralysed deltoid is no less a sign of an upper lesion for the
    # spinati being paralysed too.
    bits = {each.item: each.bits_group for each in where(UPPER).evidence}
    paralysed = ("power.deltoid_middle", "power.supraspinatus", "power.biceps_brachii")
    assert sum(bits[item] for item in paralysed) > 1
    assert all(bits[item] > 0.1 for item in paralysed)


def test_the_order_of_speaking_does_not_matter() -> None:
    one, other = where(UPPER), where(";".join(reversed(UPPER.split(";"))))
    bits = [{e.item: e.bits_leading for e in found.evidence} for found in (one, other)]
    assert bits[0] == pytest.approx(bits[1], abs=1e-3)


def test_sites_of_the_same_roots_are_a_group() -> None:
    found = where(UPPER)
    assert found.site_groups[0].summary == "C5 and C6 roots or trunk"
    assert "upper_trunk_proximal" in found.site_groups[0].sites
    assert found.site_groups[0].probability > found.sites[0].probability
    assert sum(group.probability for group in found.site_groups) == pytest.approx(1, abs=0.01)


def test_what_examination_cannot_tell_is_left_to_studies() -> None:
    everything = UPPER + (
        ";power.latissimus_dorsi=5;power.pectoralis_major_sternocostal=5;power.teres_minor=0;"
        "power.subscapularis=3;power.brachioradialis=1;sign.horner=absent;sensation.c6=2;"
        "sign.percussion.supraclavicular=present;power.trapezius=5;sign.hemidiaphragm=absent;"
        "sign.scapular_winging=absent;power.wrist_extension=3;power.pronator_teres=3"
    )
    found = where(everything)
    assert found.sites[0].probability < 0.9
    assert found.next_items[0].expected_bits < 0.05
    assert "nerve studies, imaging or surgical exploration" in found.outlook
    assert found.studies and found.studies[0].item.startswith(("needle", "imaging", "conduction"))
