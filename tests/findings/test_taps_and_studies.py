"""Taps told by a verb alone, studies that show nothing, and what is denied in the passive."""

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


def same(lines: tuple[str, ...], found: dict[str, str]) -> bool:
    wanted = {(item, "right"): value for item, value in found.items()}
    return read(*lines) == wanted


SITE = "sign.percussion."


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("There is a lively Tinel over the cubital tunnel.", {"cubital_tunnel": "present"}),
        ("I get a weak Tinel in the spiral groove.", {"spiral_groove": "present"}),
        ("The axilla has a Tinel's sign.", {"axilla": "present"}),
        ("Neither the axilla nor the carpal tunnel gives a Tinel.",
         {"axilla": "absent", "carpal_tunnel": "absent"}),
        ("Supraclavicular and infraclavicular Tinel negative.",
         {"supraclavicular": "absent", "infraclavicular": "absent"}),
        ("Radial tunnel: negative Tinel.", {"radial_tunnel": "absent"}),
        ("Axillary Tinel absent.", {"axilla": "absent"}),
        ("When I tap over the carpal tunnel he feels a shock.", {"carpal_tunnel": "present"}),
        ("Tinel's could not be provoked at the right elbow.", {"cubital_tunnel": "absent"}),
        ("I'll have a tap. Over the axilla, nothing.", {"axilla": "absent"}),
    ],
)  # fmt: skip
def test_a_tap_is_read_from_its_site_and_verb(said: str, found: dict[str, str]) -> None:
    assert same((said,), {SITE + name: value for name, value in found.items()})


def test_what_is_asked_of_a_tap_waits_for_its_answer() -> None:
    assert not read("examiner: When I tap over the elbow, do you feel a shock?")
    asked = "examiner: If I tap in your armpit, do you get pins and needles?"
    assert same((asked, "patient: Yes."), {"sign.percussion.axilla": "present"})


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("The C7 root cannot be identified on the scan.", {"imaging.c7": "not_seen"}),
        ("We were unable to visualise the C8 root on MRI.", {"imaging.c8": "not_seen"}),
        ("The MRI failed to show the T1 root.", {"imaging.t1": "not_seen"}),
        ("C6 was poorly visualised on the myelogram.", {"imaging.c6": "not_seen"}),
        ("C5 and C6 are both intact on the scan.",
         {"imaging.c5": "intact", "imaging.c6": "intact"}),
        ("The median SNAP could not be recorded.", {"conduction.median": "absent"}),
        ("I couldn't obtain a response from the ulnar nerve.", {"conduction.ulnar": "absent"}),
        ("No recordable response from the median nerve.", {"conduction.median": "absent"}),
        ("Normal potentials from the ulnar nerve.", {"conduction.ulnar": "normal"}),
        ("No obtainable sensory response in the LACN.", {"conduction.lacn": "absent"}),
        ("Ulnar sensory amplitude is low.", {"conduction.ulnar": "reduced"}),
        ("MACN potential spared.", {"conduction.macn": "normal"}),
        ("The triceps reflex could not be elicited.", {"reflex.triceps": "absent"}),
        ("The biceps jerk cannot be found.", {"reflex.biceps": "absent"}),
        ("Clonus was not found.", {"sign.clonus": "absent"}),
        ("A bruit was not heard.", {"sign.bruit": "absent"}),
        ("Ptosis wasn't seen.", {"sign.ptosis": "absent"}),
        ("The badge area, a name which means nothing to him, was absent.",
         {"sensation.axillary_regimental_patch": "absent"}),
        ("He couldn't feel a thing at C6.", {"sensation.c6": "0"}),
        ("Posterior antebrachial cutaneous nerve, reduced.",
         {"sensation.posterior_forearm": "reduced"}),
    ],
)  # fmt: skip
def test_what_cannot_be_got_is_not_there(said: str, found: dict[str, str]) -> None:
    assert same((said,), found)


def test_an_asked_sameness_is_of_the_side_that_its_place_is_on() -> None:
    found = read("examiner: Does it feel the same on your left thumb?", "patient: The same.")
    assert found == {("sensation.c6", "left"): "10"}


def test_a_sign_found_on_neither_side_is_absent_on_both() -> None:
    found = read("Clonus was not found on either the left or the right.")
    assert found == {("sign.clonus", "left"): "absent", ("sign.clonus", "right"): "absent"}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("1+ at the triceps, 2+ at the biceps.",
         {"reflex.triceps": "reduced", "reflex.biceps": "normal"}),
        ("Ankle one plus, knee three plus.", {"reflex.ankle": "reduced", "reflex.knee": "brisk"}),
        ("Finger pulps of the right hand, thumb four, little ten.",
         {"sensation.median_thumb_pulp": "4", "sensation.ulnar_little_pulp": "10"}),
        ("The medial cutaneous nerves of the forearm and of the arm are reduced.",
         {"sensation.macn_medial_forearm": "reduced", "sensation.mbcn_medial_arm": "reduced"}),
        ("C7 is the middle finger and C8 is the small one.", {}),
        ("Needle: FDP, index slip denervated, the ulnar half normal.",
         {"needle.flexor_digitorum_profundus_radial": "denervated",
          "needle.flexor_digitorum_profundus_ulnar": "normal"}),
        ("FDP, the index half four, the ring half two.",
         {"power.flexor_digitorum_profundus_radial": "4",
          "power.flexor_digitorum_profundus_ulnar": "2"}),
        ("Passively the wrist lacks forty degrees of flexion.", {"range.wrist_flexion": "reduced"}),
        ("Passively the elbow has lost ten degrees of extension.",
         {"range.elbow_extension": "reduced"}),
        ("Passive range: twenty degree loss of extension at the elbow, flexion full.",
         {"range.elbow_extension": "reduced", "range.elbow_flexion": "full"}),
        ("Tinel's under the clavicle, meaning infraclavicular, was positive.",
         {"sign.percussion.infraclavicular": "present"}),
        ("Tinel at the wrist, I didn't do it.", {"sign.percussion.carpal_tunnel": "not_tested"}),
        ("A positive Tinel at the elbow speaks for a local lesion.", {}),
    ],
)  # fmt: skip
def test_skin_reflexes_and_ranges_in_other_words(said: str, found: dict[str, str]) -> None:
    got = read(said)
    assert {item for item, _ in got} == set(found)
    assert all(got[(item, "right")] == value for item, value in found.items())


def test_touch_and_pin_scored_in_one_breath_are_two_findings() -> None:
    made = extract(
        transcript("Dermatomes. C7 seven for light touch and two for pin."), LEXICON, Settings()
    )
    assert [(f.value, f.detail["modality"]) for f in made.findings] == [
        ("7", "touch"),
        ("2", "pin"),
    ]


def test_one_plus_of_power_is_asked_about() -> None:
    assert not read("Power now. Biceps one plus.")


def test_a_score_said_as_if_asked_is_an_answer() -> None:
    found = read("examiner: Out of ten. Lateral forearm?", "patient: Like, two?")
    assert found == {("sensation.lacn_lateral_forearm", "right"): "2"}


def test_what_is_felt_at_a_tap_waits_for_the_patient() -> None:
    asked = "examiner: When I tap here above the clavicle, what do you feel?"
    assert same((asked, "patient: Nothing."), {"sign.percussion.supraclavicular": "absent"})


def test_a_sign_named_after_its_value_is_of_the_site_behind_it_and_of_its_side() -> None:
    found = read("Positive Tinel at the right elbow and none on the left.")
    site = "sign.percussion.cubital_tunnel"
    assert found == {(site, "right"): "present", (site, "left"): "absent"}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Sensory study, lateral antebrachial, absent. Median, normal.",
         {"conduction.lacn": "absent", "conduction.median": "normal"}),
        ("Reflexes on the right. Biceps absent, triceps normal.",
         {"reflex.biceps": "absent", "reflex.triceps": "normal"}),
        ("Reflexes, right. All normal.",
         {"reflex.biceps": "normal", "reflex.brachioradialis": "normal",
          "reflex.triceps": "normal"}),
        ("Reflexes, right. Deltoid four, triceps five.",
         {"power.deltoid": "4", "power.triceps_brachii": "5"}),
        # The next sentence tells of which joint.
        ("Passive range. Flexion, full. Extension, reduced. Abduction, full.",
         {"range.shoulder_flexion": "full", "range.shoulder_extension": "reduced",
          "range.shoulder_abduction": "full"}),
        ("Passive range of the wrist. Flexion, full. Shoulder abduction, full.",
         {"range.wrist_flexion": "full", "range.shoulder_abduction": "full"}),
        # The result of a test of its own name is none of the muscle.
        ("Teres minor, hornblower's clean. Four.", {"power.teres_minor": "4"}),
        ("No contraction felt in the triceps. None in the anconeus either.",
         {"contraction.triceps_brachii": "absent", "contraction.anconeus": "absent"}),
    ],
)  # fmt: skip
def test_headings_with_a_side_and_results_of_tests(said: str, found: dict[str, str]) -> None:
    assert same((said,), found)


def test_the_same_three_are_those_of_one_sentence() -> None:
    made = read("Reflexes. Biceps, supinator and triceps normal. Finger jerk absent.",
                "Left, the same three, all normal.")  # fmt: skip
    left = {item for item, side in made if side == "left"}
    assert left == {"reflex.biceps", "reflex.brachioradialis", "reflex.triceps"}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Tapping at the cubital tunnel did not produce anything.", {"cubital_tunnel": "absent"}),
        ("Percussion over the spiral groove doesn't set off a thing.",
         {"spiral_groove": "absent"}),
        ("Percussion over the axilla elicited no tingling.", {"axilla": "absent"}),
        ("Percussion over the axilla elicited tingling.", {"axilla": "present"}),
    ],
)  # fmt: skip
def test_a_tap_that_does_nothing(said: str, found: dict[str, str]) -> None:
    assert same((said,), {f"{SITE}{name}": value for name, value in found.items()})


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("EMG today. Ulnar sensory normal, superficial radial absent.",
         {"conduction.ulnar": "normal", "conduction.superficial_radial": "absent"}),
        ("We did the electrodiagnostics. Superficial radial sensory, normal.",
         {"conduction.superficial_radial": "normal"}),
        ("Needle EMG: deltoid denervated.\nSensation: superficial radial reduced.",
         {"needle.deltoid": "denervated", "sensation.superficial_radial_first_web": "reduced"}),
        ("Light touch: superficial radial normal.",
         {"sensation.superficial_radial_first_web": "normal"}),
    ],
)  # fmt: skip
def test_a_nerve_in_a_study_is_its_potential(said: str, found: dict[str, str]) -> None:
    assert same(tuple(said.split("\n")), found)


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        (("examiner: I tap over the scar at the elbow. Any shooting?",
          "patient: Yes, run down to the little finger."), {"other": "present"}),
        (("Tinel over the scar at the wrist, negative.",), {"other": "absent"}),
        (("Tinel at the scar and at the wrist negative.",),
         {"other": "absent", "carpal_tunnel": "absent"}),
    ],
)  # fmt: skip
def test_where_a_scar_lies_is_no_site_of_its_own(
    lines: tuple[str, ...], found: dict[str, str]
) -> None:
    assert same(lines, {f"{SITE}{site}": value for site, value in found.items()})
