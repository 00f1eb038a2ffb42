"""Words looked for, earlier visits, other beds, what a tap may do; common practice, no source."""

import pytest
from builders import transcript

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
]  # fmt: skip


def found(said: str) -> set[str]:
    made = extract(transcript(said), LEXICON, Settings())
    gone = {f.corrects for f in made.findings} | set(made.withdrawn)
    return {f"{f.item} {f.side} {f.value}" for f in made.findings if f.finding_id not in gone}


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_around_the_room(said: str, expected: str) -> None:
    assert found(said) == {one.strip() for one in expected.split(";") if one.strip()}
