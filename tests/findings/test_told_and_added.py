"""What is only told of an instruction, added behind a value, put right in the same breath, or
looked for at a place where one also taps; common practice, no source."""

import pytest
from builders import stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # An instruction that is told ends where the finding begins.
    ("Left. When I asked him to push forward, the scapula winged.",
     "sign.scapular_winging left present"),
    ("Left. He was asked to push against the wall, and winging was seen.",
     "sign.scapular_winging left present"),
    ("Left. On asking the man to lean on the wall, there was no winging.",
     "sign.scapular_winging left absent"),
    # Added behind a value.
    ("The left deltoid was wasted, and also the infraspinatus.",
     "wasting.deltoid left present; wasting.infraspinatus left present"),
    ("Left. EDC was zero, and also the EPL. FCR five.",
     "power.extensor_digitorum left 0; power.extensor_pollicis_longus left 0; "
     "power.flexor_carpi_radialis left 5"),
    ("Left. The biceps jerk was absent, and also the triceps.",
     "reflex.biceps left absent; reflex.triceps left absent"),
    ("Left. Deltoid four, and also the biceps. Three.",
     "power.deltoid left 4; power.biceps_brachii left 3"),
    # A day that is put right.
    ("When she came in yesterday, sorry, this afternoon, the left biceps was four.",
     "power.biceps_brachii left 4"),
    ("Left arm. When I saw her last week, I mean this week, the deltoid was three.",
     "power.deltoid left 3"),
    ("Left. I saw her yesterday, and the biceps was four.", ""),
    # Where a sign was looked for, nothing was tapped.
    ("Right arm. Tinel over the carpal tunnel negative. No scar over the spiral groove, no wound "
     "in the armpit.",
     "sign.percussion.carpal_tunnel right absent; sign.scar right absent; "
     "sign.open_wound right absent"),
    ("Right. Tinel at the spiral groove positive. There is a scar at the cubital tunnel.",
     "sign.percussion.spiral_groove right present; sign.scar right present"),
    # A second "and" behind a comma joins names that have a value of their own.
    ("Left. MRI. A pseudomeningocele at C6 and C7, and the C8 and T1 roots intact.",
     "imaging.c6 left pseudomeningocele; imaging.c7 left pseudomeningocele; "
     "imaging.c8 left intact; imaging.t1 left intact"),
    ("Left. Power. Zero in deltoid and biceps, and the triceps and FCR five.",
     "power.deltoid left 0; power.biceps_brachii left 0; power.triceps_brachii left 5; "
     "power.flexor_carpi_radialis left 5"),
    # Back from the other side, whose only later side is the examined one.
    ("Left arm. Biceps four. Triceps three. Deltoid two. Supinator five. The biceps reflex was "
     "absent. On the right it was normal. There was no Horner's, and tapping above the left "
     "clavicle was negative.",
     "power.biceps_brachii left 4; power.triceps_brachii left 3; power.deltoid left 2; "
     "power.supinator left 5; reflex.biceps left absent; reflex.biceps right normal; "
     "sign.horner left absent; sign.percussion.supraclavicular left absent"),
    # Not done, uncertain, taken back, of another year.
    ("Right arm. Reflexes. Triceps normal. The finger jerk I shan't attempt.",
     "reflex.triceps right normal; reflex.finger right not_tested"),
    ("Right arm. Infraspinatus, I will not test yet because of the repair.",
     "power.infraspinatus right not_tested"),
    ("Right arm. Enophthalmos, I can't be certain. Wasting of the thenar, I cannot be certain.",
     "sign.enophthalmos right uncertain; wasting.thenar right uncertain"),
    ("Right hand. ADM three. I withdraw it; it's two minus.",
     "power.abductor_digiti_minimi right 2-"),
    ("Right arm. In two thousand and nineteen they scored your triceps as a two.", ""),
    ("Left. Tapping over the supraclavicular fossa did not give any tingling.",
     "sign.percussion.supraclavicular left absent"),
    # What stands is named to be denied.
    ("Right. Biceps reflex absent. I try again, clench your teeth. Ah, there, small one. So it's "
     "reduced, not absent.", "reflex.biceps right reduced"),
    ("Right. There is ptosis. Look at me. So it is absent, not present.",
     "sign.ptosis right absent"),
    ("Right. Pulse at the wrist absent. Let me find it. There. So it's present, not absent.",
     "pulse.radial right present"),
    # A value that opens its sentence, and a word or two before its name.
    ("Right. One only, the biceps. Four, sir, the triceps. Five again, the deltoid.",
     "power.biceps_brachii right 1; power.triceps_brachii right 4; power.deltoid right 5"),
    ("Right. Biceps. Four, sir. The triceps, three.",
     "power.biceps_brachii right 4; power.triceps_brachii right 3"),
    # A value before a colon is of the list behind it.
    ("Left. Deltoid five. All nought, write them singly: ECU, extensor digitorum.",
     "power.deltoid left 5; power.extensor_carpi_ulnaris left 0; power.extensor_digitorum left 0"),
    ("Left. Deltoid five. Zero, and I name each: ECU, EPL.",
     "power.deltoid left 5; power.extensor_carpi_ulnaris left 0; "
     "power.extensor_pollicis_longus left 0"),
    ("Left. Zero today: ECU two, EDC three.",
     "power.extensor_carpi_ulnaris left 2; power.extensor_digitorum left 3"),
    # Only what was asked about is answered.
    ("Right hand. ADM is wasted, and the thenar eminence, is that wasted? No.",
     "wasting.abductor_digiti_minimi right present; wasting.thenar right absent"),
    # A heading is not graded with its muscles.
    ("Left. FPL five. Extensors, same arm. Extensor digitorum, extensor indicis, EPL. All five.",
     "power.flexor_pollicis_longus left 5; power.extensor_digitorum left 5; "
     "power.extensor_indicis left 5; power.extensor_pollicis_longus left 5"),
    # A place that only tells where the skin is.
    ("Left. Sensation. First web space, near the thumb, eight. Lateral forearm, near the elbow, "
     "four.",
     "sensation.superficial_radial_first_web left 8; sensation.lacn_lateral_forearm left 4"),
    ("Left. Out of ten. Lower lateral arm, here, below the deltoid? Six.",
     "sensation.lower_lateral_arm left 6"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "found"), SAID)
def test_told_and_added(said: str, found: str) -> None:
    made = extract(transcript(said), LEXICON, Settings(side="right"))
    standing = stated(made)
    assert standing == set(filter(None, found.split("; ")))
