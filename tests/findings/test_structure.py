"""Lists, wholes and parts, what everything has, what was asked for, and corrections.

Invented sentences; how findings are listed and corrected aloud is common practice, no source.
"""

import pytest
from builders import standing_of, transcript

from dictate2exam.findings.extract import Extraction, extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings


def read(said: str) -> Extraction:
    return extract(transcript(*said.split("\n")), load_lexicon(), Settings(side="left"))


def standing(said: str) -> set[str]:
    return {f"{f.item.partition('.')[2]} {f.value}" for f in standing_of(read(said))}


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Deltoid. Front, middle and back are all one.",
         {"deltoid_anterior 1", "deltoid_middle 1", "deltoid_posterior 1"}),
        ("The front and middle parts of deltoid were 0, while the posterior part gave a flicker.",
         {"deltoid_anterior 0", "deltoid_middle 0", "deltoid_posterior 1"}),
        ("Pectoralis major was grade 5 in the clavicular head and grade 4 in the sternal head.",
         {"pectoralis_major_clavicular 5", "pectoralis_major_sternocostal 4"}),
        ("FDP: five to the index, four to the little.",
         {"flexor_digitorum_profundus_radial 5", "flexor_digitorum_profundus_ulnar 4"}),
        ("Lumbricals: the first two, zero; third and fourth, five.",
         {"lumbricals_1_2 0", "lumbricals_3_4 5"}),
        ("Trapezius: upper fibres four, the rest five.",
         {"trapezius_upper 4", "trapezius_middle_lower 5"}),
        ("FDP five. Index finger ten. Little finger nine.",
         {"flexor_digitorum_profundus_radial 5", "flexor_digitorum_profundus_ulnar 5",
          "median_index_pulp 10", "c8 9"}),
        ("The pulps of the thumb, index and little finger were normal.",
         {"median_thumb_pulp normal", "median_index_pulp normal", "ulnar_little_pulp normal"}),
    ],
)  # fmt: skip
def test_parts_under_their_whole(said: str, expected: set[str]) -> None:
    assert standing(said) == expected


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Everything's five: wrist extensors, EPL and the interossei, I've been through them all.",
         {"wrist_extension 5", "extensor_pollicis_longus 5", "dorsal_interossei 5"}),
        ("Median muscles five: APB, opponens.",
         {"abductor_pollicis_brevis 5", "opponens_pollicis 5"}),
        ("EPL, EPB, FPL: one, one and two.",
         {"extensor_pollicis_longus 1", "extensor_pollicis_brevis 1", "flexor_pollicis_longus 2"}),
        ("Thumb, index and middle ten.", {"c6 10", "median_index_pulp 10", "c7 10"}),
        ("Everything in the hand five. APB, ADM, FPL.",
         {"abductor_pollicis_brevis 5", "abductor_digiti_minimi 5", "flexor_pollicis_longus 5"}),
        ("Deltoid, biceps, triceps. M5 times three.",
         {"deltoid 5", "biceps_brachii 5", "triceps_brachii 5"}),
        ("The triceps is five, the anconeus too.", {"triceps_brachii 5", "anconeus 5"}),
        ("Marked wasting of deltoid, but not of trapezius.",
         {"deltoid present", "trapezius absent"}),
        ("Wrist up, five. Fingers apart four, thumb up to the ceiling three.",
         {"wrist_extension 5", "finger_abduction 4", "thumb_abduction 3"}),
        ("Bend your elbow. Four.", {"elbow_flexion 4"}),
        ("Thumb. Extension five, abduction four.", {"thumb_extension 5", "thumb_abduction 4"}),
        ("Hoffmann? There isn't one. Horner's, there isn't any. There isn't any deltoid wasting.",
         {"hoffmann absent", "horner absent", "deltoid absent"}),
    ],
)  # fmt: skip
def test_what_a_value_is_of(said: str, expected: set[str]) -> None:
    assert standing(said) == expected


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Deltoid five. Biceps one plus, no, call it two.", {"deltoid 5", "biceps_brachii 2"}),
        ("FCR two. FPL nil. FCR again. Three.",
         {"flexor_carpi_radialis 3", "flexor_pollicis_longus 0"}),
        ("Deltoid three. So change deltoid from three to four minus.", {"deltoid 4-"}),
        ("Deltoid 4+. Why? Cut finger, plaster on. Redo. 5/5.", {"deltoid 5"}),
        ("Triceps three. Hang on. Let me do that again. Four.", {"triceps_brachii 4"}),
        ("C7 ten. No, C7 is nine.", {"c7 9"}),
        ("FCR two. FCR again. It's better than I said, I'll make that three rather than two.",
         {"flexor_carpi_radialis 3"}),
        ("EPL not four but three.", {"extensor_pollicis_longus 3"}),
        ("Deltoid was three, I'll upgrade it to four.", {"deltoid 4"}),
        ("C7 ten. T1, scratch that.", {"c7 10"}),
    ],
)  # fmt: skip
def test_corrections(said: str, expected: set[str]) -> None:
    assert standing(said) == expected


def test_a_correction_after_an_unknown_name_changes_nothing_and_is_asked() -> None:
    said = "Biceps four. Triceps three. Fleximorus porridge five, sorry, four."
    assert standing(said) == {"biceps_brachii 4", "triceps_brachii 3"}
    assert any("not understood" in q.question for q in read(said).questions)


def test_the_rest_without_names_is_asked() -> None:
    said = "Deltoid three, biceps two, the rest five."
    assert standing(said) == {"deltoid 3", "biceps_brachii 2"}
    assert read(said).questions
