"""Names said in other words, headings of one list, and words that say less than they seem to."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def read(*lines: str) -> dict[tuple[str, str], str]:
    made = extract(transcript(*lines), LEXICON, Settings(side="right"))
    gone = {f.corrects for f in made.findings}
    return {(f.item, f.side): f.value for f in made.findings if f.finding_id not in gone}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Long flexor of the thumb four, short abductor of the thumb two.",
         {"power.flexor_pollicis_longus": "4", "power.abductor_pollicis_brevis": "2"}),
        ("Short thumb extensor three. Adductor of the thumb, four.",
         {"power.extensor_pollicis_brevis": "3", "power.adductor_pollicis": "4"}),
        ("First dorsal interosseous four. Dorsals two to four, three.",
         {"power.dorsal_interosseous_1": "4", "power.dorsal_interossei_2_4": "3"}),
        ("Deltoid: anterior portion four, in the posterior portion perhaps a two.",
         {"power.deltoid_anterior": "4", "power.deltoid_posterior": "2"}),
        ("Triceps four. A five in brachioradialis, in the profundus of ring and little finger.",
         {"power.triceps_brachii": "4", "power.brachioradialis": "5",
          "power.flexor_digitorum_profundus_ulnar": "5"}),
        ("Sensory, out of ten. Tips: thumb nine, index eight, little ten.",
         {"sensation.median_thumb_pulp": "9", "sensation.median_index_pulp": "8",
          "sensation.ulnar_little_pulp": "10"}),
        ("Light touch, out of ten. The fleshy part of the little finger, six.",
         {"sensation.ulnar_little_pulp": "6"}),
        ("DTRs: triceps one plus, supinator two plus.",
         {"reflex.triceps": "reduced", "reflex.brachioradialis": "normal"}),
        ("The big toe goes up.", {"sign.plantar_extensor": "present"}),
        ("In triceps I could neither feel nor see a contraction, and I put it at zero.",
         {"contraction.triceps_brachii": "absent", "power.triceps_brachii": "0"}),
        ("Deltoid: zero. With my hand over it: no contraction of deltoid.",
         {"power.deltoid": "0", "contraction.deltoid": "absent"}),
        ("No contraction in the deltoid.", {"power.deltoid": "0"}),
        ("Passive wrist flexion and passive wrist extension are both full.",
         {"range.wrist_flexion": "full", "range.wrist_extension": "full"}),
        ("We could detect no price, with a five in flexor carpi ulnaris.",
         {"power.flexor_carpi_ulnaris": "5"}),
    ],
)  # fmt: skip
def test_names_in_other_words(said: str, found: dict[str, str]) -> None:
    assert read(said) == {(item, "right"): value for item, value in found.items()}


def test_a_value_may_be_given_to_the_next_site_tapped() -> None:
    found = read("Tapping over the carpal tunnel, nothing, and nothing at the cubital tunnel.")
    assert set(found.values()) == {"absent"} and len(found) == 2


def test_what_somebody_is_going_to_do_is_no_tingling() -> None:
    found = read("Tapping in the axilla?", "I'm going to lift it a little, let me.")
    assert not found


def test_what_the_examiner_does_may_show_a_sign() -> None:
    shown = read("If I push the foot up it beats, so there's clonus on the right.")
    assert shown == {("sign.clonus", "right"): "present"}
    assert not read("If you cut that nerve the muscle goes, so there's winging of the scapula.")


def test_one_after_an_instruction_is_the_arm_that_is_to_move() -> None:
    assert not read("Straighten your elbow, left one.")
    assert read("Straighten your elbow, left four.") == {("power.elbow_extension", "left"): "4"}


def test_a_heading_of_fingers_lasts_until_other_skin_is_named() -> None:
    found = read(
        "Tips, left, against the right thumb as ten. Thumb seven, middle six.",
        "Outer forearm five. Thumb four.",
    )
    assert found == {
        ("sensation.median_thumb_pulp", "left"): "7",
        ("sensation.median_middle_pulp", "left"): "6",
        ("sensation.lacn_lateral_forearm", "left"): "5",
        ("sensation.c6", "left"): "4",
    }


def test_a_question_how_a_side_is_compares_nothing() -> None:
    found = read("Right arm.", "So what's it like on the left, your thumb?", "patient: Eight.")
    assert found == {("sensation.c6", "left"): "8"}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("No wasting of the biceps, nor is there any winging of the scapula.",
         {"wasting.biceps_brachii": "absent", "sign.scapular_winging": "absent"}),
        ("The shoulder is neither drooping nor subluxed.",
         {"sign.shoulder_droop": "absent", "sign.shoulder_subluxation": "absent"}),
        ("The shoulder did not droop. There was a scar, and supraclavicular swelling was present.",
         {"sign.shoulder_droop": "absent", "sign.scar": "present",
          "sign.supraclavicular_swelling": "present"}),
        ("The deltoid, taken in its three heads, was four anteriorly and a three posteriorly.",
         {"power.deltoid_anterior": "4", "power.deltoid_posterior": "3"}),
        ("Sensation, out of ten. Thumb seven, middle eight, little finger nine.",
         {"sensation.c6": "7", "sensation.c7": "8", "sensation.c8": "9"}),
        ("Sensation, out of ten. Thumb six. Seven? He reckons seven.", {"sensation.c6": "7"}),
        ("Tone on the Ashworth, two in the elbow flexors.", {}),
        ("Sensation. No subluxation below the point of the shoulder. The nerve is fine.",
         {"sign.shoulder_subluxation": "absent"}),
    ],
)  # fmt: skip
def test_what_only_goes_with_other_words(said: str, found: dict[str, str]) -> None:
    assert read(said) == {(item, "right"): value for item, value in found.items()}


def test_a_reflex_that_is_fine_on_the_other_side() -> None:
    found = read("The biceps jerk on the left has gone.", "On the right it's fine.")
    assert found == {("reflex.biceps", "left"): "absent", ("reflex.biceps", "right"): "normal"}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Jerks now. They're all two plus, triceps and supinator.",
         {"reflex.triceps": "normal", "reflex.brachioradialis": "normal"}),
        ("They're all five, deltoid and biceps. Triceps next.",
         {"power.deltoid": "5", "power.biceps_brachii": "5"}),
        ("Reflexes are easy to get, one plus for the biceps.", {"reflex.biceps": "reduced"}),
        ("Deltoid four. And the same in the biceps.",
         {"power.deltoid": "4", "power.biceps_brachii": "4"}),
        ("Deltoid four. Do the same in the biceps.", {"power.deltoid": "4"}),
        ("Sensation is reduced over the ulnar half of the dorsum of the hand.",
         {"sensation.ulnar_dorsal_hand": "reduced"}),
        ("Light touch over the palm, on the radial side, absent.",
         {"sensation.median_thenar_palm": "absent"}),
    ],
)  # fmt: skip
def test_values_of_what_is_named_around_them(said: str, found: dict[str, str]) -> None:
    made = read(f"Right arm. {said}")
    assert {key: value for (key, _), value in made.items()} == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("My own nephew broke his collarbone.", 0),
        ("His younger brother fractured the clavicle too.", 0),
        ("He fractured the clavicle too.", 1),
    ],
)
def test_an_injury_of_another_person(said: str, found: int) -> None:
    assert len(read(said)) == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("One notices at once that the biceps is wasted; the triceps has retained its full bulk.",
         {"wasting.biceps_brachii": "present", "wasting.triceps_brachii": "absent"}),
        ("Bulk is preserved in the trapezius.", {"wasting.trapezius": "absent"}),
        ("The shoulder hangs low, the classic droop, and the biceps is wasted.",
         {"sign.shoulder_droop": "present", "wasting.biceps_brachii": "present"}),
        ("Lumbricals of the ring and small finger two, lumbricals for index and middle four.",
         {"power.lumbricals_3_4": "2", "power.lumbricals_1_2": "4"}),
        ("Brachial artery lacerated. A laceration of the tendon. No open wound.",
         {"sign.open_wound": "absent"}),
        ("There is a laceration over the elbow.", {"sign.open_wound": "present"}),
        ("FCU zero, and I cannot feel the tendon of palmaris, palmaris longus one.",
         {"power.flexor_carpi_ulnaris": "0", "power.palmaris_longus": "1"}),
    ],
)  # fmt: skip
def test_what_hangs_on_the_words_beside_it(said: str, found: dict[str, str]) -> None:
    seen = {i: v for (i, _), v in read(said).items() if not i.startswith("context.")}
    assert seen == found
