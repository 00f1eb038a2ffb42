"""Both of what was graded, all of it on the other arm, and words that only seem to be values or
talk; common practice, no source."""

import pytest
from builders import standing_of, stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

JERKS = "reflex.biceps right absent; reflex.triceps right absent; "

SAID = [
    # A value of several that are named behind it.
    ("Right arm. Jerks. Biceps absent, triceps absent. Left side both are there and normal, "
     "biceps, triceps. | Radial pulse present.",
     f"{JERKS}reflex.biceps left normal; reflex.triceps left normal; pulse.radial right present"),
    ("Right arm. Jerks. Biceps absent, triceps absent. On the left all of them are present, "
     "biceps, triceps.",
     f"{JERKS}reflex.biceps left normal; reflex.triceps left normal"),
    # What is tested again on the other arm, and no value of it.
    ("Right arm. Deltoid zero. Triceps two. | Left, same order. Deltoid four. EDC three.",
     "power.deltoid right 0; power.triceps_brachii right 2; power.deltoid left 4; "
     "power.extensor_digitorum left 3"),
    # Of the two that were graded last.
    ("Left arm. Biceps four, triceps three, wasted both of them.",
     "power.biceps_brachii left 4; power.triceps_brachii left 3; "
     "wasting.biceps_brachii left present; wasting.triceps_brachii left present"),
    ("Left arm. FCR five, deltoid zero, biceps zero, the two of them wasted.",
     "power.flexor_carpi_radialis left 5; power.deltoid left 0; power.biceps_brachii left 0; "
     "wasting.deltoid left present; wasting.biceps_brachii left present"),
    ("Left arm. Deltoid zero, biceps zero, and both are wasted.",
     "power.deltoid left 0; power.biceps_brachii left 0; wasting.deltoid left present; "
     "wasting.biceps_brachii left present"),
    # Studies: sensory before the nerve, and who did them.
    ("Left arm. EMG. Sensory ulnar absent, sensory median normal. Needle, ADM denervated.",
     "conduction.ulnar left absent; conduction.median left normal; "
     "needle.abductor_digiti_minimi left denervated"),
    ("Right arm. Neurophysiology, done today by our colleague: the sensory response of the LACN "
     "absent, of the median normal.",
     "conduction.lacn right absent; conduction.median right normal"),
    ("My colleague did an EMG and the biceps was denervated.", ""),
    # A conclusion, and taps.
    ("Left arm. The thumb tip bends on the paper, thus Froment positive.",
     "sign.froment left present"),
    ("Left arm. Lids level, pupils equal, thus no Horner.", "sign.horner left absent"),
    ("Left arm. The serratus holds the scapula to the chest, hence winging when it fails.", ""),
    ("Left arm. The radial nerve is caught in the groove, hence a wrist drop.", ""),
    ("Left arm. Tapping below the collarbone gave electricity to the thumb. Nothing on tapping "
     "above it.",
     "sign.percussion.infraclavicular left present; sign.percussion.supraclavicular left absent"),
    # What was read wrong, and what is said in so many words.
    ("Left arm. FCR 4. I read my own writing wrong, FCR is 3.",
     "power.flexor_carpi_radialis left 3"),
    ("Left arm. I'll say it formally, no ptosis. Let me say it for the record, no miosis.",
     "sign.ptosis left absent; sign.miosis left absent"),
    # Felt, not felt, and not looked for as asked.
    ("Left arm. The triceps had no contraction at palpation, MRC 0.",
     "contraction.triceps_brachii left absent; power.triceps_brachii left 0"),
    ("Left arm. I'm not seeing any ptosis, and I don't feel any step in the clavicle.",
     "sign.ptosis left absent; sign.clavicle_deformity left absent"),
    ("Left arm. Supinator jerk I can't get at all.", "reflex.brachioradialis left absent"),
    # No value, no skin and no muscle that is graded.
    ("Right arm. The intrinsics. Watch the knuckles, nothing but the knuckles.", ""),
    ("Right arm. Biceps, nothing but a flicker.", "power.biceps_brachii right 1"),
    ("Right arm. ECU, come out toward your pinky. Two.",
     "power.extensor_carpi_ulnaris right 2"),
    ("Right arm. PT five. Then tendon transfers, PT to ECRB is out, so FCR to EDC.",
     "power.pronator_teres right 5"),
    ("A Horner with a clawed hand, that should make you order the MRI.", ""),
    ("A Horner on the left, that is present.", "sign.horner left present"),
    # Values before their names, parts and ranges.
    ("Left arm. Five also, rhomboids. Levator, five.",
     "power.rhomboids left 5; power.levator_scapulae left 5"),
    ("Left hand. Lumbricals ring side, zero. Index and middle side lumbricals, five.",
     "power.lumbricals_3_4 left 0; power.lumbricals_1_2 left 5"),
    ("Left hand. Two to four dorsal interossei, zero.", "power.dorsal_interossei_2_4 left 0"),
    # A patient's answers.
    ("examiner: Left arm, out of ten. Back of the forearm, middle? | patient: Ten.",
     "sensation.posterior_forearm left 10"),
    ("examiner: Left arm, out of ten. Inside the forearm? | patient: Nine.",
     "sensation.macn_medial_forearm left 9"),
    ("examiner: Left hand. Burning or electric shock, got? | patient: Got, every night.",
     "sign.neuropathic_pain left present"),
]  # fmt: skip


def found(said: str) -> set[str]:
    made = extract(transcript(*said.split(" | ")), LEXICON, Settings())
    return stated(made)


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_compared_in_passing(said: str, expected: str) -> None:
    assert found(said) == {one.strip() for one in expected.split(";") if one.strip()}


GRADED = "Right arm. Deltoid zero. Brachialis zero. Jerks: biceps absent, triceps absent."


@pytest.mark.parametrize(
    "looked",
    [
        "On the left everything's there.",
        "The left has all of them.",
        "Over on the left, biceps, triceps, no trouble with any of them.",
    ],
)
def test_a_comparison_that_gave_nothing_turns_no_arm(looked: str) -> None:
    made = extract(transcript(f"{GRADED} {looked} Radial pulse present."), LEXICON, Settings())
    assert [f.side for f in standing_of(made) if f.item == "pulse.radial"] == ["right"]
    assert any(q.rule == "side_turn" for q in made.questions)


def test_a_heading_with_names_turns_the_arm() -> None:
    made = extract(
        transcript(f"{GRADED} Left arm, biceps, triceps.", "FCR four."), LEXICON, Settings()
    )
    assert [f.side for f in standing_of(made) if f.value == "4"] == ["left"]


def test_the_same_of_one_muscle_on_the_other_arm_turns_none() -> None:
    said = (
        "Right arm. Deltoid five. EDC five. FCR five. Triceps four. | Let me do the same thing on"
    )
    made = found(f"{said} the left. Left triceps five. | Supinator two. EPL one.")
    assert {"power.supinator right 2", "power.extensor_pollicis_longus right 1"} <= made
