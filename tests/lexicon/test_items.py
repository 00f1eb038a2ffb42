"""The closed list of items is exactly that of the contract, written out here once more."""

import pytest

from dictate2exam.lexicon.export import item_entries
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.regions import MUSCLE_KINDS, read_regions

LEXICON = load_lexicon()

MRC = ["0", "1", "2-", "2", "2+", "3-", "3", "3+", "4-", "4", "4+", "5-", "5", "not_tested"]
MUSCLES = [
    "sternocleidomastoid",
    "trapezius_upper",
    "trapezius_middle_lower",
    "levator_scapulae",
    "rhomboids",
    "serratus_anterior",
    "supraspinatus",
    "infraspinatus",
    "teres_minor",
    "deltoid_anterior",
    "deltoid_middle",
    "deltoid_posterior",
    "teres_major",
    "subscapularis",
    "latissimus_dorsi",
    "pectoralis_major_clavicular",
    "pectoralis_major_sternocostal",
    "pectoralis_minor",
    "subclavius",
    "coracobrachialis",
    "biceps_brachii",
    "brachialis",
    "brachioradialis",
    "supinator",
    "triceps_brachii",
    "anconeus",
    "extensor_carpi_radialis_longus",
    "extensor_carpi_radialis_brevis",
    "extensor_carpi_ulnaris",
    "extensor_digitorum",
    "extensor_digiti_minimi",
    "extensor_indicis",
    "extensor_pollicis_longus",
    "extensor_pollicis_brevis",
    "abductor_pollicis_longus",
    "pronator_teres",
    "flexor_carpi_radialis",
    "palmaris_longus",
    "flexor_digitorum_superficialis",
    "flexor_digitorum_profundus_radial",
    "flexor_digitorum_profundus_ulnar",
    "flexor_pollicis_longus",
    "pronator_quadratus",
    "flexor_carpi_ulnaris",
    "abductor_pollicis_brevis",
    "opponens_pollicis",
    "flexor_pollicis_brevis",
    "lumbricals_1_2",
    "lumbricals_3_4",
    "dorsal_interosseous_1",
    "dorsal_interossei_2_4",
    "palmar_interossei",
    "abductor_digiti_minimi",
    "adductor_pollicis",
    "diaphragm",
    "trapezius",
    "deltoid",
    "dorsal_interossei",
    "intrinsics",
]
MOVEMENTS = [
    "shoulder_abduction",
    "shoulder_adduction",
    "shoulder_flexion",
    "shoulder_extension",
    "shoulder_external_rotation",
    "shoulder_internal_rotation",
    "elbow_flexion",
    "elbow_extension",
    "forearm_supination",
    "forearm_pronation",
    "wrist_extension",
    "wrist_flexion",
    "finger_extension",
    "finger_flexion",
    "finger_abduction",
    "finger_adduction",
    "thumb_extension",
    "thumb_abduction",
    "thumb_flexion",
    "thumb_opposition",
    "grip",
]
ROOTS = ["c5", "c6", "c7", "c8", "t1"]
LEVELS = ["c3", "c4", "c5", "c6", "c7", "c8", "t1", "t2"]
AREAS = [
    "supraclavicular_territory",
    "axillary_regimental_patch",
    "lower_lateral_arm",
    "posterior_arm",
    "posterior_forearm",
    "lacn_lateral_forearm",
    "superficial_radial_first_web",
    "median_thumb_pulp",
    "median_index_pulp",
    "median_middle_pulp",
    "median_thenar_palm",
    "ulnar_little_pulp",
    "ulnar_dorsal_hand",
    "macn_medial_forearm",
    "mbcn_medial_arm",
    "intercostobrachial_axilla",
]
SIGNS = [
    "ptosis",
    "miosis",
    "anhidrosis",
    "enophthalmos",
    "horner",
    "scapular_winging",
    "shoulder_droop",
    "shoulder_subluxation",
    "supraclavicular_swelling",
    "supraclavicular_bruising",
    "clavicle_deformity",
    "scar",
    "neuropathic_pain",
    "clonus",
    "hoffmann",
    "plantar_extensor",
    "froment",
    "ok_sign",
    "bruit",
    "hemidiaphragm",
    "open_wound",
]
PERCUSSION = [
    "supraclavicular",
    "infraclavicular",
    "axilla",
    "spiral_groove",
    "cubital_tunnel",
    "carpal_tunnel",
    "radial_tunnel",
    "other",
]
EXPECTED = {
    **{f"power.{name}": MRC for name in (*MUSCLES, *MOVEMENTS, *ROOTS)},
    **{f"contraction.{name}": ["present", "absent"] for name in MUSCLES},
    **{
        f"sensation.{name}": [str(n) for n in range(11)]
        + ["normal", "reduced", "absent", "increased", "not_tested"]
        for name in (*LEVELS, *AREAS)
    },
    **{f"sign.{name}": ["present", "absent", "uncertain", "not_tested"] for name in SIGNS},
    **{
        f"sign.percussion.{name}": ["present", "absent", "uncertain", "not_tested"]
        for name in PERCUSSION
    },
    **{
        f"wasting.{name}": ["present", "absent", "uncertain"]
        for name in (*MUSCLES, "thenar", "hypothenar")
    },
    **{
        f"posture.{name}": ["present", "absent"]
        for name in ("internal_rotation", "intrinsic_minus", "wrist_drop")
    },
    **{
        f"reflex.{name}": ["absent", "reduced", "normal", "brisk", "not_tested"]
        for name in ("biceps", "brachioradialis", "triceps", "finger", "knee", "ankle")
    },
    "pulse.radial": ["present", "reduced", "absent"],
    **{f"range.{name}": ["full", "reduced"] for name in MOVEMENTS},
    **{
        f"conduction.{name}": ["normal", "reduced", "absent"]
        for name in ("median", "ulnar", "superficial_radial", "dorsal_ulnar", "lacn", "macn")
    },
    **{f"needle.{name}": ["normal", "denervated"] for name in MUSCLES},
    **{f"needle.paraspinal_{name}": ["normal", "denervated"] for name in ROOTS},
    **{f"imaging.{name}": ["intact", "avulsed", "pseudomeningocele", "not_seen"] for name in ROOTS},
    **{
        f"context.{name}": []
        for name in ("dominant_hand", "mechanism", "interval_days", "associated_injury")
    },
}


def test_the_list_is_exactly_the_contracts() -> None:
    assert {item.item_id: list(item.values) for item in LEXICON.items.values()} == EXPECTED


def test_mrc_values_rise() -> None:
    """Medical Research Council, Memorandum 45: six grades, 0 to 5; steps between are practice."""
    grades = [value for value in LEXICON.items["power.deltoid"].values if value != "not_tested"]
    order = {"-": -1 / 3, "": 0, "+": 1 / 3}
    ranks = [int(grade[0]) + order[grade[1:]] for grade in grades]
    assert ranks == sorted(ranks)
    assert {grade for grade in grades if len(grade) == 1} == set("012345")


def test_the_export_carries_anatomy() -> None:
    entries = {entry["item"]: entry for entry in item_entries(LEXICON)}
    assert set(entries) == set(EXPECTED)
    deltoid = entries["power.deltoid"]["anatomy"]
    assert set(deltoid) == {"deltoid_anterior", "deltoid_middle", "deltoid_posterior"}
    for name in MUSCLES:
        for part in entries[f"power.{name}"]["anatomy"].values():
            total = sum(root["share"]["mid"] for root in part.values())
            assert total == pytest.approx(1, abs=0.006)
    assert entries["sensation.c6"]["anatomy"]["dermatome_c6_point"]["C6"]["paths"]
    assert entries["context.mechanism"]["anatomy"] == {}


def test_every_item_has_a_region_of_the_report() -> None:
    regions = read_regions(LEXICON.folder)
    for item in LEXICON.items:
        kind, _, name = item.partition(".")
        muscle = name if kind in MUSCLE_KINDS and ("muscle", name) in LEXICON.by_id else ""
        assert any(region.holds(item, muscle) for region in regions), item
