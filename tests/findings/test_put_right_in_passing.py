"""Values and sides that are put right, or told of more than one thing, in passing; common practice,
no source."""

import pytest
from builders import by_rules, stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # A denial answers the bare name before it, on the side examined.
    ("Right arm. Winging, none on the right. None on the left. Droop, none on the right.",
     "sign.scapular_winging right absent; sign.scapular_winging left absent; "
     "sign.shoulder_droop right absent"),
    ("Right arm. Winging of the scapula on the right, none on the left.",
     "sign.scapular_winging right present; sign.scapular_winging left absent"),
    # A pulse that one has is there.
    ("Left arm. No scar, and you've a radial pulse, which is always reassuring.",
     "sign.scar left absent; pulse.radial left present"),
    ("Left arm. He has a radial pulse. Biceps four.",
     "pulse.radial left present; power.biceps_brachii left 4"),
    ("Left arm. He hasn't a radial pulse. Biceps four.",
     "pulse.radial left absent; power.biceps_brachii left 4"),
    # Denied behind its name by what could not be heard.
    ("Left arm. Radial pulse was present, and bruit I did not hear.",
     "pulse.radial left present; sign.bruit left absent"),
    # "Only one" for the second way of touching.
    ("Left arm. Index pulp seven for light touch, but only one for pinprick.",
     "sensation.median_index_pulp left 7; sensation.median_index_pulp left 1"),
    # A grade put right behind what the patient was bidden to do.
    ("Left side. Brachioradialis, four plus... come on, thumb to your nose, show me... no, that's "
     "a five.", "power.brachioradialis left 5"),
    ("Left arm. Grip three. Pull to your chin, show me! No, that's a five.", "power.grip left 5"),
    ("Right arm. Biceps was a three, hmm, no, let me be honest with you, two plus.",
     "power.biceps_brachii right 2+"),
    ("Left arm. Thumb, out of ten, two, well, he's changed his mind, three.",
     "sensation.c6 left 3"),
    ("Left arm. FCU four plus, okay, that is a five, cross out the four plus. Biceps five.",
     "power.flexor_carpi_ulnaris left 5; power.biceps_brachii left 5"),
    # A word that was only wondered about.
    ("Left arm. Triceps jerk, there it is, brisk, is it, no, normal.",
     "reflex.triceps left normal"),
    ("Left arm. Biceps jerk reduced, was it, no, absent.", "reflex.biceps left absent"),
    # A question that closes a row asks of its last name alone.
    ("Left arm. Reflexes. Left biceps two plus, left triceps two plus, left brachioradialis, hm, "
     "absent? No no no, relax that wrist, there she goes, two plus.",
     "reflex.biceps left normal; reflex.triceps left normal; reflex.brachioradialis left normal"),
    ("Left arm. Biceps four, triceps three, FCU, what, two? Two, yes.",
     "power.biceps_brachii left 4; power.triceps_brachii left 3; "
     "power.flexor_carpi_ulnaris left 2"),
    # A side behind a run is of all of it.
    ("Left arm. Reflexes. Biceps two plus, triceps two plus, and that's both sides.",
     "reflex.biceps left normal; reflex.biceps right normal; reflex.triceps left normal; "
     "reflex.triceps right normal"),
    ("Left arm. Triceps four. Deltoid five, biceps five, that's on the right, for comparison. FCU "
     "two.", "power.triceps_brachii left 4; power.deltoid right 5; power.biceps_brachii right 5; "
     "power.flexor_carpi_ulnaris left 2"),
    # Bulk behind "has gone", and denied in a sentence of its own.
    ("Left arm. The deltoid has gone, completely wasted, and supraspinatus, wasted.",
     "wasting.deltoid left present; wasting.supraspinatus left present"),
    ("Left arm. Triceps is wasted. Deltoid's not. Biceps four.",
     "wasting.triceps_brachii left present; wasting.deltoid left absent; "
     "power.biceps_brachii left 4"),
    # A value before a run of levels set off by its comma.
    ("Left arm. Light touch was reduced, from C6 down to C8. Grip four.",
     "sensation.c6 left reduced; sensation.c7 left reduced; sensation.c8 left reduced; "
     "power.grip left 4"),
    # How far a joint goes into a movement.
    ("Right arm. Passive movement. The shoulder went fully into abduction, and fully into flexion, "
     "but external rotation was reduced.",
     "range.shoulder_abduction right full; range.shoulder_flexion right full; "
     "range.shoulder_external_rotation right reduced"),
    # A notch is a place that is tapped.
    ("Right arm. Tinel over the notch itself, top of the blade. Positive.",
     "sign.percussion.other right present"),
    # Tips that only tell what is bent, and half of a muscle.
    ("Right arm. Tips of the index and middle, the radial half of FDP is five too.",
     "power.flexor_digitorum_profundus_radial right 5"),
    # Several questions in a turn, and as many answers.
    ("examiner: Right arm, out of ten. / examiner: Thumb? Middle finger? Little finger? / "
     "patient: Ten, nine, ten.",
     "sensation.c6 right 10; sensation.c7 right 9; sensation.c8 right 10"),
    # A score that is weighed aloud.
    ("examiner: Right arm, out of ten. Thumb pulp? / patient: One. Maybe even nothing. / examiner: "
     "Try again. / patient: Nothing, so. Zero.", "sensation.median_thumb_pulp right 0"),
    # Another's case.
    ("Right arm. Triceps zero. Colleague in the north had similar case, there biceps came back to "
     "three.", "power.triceps_brachii right 0"),
    ("Right arm. Grip four. A man in the village had the same thing off a rucksack, and his wing "
     "was like an angel's.", "power.grip right 4"),
    ("Left arm. Grip four. We wait for EMG, after three weeks it can show denervation, before this "
     "it is too early.", "power.grip left 4"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_put_right_in_passing(said: str, expected: str) -> None:
    read = extract(transcript(*said.split(" / ")), LEXICON, Settings())
    assert stated(read) == set(expected.split("; "))
    assert not [q.question for q in by_rules(read) if q.blocking]
