"""What is asked, tried or told another way and still is a finding, or none; common practice, no
source."""

import pytest
from builders import stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # What a hand is used for turns no arm; the troubled arm that a patient names is examined.
    ("examiner: Left arm. / examiner: And which hand do you stir the tea with, the right? / "
     "examiner: No ptosis.",
     "sign.ptosis left absent"),
    ("examiner: Which arm is it? / patient: The right one. / examiner: No winging. Deltoid four.",
     "sign.scapular_winging right absent; power.deltoid right 4"),
    ("examiner: Couldn't get my arm up? / examiner: Which hand do you throw with? / patient: Left, "
     "actually. / examiner: Left-handed. That's winging of the right scapula. Deltoid four.",
     "context.dominant_hand none left; sign.scapular_winging right present; "
     "power.deltoid right 4"),
    ("examiner: Which hand is the stronger one? / patient: The left. / examiner: Right arm. "
     "Deltoid four.", "power.deltoid right 4"),
    ("examiner: Right arm. Deltoid four. / examiner: Which arm feels warmer? / patient: The left. "
     "/ examiner: Biceps four.",
     "power.deltoid right 4; power.biceps_brachii right 4"),
    # A look that is called the classic one, and how far a finger goes, teach nothing.
    ("Left arm. His arm hanging in internal rotation, the classic look, and the biceps is wasted.",
     "posture.internal_rotation left present; wasting.biceps_brachii left present"),
    ("Left arm. In Erb's palsy the arm hangs in internal rotation, the classic look, and the "
     "biceps is wasted. Grip four.", "power.grip left 4"),
    ("Left arm. You can get a thumb in below the acromion, so the shoulder's subluxed.",
     "sign.shoulder_subluxation left present"),
    ("Left arm. You can get weak fingers in a C8 lesion, so the shoulder's subluxed. Grip four.",
     "power.grip left 4"),
    ("Left arm. The EMG report says the deltoid is denervated.",
     "needle.deltoid left denervated"),
    # A single name of what straightens a part heads the muscle after it.
    ("Left arm. ECRB three. Thumb extensor, EPL, four.",
     "power.extensor_carpi_radialis_brevis left 3; power.extensor_pollicis_longus left 4"),
    # A face that is dry, but not hands.
    ("Right arm. Her cheek is dry on the right. No ptosis.",
     "sign.anhidrosis right present; sign.ptosis right absent"),
    ("Right arm. His hands are dry. No ptosis.", "sign.ptosis right absent"),
    # The same at another site.
    ("Left arm. Tinel's negative above the clavicle, and the same is true at the elbow and in the "
     "axilla.",
     "sign.percussion.supraclavicular left absent; sign.percussion.cubital_tunnel left absent; "
     "sign.percussion.axilla left absent"),
    ("Left arm. Tinel's positive at the wrist, and the same goes for the cubital tunnel.",
     "sign.percussion.carpal_tunnel left present; sign.percussion.cubital_tunnel left present"),
    # A second try stands; "again" before another name is none.
    ("Left arm. Infraspinatus, three. / Again, with the elbow at ninety. / Okay, three plus. / "
     "Going with three plus.",
     "power.infraspinatus left 3+"),
    ("Left arm. Triceps three. Again, no pain. Biceps four.",
     "power.triceps_brachii left 3; power.biceps_brachii left 4"),
    ("Left arm. Grip four. You're holding back. Give me everything. Better, that's a five.",
     "power.grip left 5"),
    ("Left arm. Grip four. That's better than last time. Biceps five.",
     "power.grip left 4; power.biceps_brachii left 5"),
    # A run of reflexes shows itself by one plus, or by muscles that have their grade.
    ("Left arm. Biceps five. T1, ten. / Biceps, two plus. / Brachioradialis, two plus. / "
     "Triceps, one plus.",
     "power.biceps_brachii left 5; sensation.t1 left 10; reflex.biceps left normal; "
     "reflex.brachioradialis left normal; reflex.triceps left reduced"),
    ("Left arm. Biceps five, triceps four. Pad of the index, ten. Biceps, two plus. Triceps, three "
     "plus.",
     "power.biceps_brachii left 5; power.triceps_brachii left 4; "
     "sensation.median_index_pulp left 10; reflex.biceps left normal; reflex.triceps left brisk"),
    ("Left arm. T1, ten. Biceps, two plus. Deltoid three.",
     "sensation.t1 left 10; power.biceps_brachii left 2+; power.deltoid left 3"),
    # Parts counted as bits, goes at it, what oneself is asked.
    ("Left arm. Deltoid four, all three bits.",
     "power.deltoid_anterior left 4; power.deltoid_middle left 4; power.deltoid_posterior left 4"),
    ("Right arm. Biceps two. Left arm, one quick go. Biceps five.",
     "power.biceps_brachii right 2; power.biceps_brachii left 5"),
    ("Left arm. Biceps two. Wait, was that brachioradialis? Two it is.",
     "power.biceps_brachii left 2"),
    ("Left arm. Nothing heavy till the biceps beats a three. Grip four.", "power.grip left 4"),
    # What is yet to be done on the other side is not found there.
    ("Left arm. OK sign negative. Let me do the same on the right. Right biceps five.",
     "sign.ok_sign left absent; power.biceps_brachii right 5"),
    ("Left arm. OK sign negative, and the same on the right.",
     "sign.ok_sign left absent; sign.ok_sign right absent"),
    # Gravity taken out is a way of testing where its grade is told too.
    ("Left arm. Biceps, gravity eliminated, nothing. That's a zero.",
     "power.biceps_brachii left 0"),
    ("Left arm. Biceps, gravity eliminated.", "power.biceps_brachii left 2"),
    # What a card says was before.
    ("Left arm. As per her discharge letter the biceps was one, but the grip is four.",
     "power.grip left 4"),
    # What is listed behind its name has the value.
    ("Left arm. Wrist extensors were three, namely ECRL and ECRB, and so was EDC.",
     "power.extensor_carpi_radialis_longus left 3; power.extensor_carpi_radialis_brevis left 3; "
     "power.extensor_digitorum left 3"),
    ("Left arm. All three arm reflexes are normal, biceps, supinator and triceps.",
     "reflex.biceps left normal; reflex.brachioradialis left normal; reflex.triceps left normal"),
    # Degrees below nought.
    ("Left arm. Elbow straightens passively to minus thirty, so extension's reduced.",
     "range.elbow_extension left reduced"),
    # Injuries and what is denied at once are no movements.
    ("Left arm. He had a posterior shoulder dislocation, reduced that night. Grip four.",
     "context.associated_injury none shoulder dislocation; power.grip left 4"),
    ("Left arm. The grip looks weak, and it isn't. Biceps five.", "power.biceps_brachii left 5"),
    ("Left arm. Deltoid four once the scapula's steadied.", "power.deltoid left 4"),
    ("Right arm. Biceps four. Other hand, the left: biceps five.",
     "power.biceps_brachii right 4; power.biceps_brachii left 5"),
    ("Left arm. Supinator four, four minus... four.", "power.supinator left 4"),
    # A patient's story and what is common are no scores.
    ("examiner: Left arm. Thumb? / patient: Yes, normal. / patient: Sometimes my whole arm goes "
     "numb at night when I lie badly. / examiner: That's a common one.",
     "sensation.c6 left normal"),
    # The inner upper arm among nerves, and among dermatomes.
    ("examiner: Left arm, out of ten. Tip of the little finger? / patient: One. / examiner: Back "
     "of the hand, ulnar side? / patient: Two. / examiner: Inner side of the forearm? "
     "/ patient: Three. / examiner: Inner side of the upper arm? / "
     "patient: Four.",
     "sensation.ulnar_little_pulp left 1; sensation.ulnar_dorsal_hand left 2; "
     "sensation.macn_medial_forearm left 3; "
     "sensation.mbcn_medial_arm left 4"),
    ("examiner: Left arm, out of ten. Little finger? / patient: Two. / examiner: Inner elbow? / "
     "patient: Three. / examiner: Inner side of the upper arm? / patient: Four.",
     "sensation.c8 left 2; sensation.t1 left 3; sensation.t2 left 4"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_tried_or_told_another_way(said: str, expected: str) -> None:
    read = extract(transcript(*said.split(" / ")), LEXICON, Settings())
    found = stated(read)
    assert found == set(expected.split("; "))
    assert not [q.question for q in read.questions if q.blocking or q.kind == "unknown_term"]
