"""What is said while a patient is examined: second tries, other muscles that help, where and why;
common practice, no source."""

import pytest
from builders import stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # Another muscle did it, and a lower grade stands alone behind that.
    ("Left arm. Deltoid two. No, that was the trapezius. One.", "power.deltoid left 1"),
    ("Left arm. Brachialis three. Nah, that's brachioradialis. Two, then.",
     "power.brachialis left 2"),
    ("Right arm. Infraspinatus two. No no, that one deltoid. Make it one. Grip three.",
     "power.infraspinatus right 1; power.grip right 3"),
    ("Left arm. Triceps two. No, that's the deltoid. Four.",
     "power.triceps_brachii left 2; power.deltoid left 4"),
    # Less than it seemed at first.
    ("Right arm. ECRL three. Once more, straight up. No, weaker. Two. ECRB four.",
     "power.extensor_carpi_radialis_longus right 2; "
     "power.extensor_carpi_radialis_brevis right 4"),
    ("Right arm. Grip four. No, less. Three plus.", "power.grip right 3+"),
    # Somebody disturbs, and the grade stands alone behind it.
    ("Right arm. Supinator, was that a twitch? Again. No, somebody opened the door. Nought.",
     "power.supinator right 0"),
    ("Right arm. Grip. The lady next door is shouting again. Four plus.", "power.grip right 4+"),
    # The patient's second answer, passed on.
    ("Left arm. Thumb, six. He corrects me, he says five. Five it is. Little finger, ten.",
     "sensation.c6 left 5; sensation.c8 left 10"),
    ("Left arm. Lateral forearm, three. Ask once more. Four, she says. Four.",
     "sensation.lacn_lateral_forearm left 4"),
    ("Right arm. C7 on the middle finger, I first gave eight, but it is nine.",
     "sensation.c7 right 9"),
    ("Right arm. Supinator I gave a two when I started, but strike that, three.",
     "power.supinator right 3"),
    # Denied of the next one too.
    ("Left arm. Deltoid and biceps were not wasted, nor the triceps. Grip five.",
     "wasting.deltoid left absent; wasting.biceps_brachii left absent; "
     "wasting.triceps_brachii left absent; power.grip left 5"),
    ("Left arm. The deltoid isn't wasted, nor is the triceps wasted.",
     "wasting.deltoid left absent; wasting.triceps_brachii left absent"),
    ("Left arm. The deltoid is not wasted, nor the triceps, but the biceps is.",
     "wasting.deltoid left absent; wasting.triceps_brachii left absent; "
     "wasting.biceps_brachii left present"),
    # The next one says its own.
    ("Right. MRI. There's a pseudomeningocele at C7, and C8 is just not seen.",
     "imaging.c7 right pseudomeningocele; imaging.c8 right not_seen"),
    # A sign that was told already only says where, or why.
    ("Left arm. There is a scar in the axilla. Medial arm, below the scar, four out of ten.",
     "sign.scar left present; sensation.mbcn_medial_arm left 4"),
    ("Left arm. Winging is present. Rhomboids, which I tested twice because of the winging, four.",
     "sign.scapular_winging left present; power.rhomboids left 4"),
    ("Left arm. Deltoid wasting, hard to see under the fat. Uncertain.",
     "wasting.deltoid left uncertain"),
    ("Right. Miosis I can't tell, the light's awful, so miosis not tested.",
     "sign.miosis right not_tested"),
    # How it was tried.
    ("Right arm. Biceps and triceps jerks, I've had two goes with reinforcement, both absent.",
     "reflex.biceps right absent; reflex.triceps right absent"),
    ("Right arm. Triceps jerk only with reinforcement.", "reflex.triceps right reduced"),
    ("Left arm. Triceps jerk, is it gone? No, there it goes, one plus.",
     "reflex.triceps left reduced"),
    ("Right arm. Pulse at the wrist, where has it gone, yes, present, a decent one.",
     "pulse.radial right present"),
    ("Left arm. Opponens, the thumb must go across to the little finger. Two.",
     "power.opponens_pollicis left 2"),
    ("Left arm. FCR, I could only just feel that, one.", "power.flexor_carpi_radialis left 1"),
    ("Left arm. EDC, EIP, EPL, all noughts.",
     "power.extensor_digitorum left 0; power.extensor_indicis left 0; "
     "power.extensor_pollicis_longus left 0"),
    ("Right. Radial pulse, can feel, both sides.",
     "pulse.radial left present; pulse.radial right present"),
    ("Left arm. Pupil is small compared with its twin, so miosis.", "sign.miosis left present"),
    ("Left arm. The nerve studies came from the referral hospital: median normal, ulnar absent.",
     "conduction.median left normal; conduction.ulnar left absent"),
    ("Left arm. She came from the referral hospital with a grip of two.", ""),
    ("Left arm. Sensation. Inner forearm, medial cutaneous, three, and the armpit, "
     "intercostobrachial, nine.",
     "sensation.macn_medial_forearm left 3; sensation.intercostobrachial_axilla left 9"),
    # No findings.
    ("I'd want a Horner's before I said avulsion.", ""),
    ("I'd need to see a flicker in the biceps before I'd wait any longer.", ""),
    ("Before the crash, that's three summers ago now, he couldn't feel his thumb.", ""),
    ("He broke the other arm in 1987 and had a numb thumb for a year.", ""),
    ("I'll do the left first and then the right, so we don't miss one.", ""),
    ("In those days his APB was only two, but this has nothing to do with the hand.", ""),
    ("Wings out like a chicken, and hold.", ""),
]  # fmt: skip

TALKS = [
    ("Left arm. EPL zero. Eyes shut. Back of the hand, the web by your thumb?|Four.",
     "power.extensor_pollicis_longus left 0; sensation.superficial_radial_first_web left 4"),
    ("Right arm. I'll tap at the elbow, over the cubital tunnel.|Ow, down to my little finger.|"
     "Up in the oxter?|No.|And over the carpal tunnel?|No.",
     "sign.percussion.cubital_tunnel right present; sign.percussion.axilla right absent; "
     "sign.percussion.carpal_tunnel right absent"),
    ("Left arm. Do you get any burning, or shocks, in the hand?|Oh ya. Zingers.",
     "sign.neuropathic_pain left present"),
    ("Right arm. Grip three. Lend us the left one over. Grip five. Wrist extension five.",
     "power.grip right 3; power.grip left 5; power.wrist_extension left 5"),
]  # fmt: skip


def found(*said: str) -> set[str]:
    made = extract(transcript(*said), LEXICON, Settings())
    return stated(made)


def wanted(expected: str) -> set[str]:
    return {one.strip() for one in expected.split(";") if one.strip()}


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_at_the_bedside(said: str, expected: str) -> None:
    assert found(said) == wanted(expected)


@pytest.mark.parametrize(("said", "expected"), TALKS)
def test_asked_at_the_bedside(said: str, expected: str) -> None:
    who = ("examiner", "patient")
    turns = [f"{who[n % 2]}: {turn}" for n, turn in enumerate(said.split("|"))]
    assert found(*turns) == wanted(expected)
