"""Words that stand for a jerk, a finger or a grade told before, and what was left out; invented,
common practice, no source."""

import pytest
from builders import stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # "One" is the jerk, the potential or the finger, and no grade.
    ("Right arm. Neurophysiology found no sensory potential in the median, a normal one in the "
     "ulnar and a normal superficial radial.",
     "conduction.median right absent; conduction.ulnar right normal; "
     "conduction.superficial_radial right normal"),
    ("Right arm. Nerve conduction: an absent response in the median, a reduced one in the ulnar.",
     "conduction.median right absent; conduction.ulnar right reduced"),
    ("Left arm. There was a brisk jerk at the biceps, a normal one at the triceps and an absent "
     "one at the supinator.",
     "reflex.biceps left brisk; reflex.triceps left normal; reflex.brachioradialis left absent"),
    ("Left arm. The biceps jerk was a normal one.", "reflex.biceps left normal"),
    ("Left arm. Profundus to the index four, to the little one is three.",
     "power.flexor_digitorum_profundus_radial left 4; "
     "power.flexor_digitorum_profundus_ulnar left 3"),
    # "Too" behind a word is no two.
    ("Right arm. Biceps jerk absent, the supinator too.",
     "reflex.biceps right absent; reflex.brachioradialis right absent"),
    ("Right arm. Biceps jerk absent. Supinator too.",
     "reflex.biceps right absent; reflex.brachioradialis right absent"),
    ("Right arm. The ulnar sensory potential was absent, the dorsal ulnar one as well.",
     "conduction.ulnar right absent; conduction.dorsal_ulnar right absent"),
    # What could not be got, and what is left out today.
    ("Left arm. Finger jerk I can't get at all, absent.", "reflex.finger left absent"),
    ("Left arm. The triceps jerk I couldn't get at all.", "reflex.triceps left absent"),
    ("Right arm. Grip I won't do today, you've that plaster on your palm.",
     "power.grip right not_tested"),
    ("Right arm. Wrist flexion I'm not doing today, it is stitched.",
     "power.wrist_flexion right not_tested"),
    ("Right arm. I'll skip the knee jerk. Grip I'll leave out.",
     "reflex.knee right not_tested; power.grip right not_tested"),
    ("Right arm. Triceps four. We'll leave it at that. I won't do anything more.",
     "power.triceps_brachii right 4"),
    # A muscle with the name of its jerk.
    ("Right arm. Brachioradialis is one. I withdraw that; the tendon was moved by the wrist, "
     "brachioradialis is zero.", "power.brachioradialis right 0"),
    # A movement told by its joint.
    ("Left arm. Passive range of the elbow in flexion was full.",
     "range.elbow_flexion left full"),
    ("Left arm. Passively the elbow in extension was reduced.",
     "range.elbow_extension left reduced"),
    # Both sides, behind how it was looked for.
    ("Right arm. No winging when you push the wall, either side.",
     "sign.scapular_winging left absent; sign.scapular_winging right absent"),
    # A grade taken back by its name, behind other findings.
    ("Left arm. Opponens nought. Passive finger extension full. Strike that nought for opponens. "
     "Opponens one.", "range.finger_extension left full; power.opponens_pollicis left 1"),
    ("Left arm. Deltoid two. Sensation, C5 nine. Delete that two in the deltoid. It's a three.",
     "power.deltoid left 3; sensation.c5 left 9"),
    ("Left arm. Triceps four. Biceps jerk normal. Scratch the four for triceps, call it three.",
     "power.triceps_brachii left 3; reflex.biceps left normal"),
    ("Left arm. Deltoid wasted. Deltoid two. Triceps four. Strike that on the deltoid. Grip three.",
     "wasting.deltoid left present; power.triceps_brachii left 4; power.grip left 3"),
    # A part of the leg is no arm.
    ("Right arm. Biceps five. The next on the list is a left hip. Triceps five.",
     "power.biceps_brachii right 5; power.triceps_brachii right 5"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_what_it_is_of(said: str, expected: str) -> None:
    made = extract(transcript(said), LEXICON, Settings())
    found = stated(made)
    assert found == set(expected.split("; "))
