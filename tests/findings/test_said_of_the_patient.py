"""Findings in the wording that talk has too: a grade as a noun, a condition, a plan beside it."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

SAID = [
    ("His triceps is gone, nought.", "power.triceps_brachii=0"),
    ("You can't abduct at all, so deltoid nought.", "power.deltoid=0"),
    ("When he pushes against the wall the scapula wings.", "sign.scapular_winging=present"),
    ("When I push him hard the triceps gives, so that's a four.", "power.triceps_brachii=4"),
    ("The triceps beats gravity, a three.", "power.triceps_brachii=3"),
    ("A grade three deltoid today.", "power.deltoid=3"),
    ("A three for the deltoid and a two for the biceps.", "power.deltoid=3 power.biceps_brachii=2"),
    ("He has a deltoid of three.", "power.deltoid=3"),
    ("A triceps of four and a biceps of two.", "power.triceps_brachii=4 power.biceps_brachii=2"),
    ("A good five in the trapezius.", "power.trapezius=5"),
    ("You have a wrist drop there.", "posture.wrist_drop=present"),
    ("There's a claw when he opens the hand.", "posture.intrinsic_minus=present"),
    ("A claw hand, I see.", "posture.intrinsic_minus=present"),
    ("There is winging of the scapula, medial.", "sign.scapular_winging=present"),
    (
        "Horner's is there, ptosis and miosis.",
        "sign.horner=present sign.ptosis=present sign.miosis=present",
    ),
    ("Horner's with ptosis and a small pupil.", "sign.horner=present sign.ptosis=present"),
    ("No Horner's.", "sign.horner=absent"),
    ("The infraspinatus is gone, a zero.", "power.infraspinatus=0"),
    (
        "The lumbricals are nought but the long flexors are still five.",
        "power.lumbricals_1_2=0 power.finger_flexion=5",
    ),
    ("He can't get past a three with the deltoid.", "power.deltoid=3"),
    ("It only works when gravity is out, so biceps two.", "power.biceps_brachii=2"),
    ("I can't have that as a five, I'd give the triceps a four.", "power.triceps_brachii=4"),
    ("You can't hold that biceps against me, three.", "power.biceps_brachii=3"),
    ("Biceps three, next time we'll see if it's a four.", "power.biceps_brachii=3"),
    ("Triceps two, we'll see it again in March.", "power.triceps_brachii=2"),
    ("Deltoid nought, that's the axillary nerve.", "power.deltoid=0"),
    ("C5 is an eight, C6 is a six.", "sensation.c5=8 sensation.c6=6"),
    ("The little finger is numb.", "sensation.c8=absent"),
    ("The deltoid is still nought.", "power.deltoid=0"),
    ("The wrist extensors are still only a one.", "power.wrist_extension=1"),
    ("Your serratus is nought, so the blade flies.", "power.serratus_anterior=0"),
    ("When he shrugs, trapezius is five.", "power.trapezius=5"),
    ("When I bend the elbow for you, biceps is two.", "power.biceps_brachii=2"),
    ("With the elbow bent, pronation is five.", "power.forearm_pronation=5"),
    ("With gravity eliminated the deltoid is a two.", "power.deltoid=2"),
    ("The rhomboids never moved, nought.", "power.rhomboids=0"),
    ("I'd say the biceps is a four.", "power.biceps_brachii=4"),
    ("I'd call it a three, the infraspinatus.", "power.infraspinatus=3"),
    ("I'm going to give the deltoid a two.", "power.deltoid=2"),
    ("I will give you four for that triceps.", "power.triceps_brachii=4"),
    ("That biceps gets a four.", "power.biceps_brachii=4"),
    ("Froment's is positive, the thumb bends.", "sign.froment=present"),
    ("Triceps jerk absent, biceps jerk brisk.", "reflex.triceps=absent reflex.biceps=brisk"),
    ("The deltoid is wasted.", "wasting.deltoid=present"),
    ("There's winging, and it is the serratus kind, medial.", "sign.scapular_winging=present"),
    ("A flicker in the biceps, so one.", "power.biceps_brachii=1"),
    ("Nothing in the supraspinatus, a nought.", "power.supraspinatus=0"),
    ("Deltoid drops to a two after five goes, call it two.", "power.deltoid=2"),
    ("The patient hardly holds it, so wrist extension three.", "power.wrist_extension=3"),
    ("Patient has an infraspinatus of two.", "power.infraspinatus=2"),
    ("This man's biceps is a three.", "power.biceps_brachii=3"),
    ("This lady has a deltoid of four.", "power.deltoid=4"),
    (
        "The serratus gets a three, the trapezius a five.",
        "power.serratus_anterior=3 power.trapezius=5",
    ),
    ("Pinch is weak because adductor pollicis is a three.", "power.adductor_pollicis=3"),
    (
        "The hand clawing is obvious and the interossei are zero.",
        "posture.intrinsic_minus=present power.dorsal_interossei=0",
    ),
    ("A trapezius of five and a serratus of two.", "power.trapezius=5 power.serratus_anterior=2"),
    ("An infraspinatus of four minus on the right.", "power.infraspinatus=4-"),
    ("When the elbow is straight the triceps is four.", "power.triceps_brachii=4"),
    (
        "Where I press, over the groove, he gets tingling, Tinel's positive at the elbow.",
        "sign.percussion.cubital_tunnel=present",
    ),
    ("With the nerve gone, his deltoid is nought.", "power.deltoid=0"),
    ("A weak triceps, three.", "power.triceps_brachii=3"),
    ("A definite wrist drop.", "posture.wrist_drop=present"),
    ("No winging, no Horner's.", "sign.scapular_winging=absent sign.horner=absent"),
    (
        "A thirty year old man whose deltoid is nought and whose biceps is one.",
        "power.deltoid=0 power.biceps_brachii=1",
    ),
    (
        "A man with a deltoid of nought and a biceps of one.",
        "power.deltoid=0 power.biceps_brachii=1",
    ),
    ("A two in the deltoid, a three in the biceps.", "power.deltoid=2 power.biceps_brachii=3"),
    (
        "Deltoid four, biceps five, hopefully the last time I need to test them.",
        "power.deltoid=4 power.biceps_brachii=5",
    ),
    (
        "He's got a claw hand with a numb little finger.",
        "posture.intrinsic_minus=present sensation.c8=absent",
    ),
    ("I'd call the triceps four.", "power.triceps_brachii=4"),
    ("I'd put the deltoid at two.", "power.deltoid=2"),
    ("Triceps gets a four from me.", "power.triceps_brachii=4"),
    (
        "You've a wrist drop, haven't you, and no finger extension, nought.",
        "posture.wrist_drop=present",
    ),
    ("A power of four in the deltoid.", "power.deltoid=4"),
    ("The therapist in me says four for the wrist extensors.", "power.wrist_extension=4"),
    ("Most of the deltoid is gone, a one.", "power.deltoid=1"),
]


@pytest.mark.parametrize(("line", "expected"), SAID)
def test_a_finding_in_the_wording_of_talk_is_read(line: str, expected: str) -> None:
    found = extract(transcript(line), load_lexicon(), Settings(side="right")).findings
    assert set(expected.split()) <= {f"{f.item}={f.value}" for f in found}
