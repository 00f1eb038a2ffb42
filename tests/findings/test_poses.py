"""Poses, parts and fingers told beside a grade, and passive range; common practice, no source."""

import pytest
from builders import by_rules, stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # A pose between a name and its grade; a movement on a list stays one.
    ("Left hand. Opponens, thumb flat on the table, three plus.",
     "power.opponens_pollicis left 3+"),
    ("Right arm. Pronator teres, elbow at ninety, four plus.", "power.pronator_teres right 4+"),
    ("Right arm. Supinator, elbow extended, four.", "power.supinator right 4"),
    ("Right arm. Brachialis, elbow flexion, four.",
     "power.brachialis right 4; power.elbow_flexion right 4"),
    ("Left arm. Deltoid four, elbow bent, biceps five.",
     "power.deltoid left 4; power.biceps_brachii left 5"),
    # Fingers by their numbers, and numbers that are grades.
    ("Left hand. Lumbricals: one and two, four; three and four, one.",
     "power.lumbricals_1_2 left 4; power.lumbricals_3_4 left 1"),
    ("Left hand. FDP two and three five, four and five one.",
     "power.flexor_digitorum_profundus_radial left 5; "
     "power.flexor_digitorum_profundus_ulnar left 1"),
    ("Left hand. Lumbricals four. ADM three.",
     "power.lumbricals_1_2 left 4; power.lumbricals_3_4 left 4; "
     "power.abductor_digiti_minimi left 3"),
    # Which of them, told behind the grade.
    ("Left hand. Interossei two, palmar and dorsal both. FPL five.",
     "power.palmar_interossei left 2; power.dorsal_interossei left 2; "
     "power.flexor_pollicis_longus left 5"),
    ("Left hand. Interossei two, and the hand is cold. FPL five.",
     "power.dorsal_interossei left 2; power.flexor_pollicis_longus left 5"),
    # Moved by the examiner; a movement is turned in or out, and not in its joint.
    ("Left arm. I'll move it for you now. Elbow extension full, wrist flexion reduced. Power. "
     "Wrist flexion four.",
     "range.elbow_extension left full; range.wrist_flexion left reduced; "
     "power.wrist_flexion left 4"),
    ("Left arm. Let me move the pillow. Elbow extension full.", "power.elbow_extension left 5"),
    ("Left arm. Passive range. Abduction full, rotation in reduced, rotation outwards full.",
     "range.shoulder_abduction left full; range.shoulder_internal_rotation left reduced; "
     "range.shoulder_external_rotation left full"),
    ("Left arm. Passive range. Rotation in abduction full.", "range.shoulder_abduction left full"),
    # A direction that sums up the muscles just graded.
    ("Left arm. Posterior deltoid two. Abduction as a whole, two plus.",
     "power.deltoid_posterior left 2; power.shoulder_abduction left 2+"),
    ("Left arm. Biceps four. Brachialis three. Flexion overall three plus.",
     "power.biceps_brachii left 4; power.brachialis left 3; power.elbow_flexion left 3+"),
    # A tap that is announced, and one that is told.
    ("Left arm. You will feel a tap, nothing nasty. Trapezius five.", "power.trapezius left 5"),
    ("Left arm. You might feel a tap. Above the clavicle, nothing.",
     "sign.percussion.supraclavicular left absent"),
    ("Left arm. You'll feel a small tap now, nothing bad. Trapezius five.",
     "power.trapezius left 5"),
    # Told by another, and still to be tested.
    ("Left arm. Trapezius five. The referral has deltoid two and grip three, I haven't tested "
     "them yet.", "power.trapezius left 5"),
    ("Left arm. Trapezius five. In another hospital they wrote deltoid two and grip four, but I "
     "would not build on it. Deltoid one.", "power.trapezius left 5; power.deltoid left 1"),
    ("Left arm. I'd rather not tap over a fresh graft, so Tinel at the axilla not tested.",
     "sign.percussion.axilla left not_tested"),
    # A place that tells where the skin of a named nerve was touched.
    ("Left arm. Sensation. C5 ten. Armpit, intercostobrachial nerve, six.",
     "sensation.c5 left 10; sensation.intercostobrachial_axilla left 6"),
    ("Left arm. Sensation. Armpit six, intercostobrachial four.",
     "sensation.t2 left 6; sensation.intercostobrachial_axilla left 4"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_a_value_is_of_what_was_tested(said: str, expected: str) -> None:
    made = extract(transcript(said), LEXICON, Settings())
    found = stated(made)
    assert found == {one.strip() for one in expected.split(";") if one.strip()}
    assert not by_rules(made)
