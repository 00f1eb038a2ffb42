"""Sentences with clauses in them, skin in many words, sides after talk: wording in, findings out.

Invented sentences; that such clauses recall and do not find is common practice, no source.
"""

import pytest
from builders import stated, transcript

from dictate2exam.findings.extract import Extraction, extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings


def read(*said: str) -> Extraction:
    return extract(transcript(*said), load_lexicon(), Settings())


def standing(*said: str) -> set[str]:
    made = read(*said)
    return stated(made)


@pytest.mark.parametrize(
    ("said", "found"),
    [
        (
            "Infraspinatus, which in March had been only a flicker, was a two plus.",
            {"power.infraspinatus left 2+"},
        ),
        (
            "Triceps, whose recovery we had almost given up on last year, was a three minus.",
            {"power.triceps_brachii left 3-"},
        ),
        (
            "The wrist extensors, typically the last to come back, were a two.",
            {"power.wrist_extension left 2"},
        ),
        (
            "Beginning at the top, where one would expect most, I graded the rhomboids five.",
            {"power.rhomboids left 5"},
        ),
        (
            "The radial pulse, about which there had been doubt last month, was easily felt.",
            {"pulse.radial left present"},
        ),
        (
            "I found wasting of the supraspinatus and, although it is subtle, of the deltoid.",
            {"wasting.supraspinatus left present", "wasting.deltoid left present"},
        ),
        (
            "Wasting was evident in deltoid, less so in supraspinatus, and absent in the thenar.",
            {
                "wasting.deltoid left present",
                "wasting.supraspinatus left present",
                "wasting.thenar left absent",
            },
        ),
        (
            "He has lost the bulk of the deltoid, but not that of the trapezius.",
            {"wasting.deltoid left present", "wasting.trapezius left absent"},
        ),
        (
            "Elbow flexors, which had been zero when we met, had recovered to four.",
            {"power.elbow_flexion left 4"},
        ),
        (
            "The biceps jerk, I was pleased to see, was brisk.",
            {"reflex.biceps left brisk"},
        ),
        # A clause that dates its sentence, or a report of another, finds nothing today.
        ("Deltoid, when I last saw him in May, was a two.", set()),
        ("In March the deltoid was two.", set()),
        ("He saw Dr Smith, who last month found deltoid two, triceps three, biceps four.", set()),
    ],
)
def test_what_a_clause_recalls_stays_within_its_commas(said: str, found: set[str]) -> None:
    assert standing(f"Left side. {said}") == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        (
            "Deltoid was four in front, three in the middle and two at the back.",
            {
                "power.deltoid_anterior left 4",
                "power.deltoid_middle left 3",
                "power.deltoid_posterior left 2",
            },
        ),
        (
            "Profundus four to the index and middle, three to the ring and little.",
            {
                "power.flexor_digitorum_profundus_radial left 4",
                "power.flexor_digitorum_profundus_ulnar left 3",
            },
        ),
        (
            "FDP, digits two and three, 4 plus. Digits four and five, 4.",
            {
                "power.flexor_digitorum_profundus_radial left 4+",
                "power.flexor_digitorum_profundus_ulnar left 4",
            },
        ),
        (
            "ECRL four. And the short one, three.",
            {
                "power.extensor_carpi_radialis_longus left 4",
                "power.extensor_carpi_radialis_brevis left 3",
            },
        ),
        (
            "No contraction in APB, none in ADM, each of which I have recorded as zero.",
            {
                "power.abductor_pollicis_brevis left 0",
                "power.abductor_digiti_minimi left 0",
                "contraction.abductor_pollicis_brevis left absent",
                "contraction.abductor_digiti_minimi left absent",
            },
        ),
        (
            "Triceps no better than a two. Supinator and pronator teres were each a three.",
            {
                "power.triceps_brachii left 2",
                "power.supinator left 3",
                "power.pronator_teres left 3",
            },
        ),
        (
            "Triceps and the wrist extensors, in that order, were a two and a one.",
            {"power.triceps_brachii left 2", "power.wrist_extension left 1"},
        ),
        (
            "Touch was seven at the thumb, eight at the middle finger and nine at the little.",
            {"sensation.c6 left 7", "sensation.c7 left 8", "sensation.c8 left 9"},
        ),
        (
            "Light touch. Pulp of the thumb, index and middle, all 10.",
            {
                "sensation.median_thumb_pulp left 10",
                "sensation.median_index_pulp left 10",
                "sensation.median_middle_pulp left 10",
            },
        ),
        (
            "Passive flexion is full at the elbow and at the wrist too.",
            {"range.elbow_flexion left full", "range.wrist_flexion left full"},
        ),
    ],
)
def test_parts_and_lists_in_long_wordings(said: str, found: set[str]) -> None:
    assert standing(f"Left side. {said}") == found


@pytest.mark.parametrize(
    ("asked", "area"),
    [
        ("The palm, right over the ball of the thumb?", "median_thenar_palm"),
        ("The back of the hand, down the little-finger side?", "ulnar_dorsal_hand"),
        ("Here on the hand, on the back, over by the pinkie side?", "ulnar_dorsal_hand"),
        ("The back of the first web, between thumb and index?", "superficial_radial_first_web"),
        ("And on the thumb side of the forearm, here, the outer edge?", "lacn_lateral_forearm"),
        ("The forearm now, along the little finger side?", "macn_medial_forearm"),
        ("Upper arm, outer side, just above the elbow?", "lower_lateral_arm"),
    ],
)
def test_skin_described_in_several_words_is_one_area(asked: str, area: str) -> None:
    said = ("examiner: Left arm. Touch out of ten.", f"examiner: {asked}", "patient: Seven.")
    assert standing(*said) == {f"sensation.{area} left 7"}


def test_two_places_are_not_taken_for_one() -> None:
    said = ("examiner: Left arm. Touch out of ten.", "examiner: The thumb and little finger?")
    assert standing(*said, "patient: Both ten.") == {"sensation.c6 left 10", "sensation.c8 left 10"}


@pytest.mark.parametrize(
    "said",
    [
        "Rhomboids right, two, you're having a tough time. Other side? Easy. The left is five.",
        "Rhomboids two. Compare the left one, push. That one's five.",
        "Rhomboids two. And the left one's five.",
        "Rhomboids two, left's a five.",
        "Rhomboids one. Give me that again. A full two. How about the other side? Left five.",
    ],
)
def test_the_other_side_is_graded_over_some_talk(said: str) -> None:
    assert standing(f"Right arm. {said}") == {"power.rhomboids right 2", "power.rhomboids left 5"}


def test_a_side_compared_with_has_a_value_of_its_own() -> None:
    said = "The left radial pulse was reduced compared with the right, which was normal."
    assert standing(said) == {"pulse.radial left reduced", "pulse.radial right present"}


def test_back_to_the_left_one_is_no_grade() -> None:
    assert standing("Left arm. Biceps three. Back to the left one. Supinator two.") == {
        "power.biceps_brachii left 3",
        "power.supinator left 2",
    }


def test_one_grade_said_twice_is_asked_about() -> None:
    questions = read("Right arm. Deltoid five and five.").questions
    assert [(q.item, q.side) for q in questions] == [("power.deltoid", "left")]


def test_grades_that_pair_with_no_names_are_asked_about() -> None:
    made = read("Left side. Biceps, brachialis and supinator were four and three respectively.")
    assert not made.findings
    assert "uneven_list" in {q.rule for q in made.questions}


def test_where_tingling_went_is_no_place_to_touch() -> None:
    said = (
        "Left arm. Let me tap in the armpit.",
        "Yes! Down the back of the arm.",
        "At the wrist?",
    )
    assert standing(*said, "No.") == {
        "sign.percussion.axilla left present",
        "sign.percussion.carpal_tunnel left absent",
    }
