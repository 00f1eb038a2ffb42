"""Words that close a run or a list, stand between commas, or only compare; common practice, no
source."""

import pytest
from builders import stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # Both sides alone, or one after the other, are said of what was just found.
    ("Reflexes. Biceps, triceps. Two plus. Left and right. | Passive elbow flexion full.",
     "reflex.biceps left normal; reflex.biceps right normal; reflex.triceps left normal; "
     "reflex.triceps right normal; range.elbow_flexion left full"),
    ("Knee jerk brisk. Both sides. Power. Deltoid four.",
     "reflex.knee left brisk; reflex.knee right brisk; power.deltoid left 4"),
    ("Hoffmann negative, right, left. Clonus absent on the two sides.",
     "sign.hoffmann left absent; sign.hoffmann right absent; sign.clonus left absent; "
     "sign.clonus right absent"),
    ("Left. Biceps jerk brisk, triceps jerk brisk, and the same story on the right for both.",
     "reflex.biceps left brisk; reflex.triceps left brisk; reflex.biceps right brisk; "
     "reflex.triceps right brisk"),
    ("Neither plantar was extensor.",
     "sign.plantar_extensor left absent; sign.plantar_extensor right absent"),
    ("Plantars. Right, extensor. Left, flexor.",
     "sign.plantar_extensor left absent; sign.plantar_extensor right present"),
    # Bulk: a heading over a list, answers of the radio, and a doubt.
    ("Bulk. Deltoid, thenar, hypothenar. All normal.",
     "wasting.deltoid left absent; wasting.thenar left absent; wasting.hypothenar left absent"),
    ("Wasting. Supraspinatus, infraspinatus. None. Power. Deltoid four.",
     "wasting.supraspinatus left absent; wasting.infraspinatus left absent; power.deltoid left 4"),
    ("Wasting. Triceps, affirmative. Deltoid, negative.",
     "wasting.triceps_brachii left present; wasting.deltoid left absent"),
    ("The deltoid is wasted, and the triceps, I'm torn, call it uncertain.",
     "wasting.deltoid left present; wasting.triceps_brachii left uncertain"),
    ("Neither the deltoid nor the biceps was as yet wasted.",
     "wasting.deltoid left absent; wasting.biceps_brachii left absent"),
    # A side that is only compared with, or gone back to.
    ("Right arm. The median potential is reduced (half the amplitude of the left). The ulnar "
     "potential is normal.",
     "conduction.median right reduced; conduction.ulnar right normal"),
    ("On the right, biceps five. His left hand, being sound, will serve as our ten, and he gives "
     "me six at the thumb pulp.",
     "power.biceps_brachii right 5; sensation.median_thumb_pulp right 6"),
    ("Left arm. EDC two. EDC on the right is five, EPL on the right is five, and I'm back on the "
     "left. FPL four.",
     "power.extensor_digitorum left 2; power.extensor_digitorum right 5; "
     "power.extensor_pollicis_longus right 5; power.flexor_pollicis_longus left 4"),
    ("No winging of the left shoulder, and you've got a normal radial pulse on that side.",
     "sign.scapular_winging left absent; pulse.radial left present"),
    ("No scar on the left, and a weak radial pulse.",
     "sign.scar left absent; pulse.radial left reduced"),
    # A place set off behind "and", a range told in full, an answer thought over.
    ("Touch. Ten over the thumb and, along the lateral forearm, a two.",
     "sensation.c6 left 10; sensation.lacn_lateral_forearm left 2"),
    ("Power. Five in the deltoid and, in the biceps, four.",
     "power.deltoid left 5; power.biceps_brachii left 4"),
    ("Touch was nought from C7 down to and including T1, and ten once again at T2.",
     "sensation.c7 left 0; sensation.c8 left 0; sensation.t1 left 0; sensation.t2 left 10"),
    ("Touch. At the thumb pulp he said three to begin with, and then settled on a two.",
     "sensation.median_thumb_pulp left 2"),
    ("Touch. Index pulp four, but she ended up at five.", "sensation.median_index_pulp left 5"),
    # Between commas.
    ("Brachialis, for which I have him bend the elbow, is a two, and coracobrachialis, which few "
     "people ever look for, is nought.",
     "power.brachialis left 2; power.coracobrachialis left 0"),
    ("Brachioradialis, with the thumb pointing to the ceiling, is a five.",
     "power.brachioradialis left 5"),
    ("In the hand, where one is always wise to look, APB and ADM are five.",
     "power.abductor_pollicis_brevis left 5; power.abductor_digiti_minimi left 5"),
    ("There is no droop of the shoulder, nor, when I feel for it, any subluxation.",
     "sign.shoulder_droop left absent; sign.shoulder_subluxation left absent"),
    ("The rhomboids were nought, and so, I am sorry to say, was serratus anterior.",
     "power.rhomboids left 0; power.serratus_anterior left 0"),
    ("I'd have to say the shoulder's subluxed.", "sign.shoulder_subluxation left present"),
    ("FCR, a four plus would be fair. Deltoid, a three would be about right.",
     "power.flexor_carpi_radialis left 4+; power.deltoid left 3"),
    # Another's.
    ("I had a rower whose biceps was a zero, and he raced.", ""),
    ("We once treated a girl whose deltoid was one.", ""),
    # What no grade passes, what stands before its names, and what cannot be faulted.
    ("FCR and EPL, not one of which was better than nought.",
     "power.flexor_carpi_radialis left 0; power.extensor_pollicis_longus left 0"),
    ("APB and ADM, none of which scored above a two.",
     "power.abductor_pollicis_brevis left 2; power.abductor_digiti_minimi left 2"),
    ("Nought, too, were FDS and FPL.",
     "power.flexor_digitorum_superficialis left 0; power.flexor_pollicis_longus left 0"),
    ("Deltoid, biceps, and there is nothing that I could fault in any of them, are five each.",
     "power.deltoid left 5; power.biceps_brachii left 5"),
    ("The anterior, the middle and the posterior deltoid were nought, one and two.",
     "power.deltoid_anterior left 0; power.deltoid_middle left 1; power.deltoid_posterior left 2"),
    ("I have struck that out and recorded nought for the triceps.", "power.triceps_brachii left 0"),
    ("Supraspinatus four, and since he winces as he does it, infraspinatus is five.",
     "power.supraspinatus left 4; power.infraspinatus left 5"),
    ("You're not describing any burning, so I'm marking neuropathic pain as absent.",
     "sign.neuropathic_pain left absent"),
    # A word behind a word, and a score that is nearly nothing.
    ("Radial pulse. There. Weak.", "pulse.radial left reduced"),
    ("examiner: The first web space? | patient: One. Almost you're not there.",
     "sensation.superficial_radial_first_web left 1"),
    # Taps that are announced, and a pain that is told.
    ("examiner: I'm gonna tap some, so let me know what you get. Over the carpal tunnel? | "
     "patient: Ooh, zings.", "sign.percussion.carpal_tunnel left present"),
    ("examiner: I'm going to tap, and you say what comes. Behind the elbow, the cubital tunnel? | "
     "patient: Nothing.", "sign.percussion.cubital_tunnel left absent"),
    ("patient: What gets me is when I look round there's this burning in my arm.",
     "sign.neuropathic_pain left present"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_what_is_said_is_found(said: str, expected: str) -> None:
    made = extract(transcript(*said.split(" | ")), LEXICON, Settings(side="left"))
    assert stated(made) == set(filter(None, expected.split("; ")))
