"""Words looked for, earlier visits, other beds, what a tap may do; common practice, no source."""

import pytest
from builders import stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # An earlier visit by its month, season or feast.
    ("Right arm. Supinator three. At her April review the supinator was nought.",
     "power.supinator right 3"),
    ("Right arm. Supinator three. At the Easter clinic it was one and the biceps was two.",
     "power.supinator right 3"),
    ("Right grip four. On the ward they'd written grip two.", "power.grip right 4"),
    # The patient of another bed.
    ("Left grip three. Bed nine's triceps was zero this morning.", "power.grip left 3"),
    # What a tap may do is no answer yet.
    ("Right arm. I tap over the elbow now, this might shoot to the little finger.", ""),
    # Reflexes by the adjectives of their muscles, and words that are looked for.
    ("Left arm. Reflexes. Tricipital absent, bicipital brisk.",
     "reflex.triceps left absent; reflex.biceps left brisk"),
    ("The left styloradial reflex is absent.", "reflex.brachioradialis left absent"),
    ("Left arm. The thumb muscle, how do you call it, abductor pollicis brevis, two.",
     "power.abductor_pollicis_brevis left 2"),
    ("Left subscapular muscle three.", "power.subscapularis left 3"),
    ("Left triceps four when I held the elbow with my own hand.", "power.triceps_brachii left 4"),
    # What normal is, shown on the good arm.
    ("Right grip two. So you can see what normal is, left grip five.",
     "power.grip right 2; power.grip left 5"),
    # A grade told again as given waits for the one that replaces it; so does a name.
    ("Right arm. Grip three. Supinator five. I'll change one thing. The grip, I gave it three, "
     "call it three plus.",
     "power.grip right 3+; power.supinator right 5"),
    ("Left arm. Elbow flexion four. Elbow extension five. I wrote elbow flexion four. With the "
     "forearm supinated it's four plus.",
     "power.elbow_flexion left 4+; power.elbow_extension left 5"),
    ("Left arm. Wrist extension two. Elbow flexion four. Elbow extension five. I gave the "
     "wrist extension two. With the elbow supported it's three.",
     "power.wrist_extension left 3; power.elbow_flexion left 4; power.elbow_extension left 5"),
    # Directions behind what was asked.
    ("Left arm. Wrist down, flexion five. Fingers straight, extension three.",
     "power.wrist_flexion left 5; power.finger_extension left 3"),
    ("Right arm. Straighten your elbow, extension two.", "power.elbow_extension right 2"),
    # A denial of bulk carried on without a verb.
    ("Right arm. No atrophy of the deltoid. Nor of the trapezius, nor the infraspinatus.",
     "wasting.deltoid right absent; wasting.trapezius right absent; "
     "wasting.infraspinatus right absent"),
    ("Right arm. Deltoid's wasted. Trapezius bulk's fine, supraspinatus too.",
     "wasting.deltoid right present; wasting.trapezius right absent; "
     "wasting.supraspinatus right absent"),
    # A hand that only carries the other arm.
    ("Right arm. He nursed it in the other hand like a baby, and there was marked wasting of the "
     "deltoid and of the biceps. The trapezius was of normal bulk.",
     "wasting.deltoid right present; wasting.biceps_brachii right present; "
     "wasting.trapezius right absent"),
    ("Right arm. She supports the elbow with her left hand. Deltoid two.", "power.deltoid right 2"),
    ("Right arm. Nothing to see above the clavicle, no bruising, and no swelling.",
     "sign.supraclavicular_bruising right absent; sign.supraclavicular_swelling right absent"),
    # Degrees, and then the word in a sentence of its own.
    ("Left arm. Passive elbow extension, minus thirty degrees. Reduced. Triceps five.",
     "range.elbow_extension left reduced; power.triceps_brachii left 5"),
    ("Left arm. Passive wrist flexion, seventy degrees. Full.", "range.wrist_flexion left full"),
    ("The left arm hangs turned inwards.", "posture.internal_rotation left present"),
]  # fmt: skip


def found(said: str) -> set[str]:
    made = extract(transcript(said), LEXICON, Settings())
    return stated(made)


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_around_the_room(said: str, expected: str) -> None:
    assert found(said) == {one.strip() for one in expected.split(";") if one.strip()}
