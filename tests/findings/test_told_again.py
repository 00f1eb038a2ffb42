"""Values told again, taken back by name, or told of parts and pairs; common practice, no source."""

import pytest
from builders import stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # What is only told of a sign, or of the order of an examination.
    ("Right arm. Hoffmann described the sign over a century ago, flicking the nail.", ""),
    ("Right arm. I'd usually test the biceps jerk next, but the plaster's in the way.", ""),
    # Looked at again, and told with "I would make it".
    ("Left hand. FPB two. Again please. Better, so three.",
     "power.flexor_pollicis_brevis left 3"),
    ("Right arm. Supinator three. Let me see it again. I would make it a three plus.",
     "power.supinator right 3+"),
    ("Right arm. Brachialis, I would give it a four.", "power.brachialis right 4"),
    # A clause that finds nothing, before the verb of what it describes.
    ("Left arm. The supinator, which ought to come back first, was two.",
     "power.supinator left 2"),
    ("Left arm. The biceps jerk, which she could never feel herself, was normal.",
     "reflex.biceps left normal"),
    ("Left arm. The brachialis, which I took after the opposite arm, was three.",
     "power.brachialis left 3"),
    # Which of them, and no grade.
    ("Right. The pulse down here, the radial one, is present.",
     "pulse.radial right present"),
    # The other side, after urging; a sign of either side.
    ("Grip, right five, and left, go on, left two.", "power.grip right 5; power.grip left 2"),
    ("Pulse at the radial. Right reduced. Left present.",
     "pulse.radial right reduced; pulse.radial left present"),
    ("Right arm. Passive range. The elbow straightens fully.", "range.elbow_extension right full"),
    # A grade named to be taken back, before or behind the one that stands.
    ("Right arm. Deltoid two. Supinator four. Deltoid is two plus, scratch the two.",
     "power.deltoid right 2+; power.supinator right 4"),
    ("Right arm. Deltoid two. Supinator four. Cross out that two, deltoid is three.",
     "power.deltoid right 3; power.supinator right 4"),
    ("Right arm. Supinator four, grip three. Ignore the three.",
     "power.supinator right 4"),
    ("Left arm. EPL one. EDC two. EPL is two minus, amended.",
     "power.extensor_pollicis_longus left 2-; power.extensor_digitorum left 2"),
    ("I have the left brachialis down as four here; it ought to read three.",
     "power.brachialis left 3"),
    # Told once more far from where it was found, and put right there.
    ("Right arm. Grip two. Supinator four. APL five. EPB five. I had the grip at two, no, I'd put "
     "it at two plus.",
     "power.grip right 2+; power.supinator right 4; power.abductor_pollicis_longus right 5; "
     "power.extensor_pollicis_brevis right 5"),
    ("Right arm. Deltoid four. Supinator four. APL five. The deltoid, that I gave four, "
     "make it five.",
     "power.deltoid right 5; power.supinator right 4; power.abductor_pollicis_longus right 5"),
    ("Right arm. Biceps four minus. Grip five. Reflexes. Triceps brisk. Back to the biceps. It was "
     "four minus.",
     "power.biceps_brachii right 4-; power.grip right 5; reflex.triceps right brisk"),
    # The grade that stands is said over again, only to be put right.
    ("Right arm. Supinator three. Grip five. One change: supinator I put at three, make it two.",
     "power.grip right 5; power.supinator right 2"),
    ("Right arm. Brachialis four minus. Grip five. Let me go back on one, the brachialis. I had it "
     "as four minus. It is really a three.",
     "power.grip right 5; power.brachialis right 3"),
    ("Left arm. EDC two. Grip five. EDC, with the elbow bent, I'd move that from two to "
     "three.",
     "power.grip left 5; power.extensor_digitorum left 3"),
    ("Left arm. FCR four. Grip five. I marked FCR as a four. It is in fact four minus.",
     "power.grip left 5; power.flexor_carpi_radialis left 4-"),
    ("Left arm. FCR four. Grip five. FCR, I was hasty, that is a three, not a four.",
     "power.grip left 5; power.flexor_carpi_radialis left 3"),
    ("Left arm. Triceps four. Reflexes: biceps normal, triceps absent. Triceps: I'd amend that "
     "from four to three plus.",
     "power.triceps_brachii left 3+; reflex.biceps left normal; reflex.triceps left absent"),
    # A contraction told of all that was graded, and a movement that only heads its muscles.
    ("Left arm. Brachialis four, FCR five, and both contract well. Supinator three.",
     "power.brachialis left 4; power.flexor_carpi_radialis left 5; power.supinator left 3; "
     "contraction.brachialis left present; contraction.flexor_carpi_radialis left present"),
    ("Right arm. Supinator nought, EDC nought. None of them contracts.",
     "power.supinator right 0; power.extensor_digitorum right 0; "
     "contraction.supinator right absent; contraction.extensor_digitorum right absent"),
    ("Right arm. Elbow flexors, biceps two, brachialis one. Wrist extension, ECU two.",
     "power.biceps_brachii right 2; power.brachialis right 1; "
     "power.extensor_carpi_ulnaris right 2"),
    ("Right arm. Finger extension four. EDC three.",
     "power.finger_extension right 4; power.extensor_digitorum right 3"),
    # What is left is no side, and a no behind a sound puts right.
    ("Right arm. The bruising above the clavicle's faded, there's none left. Supinator two.",
     "sign.supraclavicular_bruising right absent; power.supinator right 2"),
    ("Left arm. Supinator is four. Oh no, three.", "power.supinator left 3"),
    # Two named last, for the other side.
    ("Right arm. Supinator two. Pronator teres three. Over on the left both are four.",
     "power.supinator right 2; power.supinator left 4; "
     "power.pronator_teres right 3; power.pronator_teres left 4"),
    # A value said before its parts.
    ("Left pec major was three, clavicular and sternal.",
     "power.pectoralis_major_clavicular left 3; power.pectoralis_major_sternocostal left 3"),
    ("Left trapezius four all along, upper and lower.",
     "power.trapezius_upper left 4; power.trapezius_middle_lower left 4"),
    # Bulk in other words, and "too" behind it.
    ("The left infraspinatus is normal in size.", "wasting.infraspinatus left absent"),
    ("Left hand. The thenar eminence is wasted, hypothenar hasn't.",
     "wasting.thenar left present; wasting.hypothenar left absent"),
    ("Left triceps is wasted, anconeus too.",
     "wasting.triceps_brachii left present; wasting.anconeus left present"),
    ("Unsure whether the left trapezius is wasted.", "wasting.trapezius left uncertain"),
    # Passive movement.
    ("Left arm. Passive movements. Elbow flexion is free.", "range.elbow_flexion left full"),
    ("Left arm. If I straighten it myself, passive elbow extension is full.",
     "range.elbow_extension left full"),
    # Pulses as a heading.
    ("Left arm. Biceps jerk brisk, supinator jerk absent. Pulse. Radial good.",
     "reflex.biceps left brisk; reflex.brachioradialis left absent; pulse.radial left present"),
    # A value that only one sign can take does not reach over its pause.
    ("Froment was present on the right and absent on the left, and she forms a perfect O with the "
     "left hand.",
     "sign.froment right present; sign.froment left absent; sign.ok_sign left absent"),
    ("X-ray shows an elevated right hemidiaphragm.", "sign.hemidiaphragm right present"),
    # Felt, and graded.
    ("Right EPL, no contraction, so nought.",
     "contraction.extensor_pollicis_longus right absent; power.extensor_pollicis_longus right 0"),
    # A no that opens the sentence tells why the grade was wrong; the right one comes behind.
    ("Left grip three. No I won't, with the wrist held that's a four.", "power.grip left 4"),
    ("Left FCU two plus. Nope, hang on, he's turning the arm, it's a two.",
     "power.flexor_carpi_ulnaris left 2"),
    ("Left supinator three. No, she's doing it with the biceps. One.", "power.supinator left 1"),
    ("Left finger extension two. Nah, that's his wrist dropping onto a bent thumb. Zero.",
     "power.finger_extension left 0"),
    ("Left APB three. Naw, she's fooling me. Call it two.",
     "power.abductor_pollicis_brevis left 2"),
    ("Left EPL four. Nah. Three.", "power.extensor_pollicis_longus left 3"),
    # ... and puts nothing right here.
    ("Left grip four. No, I'm content with four. FPL five.",
     "power.grip left 4; power.flexor_pollicis_longus left 5"),
    ("Left triceps four. No, don't lean on me. One more. FPL five.",
     "power.triceps_brachii left 4; power.flexor_pollicis_longus left 5"),
    ("Left EPL four. No. Brachialis. Three.",
     "power.extensor_pollicis_longus left 4; power.brachialis left 3"),
    ("Left lats three. I felt them working. I've felt it again, lats two.",
     "power.latissimus_dorsi left 2"),
    # Letters with a verb on them.
    ("Left FDP's four, FDS's five, and the FCU's a three.",
     "power.flexor_digitorum_profundus_radial left 4; "
     "power.flexor_digitorum_profundus_ulnar left 4; "
     "power.flexor_digitorum_superficialis left 5; power.flexor_carpi_ulnaris left 3"),
    ("The plantars were both down-going.",
     "sign.plantar_extensor left absent; sign.plantar_extensor right absent"),
    ("Right arm, raise sideways. Abduction two.", "power.shoulder_abduction right 2"),
    # Named in other words; where the flesh is thin, and where the skin is dull.
    ("Left flexors at the wrist, FCR three, FCU two.",
     "power.flexor_carpi_radialis left 3; power.flexor_carpi_ulnaris left 2"),
    ("Left arm. Wasting over the lateral deltoid.", "wasting.deltoid left present"),
    ("Left arm. Light touch over the lateral deltoid is dull.",
     "sensation.axillary_regimental_patch left reduced"),
    ("Left supraclavicular Tinel negative. Axilla, nah, skipped it.",
     "sign.percussion.supraclavicular left absent; sign.percussion.axilla left not_tested"),
    # Papers, and what others saw.
    ("I've the sheet from casualty here, they had his left triceps down as a two.", ""),
    ("The houseman assessed her and put the left deltoid at two.", ""),
    # No findings.
    ("A positive Tinel, of course, means regeneration.", ""),
    ("I'll look at the eyes for a Horner's.", ""),
    ("Chart from the day of injury, the resident charted left triceps two.", ""),
    ("Royal Free letter 2021, left APB two.", ""),
    ("Over to the two index tendons.", ""),
    ("Left deltoid five. Her pupils are the same size.", "power.deltoid left 5"),
]  # fmt: skip


def found(said: str) -> set[str]:
    made = extract(transcript(said), LEXICON, Settings())
    return stated(made)


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_told_again(said: str, expected: str) -> None:
    assert found(said) == {one.strip() for one in expected.split(";") if one.strip()}


def test_free_without_passive_movement_is_asked() -> None:
    extraction = extract(transcript("Left elbow flexion is free."), LEXICON, Settings())
    assert "doubtful_word" in {q.rule for q in extraction.questions}
