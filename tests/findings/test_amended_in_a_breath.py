"""Grades amended in the sentence that gives them, taps and pains in other words, and words that
only head or colour what is found; common practice, no source."""

import pytest
from builders import by_rules, dialogue, stated

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # A grade put right in the same sentence, for another muscle was felt or it is compared.
    ("Left arm. Serratus anterior, I wrote one, but it was the pectoral of the other side pulling, "
     "so the correct is zero.", "power.serratus_anterior left 0"),
    ("Left arm. Rhomboids, I wrote two, but it was the trapezius helping, so the correct grade is "
     "one.", "power.rhomboids left 1"),
    ("E: Left arm. See that? That's your FCU doing it by itself, and it's a five.",
     "power.flexor_carpi_ulnaris left 5"),
    ("Left hand. Opponens I had down as a three, but watchin' it, that's better'n a three, four "
     "minus.", "power.opponens_pollicis left 4-"),
    ("Left arm. FCU is better than a three, four minus. Biceps is more than a four, five minus.",
     "power.flexor_carpi_ulnaris left 4-; power.biceps_brachii left 5-"),
    ("Right arm. Subscapularis I set down as three, which was ungenerous, and I should like it to "
     "read three plus.", "power.subscapularis right 3+"),
    ("Left arm. Biceps I wrote four and triceps five. EDC I wrote four, but FCU I wrote two.",
     "power.biceps_brachii left 4; power.triceps_brachii left 5; "
     "power.extensor_digitorum left 4; power.flexor_carpi_ulnaris left 2"),
    ("Right arm. C7 he said eight, then he said nine, we'll go with his nine.",
     "sensation.c7 right 9"),
    # Verbs for tapping, and the notch of the scapula.
    ("E: Left arm. I'm going to drum my finger above the collarbone. / P: Zings down to my thumb. "
     "/ E: And at the funny bone? / P: Nope.",
     "sign.percussion.supraclavicular left present; sign.percussion.cubital_tunnel left absent"),
    ("E: Right arm. Gonna thump you some. Up here above the collarbone? / P: Nothin'.",
     "sign.percussion.supraclavicular right absent"),
    ("E: Right arm. I knock. At the notch of the scapula? / P: Yes, it tingles.",
     "sign.percussion.other right present"),
    # Pain that is asked after without a verb in front.
    ("E: Right arm. You get any burnin' or lightnin' bolts down it? / P: No sir. Just aches.",
     "sign.neuropathic_pain right absent"),
    ("E: Left arm. You getting any electric shocks? / P: Yeah, at night.",
     "sign.neuropathic_pain left present"),
    # A root with what it has, behind another root.
    ("Left arm. MRI. C6 intact, C7 with pseudomeningocele, C8 with a pseudomeningocele too.",
     "imaging.c6 left intact; imaging.c7 left pseudomeningocele; "
     "imaging.c8 left pseudomeningocele"),
    ("Left arm. MRI. C6 avulsed, with a pseudomeningocele, C7 intact.",
     "imaging.c6 left avulsed; imaging.c7 left intact"),
    # What is excepted from a heading is no talk.
    ("All that follows is of the right arm unless I expressly say otherwise, there was wasting of "
     "the deltoid.", "wasting.deltoid right present"),
    ("Unless otherwise stated this is the left arm, deltoid three.", "power.deltoid left 3"),
    # No contraction beside a grade.
    ("Left arm. Deltoid zero, without any contraction to the palpation.",
     "power.deltoid left 0; contraction.deltoid left absent"),
    ("Left hand. Palmars two, dorsals three.",
     "power.palmar_interossei left 2; power.dorsal_interossei left 3"),
    # Tried anew in the same sentence, and a grade taken back by its number.
    ("Left arm. Brachioradialis four, ah no, you slipped, pull again, five. Triceps four, no, you "
     "let go, push, five.", "power.brachioradialis left 5; power.triceps_brachii left 5"),
    ("Left arm. Supraspinatus four. Well now, he was guardin'. Try it again. I'll take that four "
     "back, that's a five.", "power.supraspinatus left 5"),
    ("Left arm. Biceps three. No, I take that three back, two.", "power.biceps_brachii left 2"),
    # A no that tells of the movement bidden, before its muscle is named.
    ("Left arm. Brachioradialis five. Turn the palm down. No. Nothing. Pronator teres zero.",
     "power.brachioradialis left 5; power.pronator_teres left 0"),
    ("Left arm. FCU five. Hitchhike for me. No. Nothing there. EPL zero.",
     "power.flexor_carpi_ulnaris left 5; power.extensor_pollicis_longus left 0"),
    ("Left arm. Biceps four. Bend it again. No. Three.", "power.biceps_brachii left 3"),
    ("Left deltoid. Front's a two, middle's a one, back's a nought.",
     "power.deltoid_anterior left 2; power.deltoid_middle left 1; power.deltoid_posterior left 0"),
    # What was there and went away, beside what is there.
    ("Left arm. Above the clavicle there remains a swelling, but the bruising already went away, "
     "there is none.",
     "sign.supraclavicular_swelling left present; sign.supraclavicular_bruising left absent"),
    ("Left arm. There is a ptosis, but the miosis is absent.",
     "sign.ptosis left present; sign.miosis left absent"),
    ("Left arm. There is ptosis and miosis, and anhidrosis absent.",
     "sign.ptosis left present; sign.miosis left present; sign.anhidrosis left absent"),
    ("Left arm. There was a scar in the axilla, winging absent.",
     "sign.scar left present; sign.scapular_winging left absent"),
    ("Left arm. Ptosis, miosis, absent.", "sign.ptosis left absent; sign.miosis left absent"),
    ("Left arm. Swelling above the clavicle, still a little. Present. Bruise, finished. No bruise "
     "there.",
     "sign.supraclavicular_swelling left present; sign.supraclavicular_bruising left absent"),
    ("Left arm. Radial pulse, there is. Scar, there is. Horner, there is none.",
     "pulse.radial left present; sign.scar left present; sign.horner left absent"),
    ("The left shoulder is subluxed. It is also drooped.",
     "sign.shoulder_subluxation left present; sign.shoulder_droop left present"),
    # What was done and what came of it is no supposition.
    ("E: Left arm. If I tug down on the arm there's a gap, so that's a shoulder subluxation, "
     "present.", "sign.shoulder_subluxation left present"),
    ("Left arm. If I hold the scapula, the front one, anterior deltoid, I correct that, it's five.",
     "power.deltoid_anterior left 5"),
    ("Left arm. If you pull on a flail arm you see a gap, that is subluxation, absent in the "
     "normal.", ""),
    ("Left arm. The limb hung turned inwards, in the internally rotated posture one remembers from "
     "the textbooks, and the humeral head had subluxed.",
     "posture.internal_rotation left present; sign.shoulder_subluxation left present"),
    ("In the textbook the C8 goes to the little finger and the C6 goes to the thumb.", ""),
    ("Right arm. Electro, today's print. Ulnar sensory, absent. Dorsal ulnar, reduced. MACN, "
     "normal.",
     "conduction.ulnar right absent; conduction.dorsal_ulnar right reduced; "
     "conduction.macn right normal"),
    ("E: Right arm. Touch. Left is ten. Patch of the deltoid? / P: Ten. / E: Above clavicle, skin "
     "here? / P: Same. / E: Between thumb and pointing finger at the back, the web? / P: Four.",
     "sensation.axillary_regimental_patch right 10; sensation.supraclavicular_territory right 10; "
     "sensation.superficial_radial_first_web right 4"),
    ("Right arm. Sensation. Medial cutaneous of the arm, ten. Medial cutaneous of the forearm, "
     "nine.", "sensation.mbcn_medial_arm right 10; sensation.macn_medial_forearm right 9"),
    # A sign of a grade that is dropped, a word that is changed, a list that a grade heads.
    ("Left hand. ADM two plus. Cancel the plus. FDI three minus, drop the minus.",
     "power.abductor_digiti_minimi left 2; power.dorsal_interosseous_1 left 3"),
    ("Left arm. Sensation. C4 was normal. Kindly change normal to reduced. C5 was normal.",
     "sensation.c4 left reduced; sensation.c5 left normal"),
    ("Right hand. There was no power whatsoever, grade zero, in the following: APB, opponens.",
     "power.abductor_pollicis_brevis right 0; power.opponens_pollicis right 0"),
    ("Right arm. Sensation. Little finger pulp, five. He corrects, four. So four.",
     "sensation.ulnar_little_pulp right 4"),
    ("Left arm. So flicker for ECRL, and ECRB zero.",
     "power.extensor_carpi_radialis_longus left 1; power.extensor_carpi_radialis_brevis left 0"),
    ("Left arm. Supinator, turn the palm up, so no cheating with biceps. Zero.",
     "power.supinator left 0"),
    ("Right arm. FPL five. Of the thumb, short abductor, five. Long abductor four.",
     "power.flexor_pollicis_longus right 5; power.abductor_pollicis_brevis right 5; "
     "power.abductor_pollicis_longus right 4"),
    # A side that is only looked at, and what the patient says is about right.
    ("Right hand. FDI two. ADM two. Left, compare. FDI five, ADM five. Right again. FCU three.",
     "power.dorsal_interosseous_1 right 2; power.abductor_digiti_minimi right 2; "
     "power.dorsal_interosseous_1 left 5; power.abductor_digiti_minimi left 5; "
     "power.flexor_carpi_ulnaris right 3"),
    ("E: Left hand. FCU four. ECU five. EDC five. FDI three. On the right, FDI five too. / E: You "
     "getting any burning? / P: Yeah, that's about right, most nights.",
     "power.flexor_carpi_ulnaris left 4; power.extensor_carpi_ulnaris left 5; "
     "power.extensor_digitorum left 5; power.dorsal_interosseous_1 left 3; "
     "power.dorsal_interosseous_1 right 5; sign.neuropathic_pain left present"),
    # Where a tapped site lies, and an answer that only tells where it went.
    ("E: Left arm. Tapping. And at the elbow, radial tunnel? / P: No, nothing.",
     "sign.percussion.radial_tunnel left absent"),
    ("Left arm. On tapping over the scar in the neck there was a Tinel sign. Tapping in the "
     "supraclavicular fossa was negative.",
     "sign.percussion.other left present; sign.percussion.supraclavicular left absent"),
    ("E: Left arm. Tappin' under the collarbone, where's that go? / P: Whoo. Clean down to my "
     "pinky.", "sign.percussion.infraclavicular left present"),
    ("E: Left arm. A listen above your collarbone. No bruit. And feeling around in there, no "
     "swelling.", "sign.bruit left absent; sign.supraclavicular_swelling left absent"),
    ("Right eyelid's down, and the pupil's smaller that side, miosis, yeah no, I'm happy with "
     "that.", "sign.ptosis right present; sign.miosis right present"),
    # Of others.
    ("Right arm. The last expert, I gather, made the triceps a two. Triceps four.",
     "power.triceps_brachii right 4"),
    ("Right arm. My granddaddy had a wrist drop, got it back in six weeks.", ""),
]  # fmt: skip


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_what_is_amended_or_only_coloured(said: str, expected: str) -> None:
    made = extract(dialogue(said), LEXICON, Settings())
    assert stated(made) == {one.strip() for one in expected.split(";") if one.strip()}
    assert not by_rules(made)
