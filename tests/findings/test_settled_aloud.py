"""What an examiner settles aloud, gives out in a row, or only mentions; common practice, no
source."""

import pytest
from builders import stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # A grade that one goes with, and one ruled out aloud.
    ("Right arm. Triceps five. One more time. Yeah, four plus, I'll go with four plus.",
     "power.triceps_brachii right 4+"),
    ("Right arm. Biceps two. Triceps three. Let's go with a three minus.",
     "power.biceps_brachii right 2; power.triceps_brachii right 3-"),
    ("Right arm. Biceps two. Absent reflexes go with a root lesion of five.",
     "power.biceps_brachii right 2"),
    ("examiner: Right arm. Serratus, it's not going to be a five. Is it a three? It isn't. Two.",
     "power.serratus_anterior right 2"),
    ("Right arm. Wasted: infraspinatus. Supraspinatus, is it, isn't it, yeah it is, wasted.",
     "wasting.infraspinatus right present; wasting.supraspinatus right present"),
    ("Right arm. Biceps, is it, isn't it, yes, a three.", "power.biceps_brachii right 3"),
    # A grade that was only believed.
    ("Right arm. Brachioradialis, one second I believed it was a one, but it is only the wrist "
     "extensor that jumps, so brachioradialis zero.",
     "power.brachioradialis right 0"),
    ("Right arm. Triceps I thought was a two, biceps three.",
     "power.triceps_brachii right 2; power.biceps_brachii right 3"),
    # A finger that is moved out.
    ("examiner: Left arm. FDS four. Little finger out on its own. That's a one.",
     "power.flexor_digitorum_superficialis left 4; power.abductor_digiti_minimi left 1"),
    ("examiner: Left arm. FDS four. Index finger out to the side, three.",
     "power.flexor_digitorum_superficialis left 4; power.dorsal_interosseous_1 left 3"),
    # Nought by its other names in a row of grades, and a value told again of a list.
    ("Right arm. ECRL, ECRB, ECU. One, zip, zip.",
     "power.extensor_carpi_radialis_longus right 1; "
     "power.extensor_carpi_radialis_brevis right 0; power.extensor_carpi_ulnaris right 0"),
    ("Left arm. Delt, biceps and triceps. Two, nothing, four.",
     "power.deltoid left 2; power.biceps_brachii left 0; power.triceps_brachii left 4"),
    ("Left arm. Delt and biceps two, nothing else.",
     "power.deltoid left 2; power.biceps_brachii left 2"),
    ("Left arm. Lats, goose egg. Three again, supinator and pronator teres.",
     "power.latissimus_dorsi left 0; power.supinator left 3; power.pronator_teres left 3"),
    # "Ain't" denies.
    ("Left arm. Delt's wasted. Supra ain't. He ain't got a Horner's.",
     "wasting.deltoid left present; wasting.supraspinatus left absent; sign.horner left absent"),
    # A no within the sentence, and one behind a cry.
    ("Left arm, feeling out of ten. Middle finger he says seven, no, now he says eight.",
     "sensation.c7 left 8"),
    ("Left arm. Biceps four, no, now it's a three.", "power.biceps_brachii left 3"),
    ("Right arm. Teres minor. Two. Aw, no, that's infra helpin'. One.",
     "power.teres_minor right 1"),
    ("Right arm. FPL three. Ach, no, that's the FDP cheating. Two.",
     "power.flexor_pollicis_longus right 2"),
    # What a value for the rest is of.
    ("Right arm. FCR four, the rest on the volar side are fives, by that I mean FCU and FPL.",
     "power.flexor_carpi_radialis right 4; power.flexor_carpi_ulnaris right 5; "
     "power.flexor_pollicis_longus right 5"),
    ("Right arm. Biceps three. From there down it's five all the way, and what I did was ECRL and "
     "APB.",
     "power.biceps_brachii right 3; power.extensor_carpi_radialis_longus right 5; "
     "power.abductor_pollicis_brevis right 5"),
    ("Right arm. Biceps three. The others are all five, meaning FCU and FPL.",
     "power.biceps_brachii right 3; power.flexor_carpi_ulnaris right 5; "
     "power.flexor_pollicis_longus right 5"),
    # The same of another site, and tapping that a patient only speaks of.
    ("Left arm. Tinel's negative at the wrist, and over the cubital tunnel likewise.",
     "sign.percussion.carpal_tunnel left absent; sign.percussion.cubital_tunnel left absent"),
    ("Left arm. Tinel's positive in the axilla. Over the spiral groove, the same.",
     "sign.percussion.axilla left present; sign.percussion.spiral_groove left present"),
    ("examiner: Right arm. I'll tap above the collarbone. Any zing down the arm? / patient: Nah, "
     "just feels like tapping.",
     "sign.percussion.supraclavicular right absent"),
    # What was found though something else was supposed.
    ("Left arm. If it were C5 at the root I'd have lost the rhomboids, and they were five, as was "
     "serratus anterior.",
     "power.rhomboids left 5; power.serratus_anterior left 5"),
    ("Left arm. Grip five. If it were the cord I should have found a weak triceps, and the triceps "
     "was four plus.",
     "power.grip left 5; power.triceps_brachii left 4+"),
    ("Left arm. Grip five. If the biceps had been zero I would have operated, and the deltoid "
     "would have been two.",
     "power.grip left 5"),
    # What is only blamed, held, hollow, or touched; the scan that is up.
    ("Left arm. No open wound. Biceps four, I believe this to be the wound more than the nerve.",
     "sign.open_wound left absent; power.biceps_brachii left 4"),
    ("Left arm. Deltoid, up with the wing and don't let me win, five.", "power.deltoid left 5"),
    ("Left arm. That web space is gone in on you. The thenar is wasted.",
     "wasting.thenar left present"),
    ("examiner: Left arm, out of ten. High on the inner side of the arm, the T2 spot? / patient: "
     "Same as the other'n.",
     "sensation.t2 left 10"),
    ("Left arm. MRI's up. C5 not seen. C6 avulsed.",
     "imaging.c5 left not_seen; imaging.c6 left avulsed"),
    # "The right one" of which a number is wanted is an arm.
    ("examiner: Right arm. Grip four. / examiner: Left hand, first dorsal interosseous five. / "
     "examiner: Touch. Give me a number for the right one. The pulp of your thumb? / patient: "
     "Seven.",
     "power.grip right 4; power.dorsal_interosseous_1 left 5; sensation.median_thumb_pulp right 7"),
    # Roots, people and days that are told of.
    ("Right arm. Grip four. The triceps is C7 mostly, with some C8, and every book draws it a "
     "little differently.",
     "power.grip right 4"),
    ("Right arm. Triceps is C7, and it's a four.", "power.triceps_brachii right 4"),
    ("Right arm. Triceps four. In the nineties we had a man here with a biceps of zero.",
     "power.triceps_brachii right 4"),
    ("examiner: Right arm. Triceps four. The last day you were in, your grip was a three.",
     "power.triceps_brachii right 4"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_settled_aloud(said: str, expected: str) -> None:
    read = extract(transcript(*said.split(" / ")), LEXICON, Settings())
    found = stated(read)
    assert found == set(expected.split("; "))
    assert not [q.question for q in read.questions if q.blocking or q.kind == "unknown_term"]
