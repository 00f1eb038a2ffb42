"""What the next sentence says of a name, values first, parts of fingers, who is only blamed, and
words that only seem to be values; common practice, no source."""

import pytest
from builders import standing_of, stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

PULPS = "sensation.median_index_pulp left 4; sensation.ulnar_little_pulp left 9"

SAID = [
    # A sign named alone, and told of in the next sentence.
    ("Left arm. Horner's. Absent.", "sign.horner left absent"),
    ("Left arm. Ptosis. None. Miosis. No.", "sign.ptosis left absent; sign.miosis left absent"),
    ("Bruit, left. Nil.", "sign.bruit left absent"),
    ("Winging, left. Can't see any.", "sign.scapular_winging left absent"),
    ("Scar on the left. Yes. Clawing on the left. No.",
     "sign.scar left present; posture.intrinsic_minus left absent"),
    ("Thenar wasting, left. None.", "wasting.thenar left absent"),
    ("Left arm. There is winging. None of it is new.", "sign.scapular_winging left present"),
    ("Left arm. Winging. No, wait. Yes there is.", "sign.scapular_winging left present"),
    # Answers said before their sides, and values for either side one after the other.
    ("Scars. None right, none left.", "sign.scar right absent; sign.scar left absent"),
    ("Scars. None on the left. None on the right.",
     "sign.scar right absent; sign.scar left absent"),
    ("EIP. Three left. Five right.",
     "power.extensor_indicis left 3; power.extensor_indicis right 5"),
    ("I give the right first and then the left. Radial pulse. Present, absent. FCU. Five, four.",
     "pulse.radial right present; pulse.radial left absent; "
     "power.flexor_carpi_ulnaris right 5; power.flexor_carpi_ulnaris left 4"),
    ("I say left first, then right. Froment. Positive, negative.",
     "sign.froment left present; sign.froment right absent"),
    # Looked for, and found or not.
    ("I listened over the left clavicle for a bruit and didn't hear one.",
     "sign.bruit left absent"),
    ("Left arm. I looked for a scar but could not find one.", "sign.scar left absent"),
    ("On the left I felt for a pulse and found one.", "pulse.radial left present"),
    # What is not so of the next name either.
    ("Left arm. The biceps was wasted. The triceps was not, and neither was the deltoid.",
     "wasting.biceps_brachii left present; wasting.triceps_brachii left absent; "
     "wasting.deltoid left absent"),
    ("Left hand. The thenar isn't wasted, mind, and neither's the hypothenar.",
     "wasting.thenar left absent; wasting.hypothenar left absent"),
    ("Left arm. No ptosis, and miosis neither.",
     "sign.ptosis left absent; sign.miosis left absent"),
    ("So he has a left Horner's syndrome. There is none on the right.",
     "sign.horner left present; sign.horner right absent"),
    ("Left palmaris, cannot feel one, not tested.", "power.palmaris_longus left not_tested"),
    # A value before its names, with a colon or "also".
    ("On the left, four for each of the following: FCR, FCU.",
     "power.flexor_carpi_radialis left 4; power.flexor_carpi_ulnaris left 4"),
    ("Left arm. Five for the whole lot of these: trapezius, rhomboids and serratus.",
     "power.trapezius left 5; power.rhomboids left 5; power.serratus_anterior left 5"),
    ("Left arm. Zero: biceps, brachialis. Also the supinator. FPL one.",
     "power.biceps_brachii left 0; power.brachialis left 0; power.supinator left 0; "
     "power.flexor_pollicis_longus left 1"),
    ("Left arm. Zero for the biceps. Also triceps. Three.",
     "power.biceps_brachii left 0; power.triceps_brachii left 3"),
    # A muscle that is only felt for another, and a score that was guessed.
    ("Left trapezius five. Rhomboids a one, no, that's just trapezius, so rhomboids zero.",
     "power.trapezius left 5; power.rhomboids left 0"),
    ("Left deltoid two. Supraspinatus one, no, that is only the deltoid, so supraspinatus nought.",
     "power.deltoid left 2; power.supraspinatus left 0"),
    ("Left arm, sensation out of ten. C5. Two. No, he guesses. Zero.", "sensation.c5 left 0"),
    # Parts of fingers set off by a pause.
    ("Left hand, touch out of ten. And the pulps, index and little, four and nine.", PULPS),
    ("Left hand, touch out of ten. Index, on the pulp, four. Little finger, at the tip, nine.",
     PULPS),
    ("Left hand, touch out of ten. Back of the hand, in the web by the thumb, six.",
     "sensation.superficial_radial_first_web left 6"),
    # Hands that are only in the way, and an examiner's own.
    ("Left biceps zero, and I've a thumb on the belly and there's no contraction.",
     "power.biceps_brachii left 0; contraction.biceps_brachii left absent"),
    ("EPL. Right three. Left not tested, there's a bandage on that thumb.",
     "power.extensor_pollicis_longus right 3; power.extensor_pollicis_longus left not_tested"),
    # Words that are no value where they stand.
    ("Left APB, I can beat it dead easy. Four minus.", "power.abductor_pollicis_brevis left 4-"),
    ("The left thenar is wasted. Little finger side's fine.", "wasting.thenar left present"),
    # What was feared, and what it came to.
    ("Left hand. I did FPL in case it was the anterior interosseous, and that's a five.",
     "power.flexor_pollicis_longus left 5"),
    ("Left hand. Turn your palm to the floor, pronator teres, that's a five as well.",
     "power.pronator_teres left 5"),
    # The place goes on.
    ("Left clavicle deformed. Above it swelling, yes. Bruising, no.",
     "sign.clavicle_deformity left present; sign.supraclavicular_swelling left present; "
     "sign.supraclavicular_bruising left absent"),
]  # fmt: skip


def found(*said: str) -> set[str]:
    made = extract(transcript(*said), LEXICON, Settings())
    return stated(made)


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_told_next(said: str, expected: str) -> None:
    assert found(said) == {one.strip() for one in expected.split(";")}


@pytest.mark.parametrize(
    ("said", "scale"),
    [
        ("Left arm, sensation nought to two, not out of ten. C5 one. C6 two.", "isncsci"),
        ("Left arm, the ASIA scale rather than the usual zero to ten. C5 one. C6 two.", "isncsci"),
        ("Left arm, sensation out of ten, not the zero to two. C5 one. C6 two.", "ten"),
    ],
)
def test_a_scale_that_is_denied_is_not_in_use(said: str, scale: str) -> None:
    made = extract(transcript(said), LEXICON, Settings())
    assert {f.scale for f in standing_of(made)} == {scale}


def test_a_sign_heard_in_other_words_is_asked_about() -> None:
    made = extract(transcript("Left EPL three, a drip is taped to his thumb."), LEXICON, Settings())
    asked = [q for q in made.questions if q.item == "sign.ptosis"]
    assert len(asked) == sum(f.item == "sign.ptosis" for f in made.findings)


def test_a_lone_right_turns_the_whole_list() -> None:
    said = ["Left arm.", "Biceps zero. Interossei zero.", "Right.", "Triceps, interossei, five."]
    assert {"power.triceps_brachii right 5", "power.dorsal_interossei right 5"} <= found(*said)


@pytest.mark.parametrize(
    ("said", "key", "value"),
    [
        ("Left grip four, and it's the pain that's holding her back.", "limited_by", "pain"),
        ("Left carpal tunnel Tinel positive, sends tingling into me middle finger.",
         "radiates_to", "middle finger"),
    ],
)  # fmt: skip
def test_details_in_plain_words(said: str, key: str, value: str) -> None:
    made = extract(transcript(said), LEXICON, Settings())
    assert [f.detail.get(key) for f in standing_of(made)] == [value]
