"""Ends of a scale, asides, second looks, denials of the next and both sides; common practice, no
source."""

import pytest
from builders import standing_of, stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # What is of both sides tells nothing of which is examined.
    ("Left deltoid two. Biceps two. Triceps five. EDC five. | Right deltoid five. Hoffmann's "
     "negative on both sides. | Radial pulse present.",
     "power.deltoid left 2; power.biceps_brachii left 2; power.triceps_brachii left 5; "
     "power.extensor_digitorum left 5; power.deltoid right 5; sign.hoffmann left absent; "
     "sign.hoffmann right absent; pulse.radial left present"),
    # The ends of a scale are no grades of what was said last, nor is the arm that it is told of.
    ("Right FPL one. Left grip five. | Back to the right. Ten's what the left one feels like, "
     "zero's nothing at all.",
     "power.flexor_pollicis_longus right 1; power.grip left 5"),
    ("Right arm. Grip five. | Ten is like the left, nought is numb.", "power.grip right 5"),
    ("Left grip two. Squeeze. The right one does it easily.", "power.grip left 2"),
    # Whose muscle is supposed ends no supposition.
    ("If his triceps were a zero you'd be thinking about the posterior cord.", ""),
    ("If her deltoid was a two I'd say axillary nerve.", ""),
    ("Left FPL two, because his thumb is sore. EPL four.",
     "power.flexor_pollicis_longus left 2; power.extensor_pollicis_longus left 4"),
    # Denied of the next by its name alone.
    ("Left arm. Deltoid and biceps, all wasted. Not the thenar though, and not the hypothenar "
     "either.",
     "wasting.deltoid left present; wasting.biceps_brachii left present; "
     "wasting.thenar left absent; wasting.hypothenar left absent"),
    ("Left arm. The infraspinatus is wasted. But not the deltoid or the triceps.",
     "wasting.infraspinatus left present; wasting.deltoid left absent; "
     "wasting.triceps_brachii left absent"),
    ("Left arm. Biceps wasted. Not the triceps, that's a four.",
     "wasting.biceps_brachii left present; power.triceps_brachii left 4"),
    ("Left arm. Triceps isn't wasted. Not the deltoid.", "wasting.triceps_brachii left absent"),
    # A habit of somebody's between a name and its grade.
    ("Left FCR, the boss always asks about the FCR, and it's a zero. FCU four plus.",
     "power.flexor_carpi_radialis left 0; power.flexor_carpi_ulnaris left 4+"),
    ("Left supinator, students usually skip it, and that's a four.", "power.supinator left 4"),
    # A part that is held so.
    ("Left biceps zero. Brachioradialis, thumb up, pull, pull, zero, and I've my fingers around it "
     "and there's no contraction.",
     "power.biceps_brachii left 0; power.brachioradialis left 0; "
     "contraction.brachioradialis left absent"),
    ("Left biceps zero. I have the tendon between my fingers and there is no contraction in the "
     "biceps.",
     "power.biceps_brachii left 0; contraction.biceps_brachii left absent"),
    # Looked at again in the same sentence.
    ("Left arm. Sensory conduction. Ulnar was absent, no, let me look at the trace again, it was "
     "reduced, not absent.",
     "conduction.ulnar left reduced"),
    ("Left arm. The supinator jerk was normal, no, hang on, that's brisk.",
     "reflex.brachioradialis left brisk"),
    ("Left arm. Biceps jerk absent, no, triceps jerk is reduced.",
     "reflex.biceps left absent; reflex.triceps left reduced"),
    # What is to be put right, and only then how.
    ("Left arm. Triceps and biceps wasted. ECRL five. Correction, wasting. Delete triceps.",
     "wasting.biceps_brachii left present; power.extensor_carpi_radialis_longus left 5"),
    ("Left arm. No wasting of the triceps. Sorry, wasting.",
     "wasting.triceps_brachii left present"),
    # One of those that were named, by its place.
    ("Left arm. Deltoid, biceps and FPL were all five except the last, which I made four plus.",
     "power.deltoid left 5; power.biceps_brachii left 5; power.flexor_pollicis_longus left 4+"),
    ("Left arm. ECRL, EDC and EPL were five except the first, which I graded as a four.",
     "power.extensor_digitorum left 5; power.extensor_pollicis_longus left 5; "
     "power.extensor_carpi_radialis_longus left 4"),
    ("Left biceps, triceps and deltoid power five except the last bit of abduction.",
     "power.biceps_brachii left 5; power.triceps_brachii left 5; power.deltoid left 5"),
    ("Left dorsal interossei two. Palmar ones, three.",
     "power.dorsal_interossei left 2; power.palmar_interossei left 3"),
    ("Left ulnar lumbricals, two. Radial ones, five.",
     "power.lumbricals_3_4 left 2; power.lumbricals_1_2 left 5"),
    # "Too" of passive movement is no two.
    ("Left arm. Passive wrist extension full and finger extension too.",
     "range.wrist_extension left full; range.finger_extension left full"),
    # Tried in vain; one more of a kind.
    ("Left FPL I couldn't get a proper test of.", "power.flexor_pollicis_longus left not_tested"),
    ("Left arm. Jerks. Biceps normal. Triceps, couldn't do, the plate is sore.",
     "reflex.biceps left normal; reflex.triceps left not_tested"),
    ("Left EDC five. EPL, that's another five.",
     "power.extensor_digitorum left 5; power.extensor_pollicis_longus left 5"),
    # Tapping denied of the next site; where it went, in the patient's words.
    ("Left arm. Tapping above the collarbone did nothing, nor did tapping at the cubital tunnel or "
     "the carpal tunnel.",
     "sign.percussion.supraclavicular left absent; sign.percussion.cubital_tunnel left absent; "
     "sign.percussion.carpal_tunnel left absent"),
    ("Left arm. Tinel, cubital tunnel. Positive, to the little finger. Carpal tunnel, negative.",
     "sign.percussion.cubital_tunnel left present; sign.percussion.carpal_tunnel left absent"),
    ("examiner: Left arm. Tap above the collarbone. Does that go anywhere? | patient: Ow, yep. "
     "Little finger. | examiner: And the cubital tunnel? | patient: Nope.",
     "sign.percussion.supraclavicular left present; sign.percussion.cubital_tunnel left absent"),
    # The same place in another way, asked at length.
    ("examiner: Left arm, cotton wool. C6 out of ten? | patient: Six. | examiner: The same place "
     "but with the pin now, how many out of ten? | patient: Two.",
     "sensation.c6 left 6; sensation.c6 left 2"),
    ("examiner: Left arm, out of ten. Back of the hand in the web by your thumb? | patient: Six.",
     "sensation.superficial_radial_first_web left 6"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_scales_and_asides(said: str, expected: str) -> None:
    made = extract(transcript(*said.split(" | ")), LEXICON, Settings())
    found = stated(made)
    assert found == {one.strip() for one in expected.split(";") if one.strip()}


def test_a_patient_tells_where_it_went() -> None:
    said = (
        "examiner: Left arm. I tap above the collarbone. Anything?",
        "patient: Yes. Clean down to my little finger.",
    )
    made = extract(transcript(*said), LEXICON, Settings())
    assert [f.detail.get("radiates_to") for f in standing_of(made)] == ["little finger"]
