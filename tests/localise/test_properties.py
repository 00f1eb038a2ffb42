"""Properties that hold for any findings."""

import random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from localise.reading import observed

from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.engine import engine_for, normalised
from dictate2exam.localise.infer import localise, sides_to_localise
from dictate2exam.localise.model import Observation

KINDS = ("power.", "sensation.", "sign.", "reflex.", "posture.", "wasting.", "conduction.")


@st.composite
def findings(draw: st.DrawFn) -> list[Observation]:
    """Up to 25 findings of one arm, each item once."""
    items = [item for item in load_lexicon().items.values() if item.item_id.startswith(KINDS)]
    chosen = draw(st.lists(st.sampled_from(items), max_size=25, unique_by=lambda i: i.item_id))
    return [
        Observation(
            observation_id=str(at),
            item=item.item_id,
            side="left",
            value=draw(st.sampled_from(item.values)),
            confidence=draw(st.sampled_from([1.0, 0.7])),
        )
        for at, item in enumerate(chosen)
    ]


def posterior(observations: list[Observation]) -> list[float]:
    engine = engine_for(load_lexicon())
    rows = normalised(engine.log_weights(engine.reader.factors(observations)))
    return [float(value) for value in engine.by_site(rows)]


LOOSE = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


@LOOSE
@given(findings(), st.randoms())
def test_posterior_sums_to_one_whatever_the_order(
    found: list[Observation], chance: random.Random
) -> None:
    first = posterior(found)
    assert sum(first) == pytest.approx(1, abs=1e-9)
    chance.shuffle(found)
    assert posterior(found) == pytest.approx(first, abs=1e-9)


@LOOSE
@given(findings())
def test_a_finding_that_says_nothing_changes_nothing(found: list[Observation]) -> None:
    silent = [
        Observation(observation_id=item, item=item, side="left", value=value)
        for item, value in (
            ("power.grip", "not_tested"),
            ("sign.bruit", "present"),
            ("pulse.radial", "absent"),
            ("range.elbow_flexion", "reduced"),
            ("context.mechanism", "a fall"),
        )
    ]
    assert posterior(found + silent) == pytest.approx(posterior(found), abs=1e-12)


@LOOSE
@given(findings())
def test_the_whole_answer_is_consistent(found: list[Observation]) -> None:
    for answer in localise(found, load_lexicon()):
        chances = [site.probability for site in answer.sites]
        assert chances == sorted(chances, reverse=True)
        assert [site.rank for site in answer.sites] == list(range(1, len(chances) + 1))
        ties = {site.site_id: set(site.tied_with) for site in answer.sites}
        assert all(name in ties[other] for name, tied in ties.items() for other in tied)
        assert len(answer.evidence) == len([o for o in found if o.side in (answer.side, "none")])
        examined = {o.item for o in found if o.value not in {"not_tested", "uncertain"}}
        assert not examined & {one.item for one in answer.next_items}


def test_a_certain_finding_says_more_than_a_doubtful_one() -> None:
    text = "power.deltoid=0;power.supraspinatus=5;power.biceps_brachii=5"
    sure = observed(text)
    doubtful = [sure[0].model_copy(update={"confidence": 0.6}), *sure[1:]]
    odds = [localise(one, load_lexicon())[0].sites[0].probability for one in (sure, doubtful)]
    assert odds[0] > odds[1]


def test_unexplained_findings_are_named() -> None:
    cord = (
        "power.deltoid=0;power.latissimus_dorsi=0;power.triceps_brachii=0;power.wrist_extension=0;"
        "power.finger_extension=0;power.biceps_brachii=5;power.infraspinatus=5;power.grip=5;"
        "sensation.axillary_regimental_patch=0;sensation.superficial_radial_first_web=0;"
        "power.finger_abduction=5;power.abductor_pollicis_brevis=5;power.pronator_teres=0"
    )
    (found,) = localise(observed(cord), load_lexicon())
    assert "posterior_cord_proximal" in found.sites[0].site_id
    assert [one.item for one in found.unexplained] == ["power.pronator_teres"]


def test_sides() -> None:
    left, right = observed("power.deltoid=0"), observed("power.deltoid=5", "right")
    assert sides_to_localise(left + right) == ["left"]
    assert sides_to_localise(right) == ["right"]
    assert sides_to_localise(left + observed("power.grip=3", "right")) == ["left", "right"]
    both = localise(left + observed("power.grip=3", "right"), load_lexicon())
    assert [found.side for found in both] == ["left", "right"]


@pytest.mark.parametrize("text", ["power.nothing=3", "power.deltoid=6", "sensation.c5=11"])
def test_an_unknown_item_or_value_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(InputError, match=text.split("=")[0]):
        localise(observed(text), load_lexicon())


def test_next_items_tell_what_divides_the_leading_sites() -> None:
    # Deltoid alone: axillary nerve, trunk, posterior cord or more roots; below C6 decides first.
    (found,) = localise(observed("power.deltoid=0"), load_lexicon())
    bits = {one.item: one.expected_bits for one in found.next_items}
    assert bits["power.elbow_extension"] > 0.3
    assert bits["power.infraspinatus"] > bits["power.trapezius"]
    assert found.outlook.startswith("The most telling item left")
