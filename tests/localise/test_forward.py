"""What hypotheses predict, against anatomy that is known from published series."""

import numpy as np
import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.cells import CELLS, cell_masses, incomplete_beta
from dictate2exam.localise.engine import Engine, engine_for


def surviving(target: str, variant: str, **lost: float) -> float:
    """Mean surviving fraction of a target of a hypothesis with exactly these losses."""
    engine: Engine = engine_for(load_lexicon())
    made = engine.hypotheses.configurations
    at = next(n for n, one in enumerate(made) if one.lost == lost)
    row = engine.forward.row_of[engine.graph.arrangements.index(variant), at]
    return float(engine.forward.means[row, engine.forward.column[target]])


def upper(*roots: str) -> dict[str, float]:
    return {f"{r}_ramus_distal" if r < "c8" else f"{r}_ramus": 1.0 for r in roots}


def test_flexor_carpi_radialis_needs_c7_beside_c5_and_c6() -> None:
    # BBH17: its paralysis marks C7 in addition to C5-6.
    assert surviving("motor:flexor_carpi_radialis", "usual", **upper("c5", "c6")) > 0.5
    assert surviving("motor:flexor_carpi_radialis", "usual", **upper("c5", "c6", "c7")) < 0.12


@pytest.mark.parametrize("muscle", ["triceps_brachii", "pectoralis_major_sternocostal"])
def test_triceps_and_pectoralis_are_paralysed_only_with_c8(muscle: str) -> None:
    # BBH17: weak with C5-7 lost, paralysed with C5-8 lost.
    assert surviving(f"motor:{muscle}", "usual", **upper("c5", "c6", "c7")) > 0.25
    assert surviving(f"motor:{muscle}", "usual", **upper("c5", "c6", "c7", "c8")) < 0.2


@pytest.mark.parametrize("muscle", ["flexor_digitorum_profundus_ulnar", "palmar_interossei"])
def test_c8_predominates_in_the_ulnar_hand(muscle: str) -> None:
    # BBH17: C8 main, some C7.
    assert surviving(f"motor:{muscle}", "usual", c8_ramus=1.0) < 0.5


def test_rhomboids_keep_their_nerve_in_a_trunk_lesion() -> None:
    assert surviving("motor:rhomboids", "usual", upper_trunk_proximal=1.0) == 1.0
    assert surviving("motor:rhomboids", "usual", c5_preganglionic=1.0) < 0.3


def test_a_median_ulnar_crossing_spares_part_of_the_hand_at_the_elbow() -> None:
    # EHLER17: 19.7% of hands.
    first = "motor:dorsal_interosseous_1"
    assert surviving(first, "usual", ulnar_nerve_elbow=1.0) == 0.0
    assert 0.3 < surviving(first, "crossing", ulnar_nerve_elbow=1.0) < 0.5
    assert surviving(first, "crossing", ulnar_nerve_wrist=1.0) == 0.0


def test_a_sensory_potential_is_kept_before_the_ganglion() -> None:
    both = {"c8_preganglionic": 1.0, "t1_preganglionic": 1.0}
    assert surviving("potential:ulnar_little_pulp", "usual", **both) == 1.0
    assert surviving("skin:ulnar_little_pulp", "usual", **both) == 0.0


def test_one_movement_draws_on_several_muscles() -> None:
    # A spared supraspinatus alone does not make abduction five.
    assert 0.2 < surviving("motor:shoulder_abduction", "usual", axillary_nerve=1.0) < 0.5


def test_incomplete_beta_equals_a_plain_integral() -> None:
    steps = (np.arange(200000) + 0.5) / 200000
    for a, b, x in ((2.0, 3.0, 0.4), (0.7, 5.0, 0.1), (6.0, 1.5, 0.9)):
        density = steps ** (a - 1) * (1 - steps) ** (b - 1)
        plain = density[steps < x].sum() / density.sum()
        made = incomplete_beta(np.array([a]), np.array([b]), np.array([x]))[0]
        assert made == pytest.approx(plain, abs=2e-3)


def test_masses_are_distributions_with_their_means() -> None:
    masses = cell_masses()
    assert np.allclose(masses.sum(axis=1), 1)
    means = masses @ CELLS
    wanted = np.repeat(np.arange(65) / 64, 6)
    assert np.abs(means - wanted).max() < 0.02


def test_sources_that_disagree_about_the_hand_are_both_reckoned_with() -> None:
    # ISNCSCI takes little finger abduction for T1, BBH17 found C8 to be its main root; TSAO14 has
    # the thenar muscles from T1 more than from C8.
    little = "motor:abductor_digiti_minimi"
    only_t1 = {name: surviving(little, name, t1_preganglionic=1.0) for name in ("t1_hand", "usual")}
    surgical = surviving(little, "surgical", t1_preganglionic=1.0)
    assert only_t1["t1_hand"] < 0.5 < only_t1["usual"] < surgical
    # ZHANG12 against BBH17: the long thumb extensor from C8, or from T1 as much.
    long = "motor:extensor_pollicis_longus"
    kept = [surviving(long, name, c8_ramus=1.0) for name in ("stimulation", "surgical")]
    assert kept[0] < 0.4 < 0.5 < kept[1]


def test_arrangements_that_predict_the_same_are_one_row() -> None:
    engine = engine_for(load_lexicon())
    made = engine.hypotheses.configurations
    at = next(n for n, one in enumerate(made) if one.lost == {"axillary_nerve": 1.0})
    assert len(set(engine.forward.row_of[:, at])) == 1
    chances = np.exp(engine.forward.log_prior)
    weight = made[at].weight / sum(one.weight for one in made)
    assert chances[engine.forward.row_of[0, at]] == pytest.approx(weight)
    assert chances.sum() == pytest.approx(1)


def test_brachialis_has_a_second_nerve_in_some_limbs_only() -> None:
    # MAHA02, BEND12, AWORI: a radial twig in 58 to 82 of 100 limbs, so that what survives of
    # brachialis without its main nerve is less certain than what survives of biceps.
    engine = engine_for(load_lexicon())
    at = next(
        n
        for n, made in enumerate(engine.hypotheses.configurations)
        if made.lost == {"musculocutaneous_nerve_proximal": 1.0}
    )
    row = engine.forward.row_of[0, at]
    masses = cell_masses()[engine.forward.bins[row]]
    column = engine.forward.column
    spread = {
        muscle: float(masses[column[f"motor:{muscle}"]] @ CELLS**2)
        - float(masses[column[f"motor:{muscle}"]] @ CELLS) ** 2
        for muscle in ("brachialis", "biceps_brachii")
    }
    assert 0.05 < surviving("motor:brachialis", "usual", musculocutaneous_nerve_proximal=1.0) < 0.2
    assert spread["brachialis"] > 0.003 > spread["biceps_brachii"]


def test_roots_that_are_no_neighbours_can_be_hit_together() -> None:
    sites = {site.site_id for site in engine_for(load_lexicon()).sites}
    assert "c5_ramus_distal+c6_ramus_distal+c8_preganglionic+t1_preganglionic" in sites
