"""What stands behind the name it is said of, or only looks like a name or a grade: denials,
levels that head muscles, fingers that are moved, arms that are turned to."""

import pytest
from builders import standing_of, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.findings.model import Extraction
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def extracted(said: str) -> Extraction:
    return extract(transcript(*said.split(" | ")), LEXICON, Settings(side="right"))


def read(said: str) -> str:
    found = standing_of(extracted(said))
    return "; ".join(f"{f.item} {f.side[0]} {f.value}" for f in found)


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Right arm. Ptosis he has not. Clonus she hasn't.",
         "sign.ptosis r absent; sign.clonus r absent"),
        ("Right arm. Winging I cannot find, and a droop we could not see either.",
         "sign.scapular_winging r absent; sign.shoulder_droop r absent"),
        ("Right arm. Winging is absent, a droop he has.",
         "sign.scapular_winging r absent; sign.shoulder_droop r present"),
        ("Right arm. Deltoid is not wasted, triceps also not.",
         "wasting.deltoid r absent; wasting.triceps_brachii r absent"),
        ("Right arm. The hypothenar is wasted, and the thenar's not.",
         "wasting.hypothenar r present; wasting.thenar r absent"),
        ("Right arm. Biceps isn't wasted, deltoid neither.",
         "wasting.biceps_brachii r absent; wasting.deltoid r absent"),
        ("Right arm. Biceps bulk. Normal. Deltoid bulk... can't make up my mind. Uncertain.",
         "wasting.biceps_brachii r absent; wasting.deltoid r uncertain"),
        ("Right arm. Grip five. Teres minor I'm not going to get out of you. Supinator I won't "
         "test.", "power.grip r 5; power.teres_minor r not_tested; power.supinator r not_tested"),
    ],
)  # fmt: skip
def test_a_denial_behind_its_name(said: str, found: str) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Right arm. At C6, biceps and ECRL, five again. C7 likewise: triceps five.",
         "power.biceps_brachii r 5; power.extensor_carpi_radialis_longus r 5; "
         "power.triceps_brachii r 5"),
        ("Right arm. Myotomes. C5 five. C7, triceps, three. C8 two.",
         "power.c5 r 5; power.triceps_brachii r 3; power.c8 r 2"),
        ("Right arm. Power. C5 and biceps five.", "power.c5 r 5; power.biceps_brachii r 5"),
        ("Right arm. APB four plus, so the T1 end of the hand is better. Grip four.",
         "power.abductor_pollicis_brevis r 4+; power.grip r 4"),
        ("Right arm. Sensation. C5 to C7 at every level zero.",
         "sensation.c5 r 0; sensation.c6 r 0; sensation.c7 r 0"),
    ],
)  # fmt: skip
def test_a_level_that_heads_muscles(said: str, found: str) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Right hand. Little finger out to the side, go on, nothing, ADM nought.",
         "power.abductor_digiti_minimi r 0"),
        ("Right hand. Abductor of the little finger five, opponens of the thumb four.",
         "power.abductor_digiti_minimi r 5; power.opponens_pollicis r 4"),
        ("Right arm. Grip five. | Now the other side, the left one. Grip four, deltoid three.",
         "power.grip r 5; power.grip l 4; power.deltoid l 3"),
        ("Right arm. Grip. Right two. The left one.", "power.grip r 2; power.grip l 1"),
        ("Left arm. Biceps three, APB two. | Right arm, same roots, spot check. Biceps five.",
         "power.biceps_brachii l 3; power.abductor_pollicis_brevis l 2; power.biceps_brachii r 5"),
        ("Right arm. Grip five. | I wrote on the supinator, and not one soul read it.",
         "power.grip r 5"),
        ("Right. Tapping above the clavicle, nothing, and the radial pulse is present.",
         "sign.percussion.supraclavicular r absent; pulse.radial r present"),
        ("Right arm. Where's my hammer. Biceps two plus, triceps two plus.",
         "reflex.biceps r normal; reflex.triceps r normal"),
        ("Right arm. Grip five. | I had a chief who graded every deltoid as four.",
         "power.grip r 5"),
    ],
)  # fmt: skip
def test_what_is_no_name_or_no_grade(said: str, found: str) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Right hand. The lumbricals, keep the fingers straight, two.",
         "power.lumbricals_1_2 r 2; power.lumbricals_3_4 r 2"),
        ("Right hand. The lumbricals, the ring and little ones, bend the knuckles, nought.",
         "power.lumbricals_3_4 r 0"),
        ("Right arm. ADM zero, and is there a twitch under my finger, there isn't, so no "
         "contraction in ADM.",
         "power.abductor_digiti_minimi r 0; contraction.abductor_digiti_minimi r absent"),
        ("Right arm. Lift the arm out to the side. Two. No, you're leaning. Again. That's a one. "
         "Supraspinatus one.", "power.supraspinatus r 1"),
        ("Right arm. Biceps four. No, you're leaning. Again. That's a three.",
         "power.biceps_brachii r 3"),
        ("Right arm. EPL flicker. It was the pulse, no, it is zero. APB two.",
         "power.extensor_pollicis_longus r 0; power.abductor_pollicis_brevis r 2"),
        ("Right. Sensation. Index pulp five, thumb pulp ten. | Once more for the index pulp, and "
         "it's a four, same as he said before.",
         "sensation.median_thumb_pulp r 10; sensation.median_index_pulp r 4"),
    ],
)  # fmt: skip
def test_a_grade_behind_what_was_bidden(said: str, found: str) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    "said",
    [
        "Right arm. Rhomboids, which I always feel, because the trapezius can deceive, five.",
        "Right arm. Rhomboids, those sit where they should be, and they look it, five.",
        "Right arm. Rhomboids, which hardly anybody tests, because they forget, a five.",
    ],
)
def test_a_grade_behind_what_is_taught_is_asked_about(said: str) -> None:
    assert read(said) == "power.rhomboids r 5"
    assert [q.kind for q in extracted(said).questions] == ["commentary"]
