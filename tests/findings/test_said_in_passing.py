"""Second sides, glosses, verdicts and names said in passing; common practice, no source."""

import pytest
from builders import standing_of, stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # The second of two sides, with nothing new said of it, or with a value of its own.
    ("The biceps jerk is brisk on the right, and on the left come to that.",
     "reflex.biceps right brisk; reflex.biceps left brisk"),
    ("Hoffmann's negative on the left, on the right too.",
     "sign.hoffmann left absent; sign.hoffmann right absent"),
    ("Left arm. Supinator four on the left. And on the right as well.",
     "power.supinator left 4; power.supinator right 4"),
    ("Supinator is three on the left and the right is five.",
     "power.supinator left 3; power.supinator right 5"),
    ("Grip is four on the left, and on the right biceps five.",
     "power.grip left 4; power.biceps_brachii right 5"),
    ("Ptosis on the left, and on the right no ptosis.",
     "sign.ptosis left present; sign.ptosis right absent"),
    ("Left arm. Rhomboids five and five.", "power.rhomboids left 5; power.rhomboids right 5"),
    ("Right. No wasting of deltoid or biceps, and the triceps appeared well preserved on both "
     "sides.",
     "wasting.deltoid right absent; wasting.biceps_brachii right absent; "
     "wasting.triceps_brachii left absent; wasting.triceps_brachii right absent"),
    # "One" after a side or a part, before what is said of it.
    ("Left grip is three. And the right one five.", "power.grip left 3; power.grip right 5"),
    # Where a site or a movement only is told in other words, and how sure it is.
    ("Left arm. Tapping behind the plate, over the scar, so above the clavicle, gives a tingle. "
     "I'd call that uncertain.", "sign.percussion.supraclavicular left uncertain"),
    ("Left arm. Tapping over the scar and above the clavicle, positive in both.",
     "sign.percussion.other left present; sign.percussion.supraclavicular left present"),
    ("Left hand. Little finger abduction, so ADM, three.",
     "power.abductor_digiti_minimi left 3"),
    # Another name was meant.
    ("Left arm. C6, four. I mean C7 is four; C6 is ten.",
     "sensation.c7 left 4; sensation.c6 left 10"),
    # Better than it was thought to be.
    ("Right arm. Biceps three. Grip five. That's better than I thought, biceps is a four.",
     "power.biceps_brachii right 4; power.grip right 5"),
    # The name behind the value.
    ("Left arm. Shrug for me. The right is five, that's the upper trapezius. Deltoid two.",
     "power.trapezius_upper right 5; power.deltoid right 2"),
    # Denied behind its name, or only told where a sign was.
    ("Right arm. Neuropathic pain, denies. Biceps five.",
     "sign.neuropathic_pain right absent; power.biceps_brachii right 5"),
    ("Left arm. Reflexes. Left ankle brisk. Clonus, six beats at the left ankle, so present.",
     "reflex.ankle left brisk; sign.clonus left present"),
    ("Left arm. Clavicle looks fine. No scar.",
     "sign.clavicle_deformity left absent; sign.scar left absent"),
    ("Right arm. Biceps, zero. Grip five. Biceps palpated, no contraction.",
     "power.biceps_brachii right 0; power.grip right 5; contraction.biceps_brachii right absent"),
    ("Right. There's not much left of the deltoid. The forearm hasn't wasted, well, "
     "brachioradialis has, to be honest.",
     "wasting.deltoid right present; wasting.brachioradialis right present"),
    ("Left arm. Passive range at the elbow is full both ways, flexion and extension.",
     "range.elbow_flexion left full; range.elbow_extension left full"),
    # Fingertips that are bent, and a finger that is spread, are no skin.
    ("Right hand. FPL four. Index finger tip, three. Little finger tip, bend. Two plus.",
     "power.flexor_pollicis_longus right 4; power.flexor_digitorum_profundus_radial right 3; "
     "power.flexor_digitorum_profundus_ulnar right 2+"),
    ("Right hand. FPL four. Now sensation. Index finger tip, eight.",
     "power.flexor_pollicis_longus right 4; sensation.median_index_pulp right 8"),
    ("Left hand. Spread. First dorsal interosseous four. Pinky three.",
     "power.dorsal_interosseous_1 left 4; power.abductor_digiti_minimi left 3"),
    # Habits, praise and orders that teach nothing; what is supposed, and what was written before.
    ("Left arm. Eyes first, since I always forget: no ptosis.", "sign.ptosis left absent"),
    ("Left arm. The arm hangs turned inwards, the classic posture.",
     "posture.internal_rotation left present"),
    ("Right. The film that I arranged showed a raised right hemidiaphragm.",
     "sign.hemidiaphragm right present"),
    ("In a complete lower trunk palsy you'd find the interossei zero and the grip one.", ""),
    ("We'll do the deltoid next time when your fracture has settled.", ""),
    ("Right arm. At six weeks, elsewhere, they wrote biceps two.", ""),
    ("Left arm. Superficial flexors of the fingers three.",
     "power.flexor_digitorum_superficialis left 3"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_what_is_said_in_passing(said: str, expected: str) -> None:
    made = extract(transcript(said), LEXICON, Settings())
    found = stated(made)
    assert found == {row for row in expected.split("; ") if row}


def test_a_patients_own_muscle_is_no_answer() -> None:
    said = (
        "examiner: So a kick to the inside of the right elbow, forty days ago.",
        "patient: My coach says my triceps is like a two.",
    )
    assert not standing_of(extract(transcript(*said), LEXICON, Settings()))
