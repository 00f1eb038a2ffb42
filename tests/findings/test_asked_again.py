"""What was just answered, asked again of the other side or with the pin; degrees without a word."""

import pytest
from builders import standing_of, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings


def found(*said: str) -> set[str]:
    made = extract(transcript(*said), load_lexicon(), Settings(side="right"))
    return {
        " ".join([f.item, f.side, f.value, f.detail.get("modality", "")]).strip()
        for f in standing_of(made)
    }


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            (
                "examiner: Sensation out of ten. Thumb on the right?",
                "patient: Seven.",
                "examiner: And on the left?",
                "patient: Ten.",
            ),
            {"sensation.c6 right 7", "sensation.c6 left 10"},
        ),
        (
            (
                "examiner: If I tap just under the collarbone on the right, anything?",
                "patient: Yes.",
                "examiner: And on the left?",
                "patient: Nah.",
            ),
            {
                "sign.percussion.infraclavicular right present",
                "sign.percussion.infraclavicular left absent",
            },
        ),
        (
            (
                "examiner: Out of ten, outside of the forearm?",
                "patient: Seven.",
                "examiner: And with the pin, same spot?",
                "patient: Five.",
            ),
            {
                "sensation.lacn_lateral_forearm right 7 touch",
                "sensation.lacn_lateral_forearm right 5 pin",
            },
        ),
        (
            (
                "examiner: Light touch now. T1 is seven. Back of the forearm, is it normal?",
                "patient: No. It's dull there.",
            ),
            {"sensation.t1 right 7 touch", "sensation.posterior_forearm right reduced touch"},
        ),
        (
            ("examiner: Out of ten, pulp of the thumb?", "patient: Same as my left hand."),
            {"sensation.median_thumb_pulp right 10"},
        ),
        (
            ("examiner: Out of ten, pulp of the index?", "patient: Just like the left."),
            {"sensation.median_index_pulp right 10"},
        ),
        (
            ("Tinel at the wrist on the right, positive. On the left, negative.",),
            {
                "sign.percussion.carpal_tunnel right present",
                "sign.percussion.carpal_tunnel left absent",
            },
        ),
        (
            ("Triceps jerk is normal both sides, and so's the supinator.",),
            {
                "reflex.triceps left normal",
                "reflex.triceps right normal",
                "reflex.brachioradialis left normal",
                "reflex.brachioradialis right normal",
            },
        ),
        (
            ("Passive abduction, reduced, around one-ten.",),
            {"range.shoulder_abduction right reduced"},
        ),
        (
            ("Passive range was full in elbow extension, and finger extension was reduced.",),
            {"range.elbow_extension right full", "range.finger_extension right reduced"},
        ),
        (
            ("Spread the fingers, five on the first dorsal interosseous.",),
            {"power.dorsal_interosseous_1 right 5"},
        ),
        (
            ("Deltoid five at the front, three at the side, two at the back.",),
            {
                "power.deltoid_anterior right 5",
                "power.deltoid_middle right 3",
                "power.deltoid_posterior right 2",
            },
        ),
        (("Deltoid itself, tested low at the side, five.",), {"power.deltoid right 5"}),
        (
            ("The right deltoid is four. The left one's a five.",),
            {"power.deltoid right 4", "power.deltoid left 5"},
        ),
        (("Goal by the summer: deltoid three, triceps two.",), set()),
    ],
)
def test_second_questions_and_shortened_words_are_read(
    said: tuple[str, ...], expected: set[str]
) -> None:
    assert found(*said) == expected
