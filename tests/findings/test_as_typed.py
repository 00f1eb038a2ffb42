"""What is dictated to be typed, put right from another row, or told late; common practice, no
source."""

import pytest
from builders import stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # An order to the typist ends what was told of another day or person.
    ("Left. Teres major was recorded as two at first, but my colleague made it three, so please "
     "take teres major as three.", "power.teres_major left 3"),
    ("Right. The opponens was noted as two by my registrar last week, kindly type three for "
     "opponens.", "power.opponens_pollicis right 3"),
    ("Right. Brachialis I had as four, but please type five.", "power.brachialis right 5"),
    ("Right. FCU I gave as four in the first draft, please change that to four minus.",
     "power.flexor_carpi_ulnaris right 4-"),
    ("Left. On the needle, I passed the deltoid as clean to the registrar, so please type "
     "denervated for deltoid.", "needle.deltoid left denervated"),
    ("Left. Last year the deltoid was two, please take your hand away, biceps four.",
     "power.biceps_brachii left 4"),
    # Read from the wrong row.
    ("Left. Sensation out of ten. C4 seven, no, I have read the wrong row, C4 eight.",
     "sensation.c4 left 8"),
    ("Left. Sensation out of ten. C7 three, sorry, that was the wrong row, C7 five.",
     "sensation.c7 left 5"),
    ("Right. FDS two, no, I was reading the line above, FDS four. FPL five.",
     "power.flexor_digitorum_superficialis right 4; power.flexor_pollicis_longus right 5"),
    # What is said to stand.
    ("Left. Triceps three, but once held it was three plus, and three plus is what I'd like to "
     "stand.", "power.triceps_brachii left 3+"),
    # A side that closes a run.
    ("Left. Power. Thumb extension three. EPL five, EDC five, that's all on the right. FCR two.",
     "power.thumb_extension left 3; power.extensor_pollicis_longus right 5; "
     "power.extensor_digitorum right 5; power.flexor_carpi_radialis left 2"),
    ("Left. Upper trapezius one. For comparison, upper trapezius five, rhomboids five, these two "
     "are on the right.", "power.trapezius_upper left 1; power.trapezius_upper right 5; "
     "power.rhomboids right 5"),
    # Another muscle did it, or was felt.
    ("Left. FCU three. No, palmaris is cheating for him. It's a two.",
     "power.flexor_carpi_ulnaris left 2"),
    ("Right. Wrist flexion four. No, the FDS is helping. Three.", "power.wrist_flexion right 3"),
    ("Left. Middle deltoid zero, and posterior, is that, no, that's the lat. Posterior one.",
     "power.deltoid_middle left 0; power.deltoid_posterior left 1"),
    # Bulk that is denied name by name.
    ("Left. Triceps is wasted. Supraspinatus no, infraspinatus no, they're fine and plump.",
     "wasting.triceps_brachii left present; wasting.supraspinatus left absent; "
     "wasting.infraspinatus left absent"),
    ("Left. There's wasting of the thenar. Hypothenar no, first dorsal no.",
     "wasting.thenar left present; wasting.hypothenar left absent; "
     "wasting.dorsal_interosseous_1 left absent"),
    ("Right. Deltoid wasted. Biceps, no.",
     "wasting.deltoid right present; wasting.biceps_brachii right absent"),
    ("Left. Wasting. EDC, ja. ECU, nee.",
     "wasting.extensor_digitorum left present; wasting.extensor_carpi_ulnaris left absent"),
    # Nerves under electrodes.
    ("Right. Surface electrodes on. Radial sensory absent, dorsal ulnar sensory normal, medial "
     "cutaneous of forearm reduced.", "conduction.superficial_radial right absent; "
     "conduction.dorsal_ulnar right normal; conduction.macn right reduced"),
    # Skin by the part that heads it, and the axilla among it.
    ("Left. Sensation, out of ten. Forearm: inner four, outer ten, back of it six.",
     "sensation.macn_medial_forearm left 4; sensation.lacn_lateral_forearm left 10; "
     "sensation.posterior_forearm left 6"),
    ("Left. Sensation, out of ten. Forearm: lateral nine, medial six, posterior seven.",
     "sensation.lacn_lateral_forearm left 9; sensation.macn_medial_forearm left 6; "
     "sensation.posterior_forearm left 7"),
    ("Left. Sensation, out of ten. Medial arm ten. Axilla nine.",
     "sensation.mbcn_medial_arm left 10; sensation.intercostobrachial_axilla left 9"),
    ("Left. Sensation, out of ten. Medial arm ten, axillary nerve a seven.",
     "sensation.mbcn_medial_arm left 10"),
    # Of something that is not examined.
    ("Left. Biceps jerk absent. One more. Still absent. Eyes are fine, no Horner's.",
     "reflex.biceps left absent; sign.horner left absent"),
    ("Left. Reflexes. Biceps absent, triceps two plus. One more on the biceps. Still absent. Eyes "
     "are fine.", "reflex.biceps left absent; reflex.triceps left normal"),
    ("Left. Triceps jerk absent. Her legs are fine.", "reflex.triceps left absent"),
    # Not tested, and why; how far an arm came.
    ("Left. Grip I can't give you, the dynamometer's dead.", "power.grip left not_tested"),
    ("Left. Latissimus, cough for me, two, and teres major two.",
     "power.latissimus_dorsi left 2; power.teres_major left 2"),
    ("Right. The biceps jerk was brisk; no, that is a slip of the tongue, it was normal. Deltoid "
     "five.", "reflex.biceps right normal; power.deltoid right 5"),
    ("Left. Supraspinatus, I cannot give you a number.", "power.supraspinatus left not_tested"),
    ("Left. Deltoid three, he could only reach the shoulder level by leaning.",
     "power.deltoid left 3"),
    # No findings.
    ("We'd take one fascicle of the ulnar nerve, the one that makes FCU twitch.", ""),
    ("I had a Horner's patient in my exam, got it wrong, never forgot it.", ""),
    ("We'll not needle the diaphragm today, don't you worry.", ""),
]  # fmt: skip

TALKS = [
    ("Left. Do you get burning or electric-shock pain in it?|No, it's just dead.",
     "sign.neuropathic_pain left absent"),
    ("Left. Any burning?|Nope, it feels heavy.", "sign.neuropathic_pain left absent"),
    ("Left. I tap now. Carpal tunnel, any electric feeling?|No.|Cubital tunnel.|Also no.",
     "sign.percussion.carpal_tunnel left absent; sign.percussion.cubital_tunnel left absent"),
    ("Left. Out of ten. Little finger pulp?|Zero.|Back of the hand, pinky side?|Two.|"
     "Inside of the forearm?|Three.|Up in the armpit?|Same, just ticklish.",
     "sensation.ulnar_little_pulp left 0; sensation.ulnar_dorsal_hand left 2; "
     "sensation.macn_medial_forearm left 3; sensation.intercostobrachial_axilla left 10"),
    ("Left. Out of ten. Palm, here on the thumb muscle, the thenar skin.|Same.",
     "sensation.median_thenar_palm left 10"),
]  # fmt: skip


def found(*said: str) -> set[str]:
    made = extract(transcript(*said), LEXICON, Settings())
    return stated(made)


def listed(expected: str) -> set[str]:
    return {one for one in expected.split("; ") if one}


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_what_is_said(said: str, expected: str) -> None:
    assert found(said) == listed(expected)


@pytest.mark.parametrize(("talk", "expected"), TALKS)
def test_what_is_answered(talk: str, expected: str) -> None:
    turns = [
        f"{'patient' if n % 2 else 'examiner'}: {said}" for n, said in enumerate(talk.split("|"))
    ]
    assert found(*turns) == listed(expected)
