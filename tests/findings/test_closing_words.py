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
    ("He moves it, so this is two, brachioradialis two.", "power.brachioradialis left 2"),
    ("The range of elbow extension is full, exactly as my colleague would wish it, and the radial "
     "pulse is present.", "range.elbow_extension left full; pulse.radial left present"),
    # What was only supposed, what a "that" stands for, and the other face of a part.
    ("If the deltoid were gone I'd think of the axillary nerve. It's not, that's a four.",
     "power.deltoid left 4"),
    ("If the latissimus was zero I'd go higher, but it's not.", ""),
    ("examiner: Inside of your forearm? | patient: Ten. | examiner: Outside of it? | "
     "patient: Nine.",
     "sensation.macn_medial_forearm left 10; sensation.lacn_lateral_forearm left 9"),
    ("Left. Froment's positive that side, and it's negative on the right. Deltoid four.",
     "sign.froment left present; sign.froment right absent; power.deltoid left 4"),
    ("Thumb seven to touch. With the pin it drops to four.",
     "sensation.c6 left 7; sensation.c6 left 4"),
    # Put right.
    ("First dorsal interosseous two. You're dropping it. Turn your hand. One, not a two.",
     "power.dorsal_interosseous_1 left 1"),
    ("Pronator teres three. Tuck the elbow in. Two plus, change that three to a two plus.",
     "power.pronator_teres left 2+"),
    ("Posterior deltoid a one, but that was just his lat helping out, so please change that to a "
     "zero.", "power.deltoid_posterior left 0"),
    ("EDM four. Disregard EDM, scrub it. FPL five. First web ten. Correction, nine.",
     "power.flexor_pollicis_longus left 5; sensation.superficial_radial_first_web left 9"),
    # A part of skin told of by another, and a muscle by where it moves to.
    ("examiner: Feeling. Thumb, right on the pulp? | patient: Five. | examiner: The palm by your "
     "thumb, thenar palm? | patient: Seven.",
     "sensation.median_thumb_pulp left 5; sensation.median_thenar_palm left 7"),
    ("Now wrist down towards your little finger. I'd call that four plus, FCU.",
     "power.flexor_carpi_ulnaris left 4+"),
    ("Wasting is present in infraspinatus. It is absent in deltoid.",
     "wasting.infraspinatus left present; wasting.deltoid left absent"),
    ("I could not make up my mind about the sweating, and anhidrosis I leave open.",
     "sign.anhidrosis left uncertain"),
    ("I have no hesitation in calling this a Horner's.", "sign.horner left present"),
    # Said of anybody, or of another day.
    ("A Horner's, by the way, is a small pupil and a droopy lid.", ""),
    ("We should see a flicker in the brachioradialis by the fourth month.", ""),
    ("You'll have a scar about this long along the calf.", ""),
    ("That table with one and two plus on it is only for reflexes.", ""),
    ("Of the cuff, the two others are preserved: teres minor five, subscapularis five.",
     "power.teres_minor left 5; power.subscapularis left 5"),
    ("He had a ptosis and, once the lights had been turned down, a miosis as well.",
     "sign.ptosis left present; sign.miosis left present"),
    ("What I'm seeing when you hold both hands out is, the wrist stays up, so there's no wrist "
     "drop.", "posture.wrist_drop left absent"),
    ("The biceps is wasted, whereas the deltoid, notwithstanding the letter, is not.",
     "wasting.biceps_brachii left present; wasting.deltoid left absent"),
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
