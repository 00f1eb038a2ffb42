"""What carries on from sentence to sentence: corrections, denials, answers and broken-off words."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def read(*lines: str) -> dict[str, str]:
    """The findings that stand, each as "item side"."""
    made = extract(transcript(*lines), LEXICON, Settings(side="none"))
    gone = {f.corrects for f in made.findings}
    return {f"{f.item} {f.side}": f.value for f in made.findings if f.finding_id not in gone}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Left biceps three. Sorry, that was the right biceps.",
         {"power.biceps_brachii right": "3"}),
        ("Right brachialis two, no, that's the left brachialis.", {"power.brachialis left": "2"}),
        ("Left biceps jerk absent. Sorry, triceps jerk.", {"reflex.triceps left": "absent"}),
        ("Left biceps four. Sorry, now brachialis. Three.",
         {"power.biceps_brachii left": "4", "power.brachialis left": "3"}),
        ("Tinel positive over the right axilla. Sorry, spiral groove.",
         {"sign.percussion.spiral_groove right": "present"}),
        ("Tinel positive over the right axilla, sorry, spiral groove.",
         {"sign.percussion.spiral_groove right": "present"}),
        ("Triceps jerk on the right absent. No, it's there.", {"reflex.triceps right": "normal"}),
        ("Winging on the left. No, it's not there.", {"sign.scapular_winging left": "absent"}),
        ("Right deltoid is wasted. No, bulk is normal.", {"wasting.deltoid right": "absent"}),
        ("Triceps jerk normal on the left. No, nothing else.", {"reflex.triceps left": "normal"}),
        ("Left triceps jerk reduced. Let me do that again. It's absent.",
         {"reflex.triceps left": "absent"}),
        ("Left triceps, no, that's weaker, a three.", {"power.triceps_brachii left": "3"}),
    ],
)  # fmt: skip
def test_the_next_sentence_puts_right(said: str, found: dict[str, str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Right eye. There is no ptosis. Nor did I see any miosis.",
         {"sign.ptosis right": "absent", "sign.miosis right": "absent"}),
        ("Left arm. No clonus, nor could I find any wasting of the deltoid.",
         {"sign.clonus left": "absent", "wasting.deltoid left": "absent"}),
        ("On the left. Neither fullness nor bruising in the supraclavicular fossa.",
         {"sign.supraclavicular_swelling left": "absent",
          "sign.supraclavicular_bruising left": "absent"}),
        ("Left arm. Nothing wasted in the deltoid, the biceps hollow.",
         {"wasting.deltoid left": "absent", "wasting.biceps_brachii left": "present"}),
        ("Left arm. Neither the triceps nor the supinator jerk was there.",
         {"reflex.triceps left": "absent", "reflex.brachioradialis left": "absent"}),
        ("Left arm. The biceps and the triceps jerk are absent.",
         {"reflex.biceps left": "absent", "reflex.triceps left": "absent"}),
        ("Left arm. The biceps is four and the triceps jerk is absent.",
         {"power.biceps_brachii left": "4", "reflex.triceps left": "absent"}),
    ],
)  # fmt: skip
def test_denials_go_on(said: str, found: dict[str, str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("The left triceps is... sorry, someone's at the door... is three plus.",
         {"power.triceps_brachii left": "3+"}),
        ("Supinator jerk on the left, sorry, that was my phone. Absent.",
         {"reflex.brachioradialis left": "absent"}),
        ("Hoffmann on the left was positive last time. Today it's negative.",
         {"sign.hoffmann left": "absent"}),
        ("If you find the biceps weak but the deltoid five, suspect a nerve. Left biceps five.",
         {"power.biceps_brachii left": "5"}),
        ("If he recovers we will be pleased, but his left triceps is zero.",
         {"power.triceps_brachii left": "0"}),
        ("When I tap over the left spiral groove, he gets nothing, so Tinel's negative.",
         {"sign.percussion.spiral_groove left": "absent"}),
        ("I'm tempted to call it a two for the right triceps, or am I fooling myself?",
         {"power.triceps_brachii right": "2"}),
    ],
)  # fmt: skip
def test_talk_breaks_off_and_goes_on(said: str, found: dict[str, str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Left pronator teres is four. So too is FCR. FDS idem.",
         {"power.pronator_teres left": "4", "power.flexor_carpi_radialis left": "4",
          "power.flexor_digitorum_superficialis left": "4"}),
        ("On the right triceps and brachialis are all threes, bar the triceps. That one's a two.",
         {"power.brachialis right": "3", "power.triceps_brachii right": "2"}),
        ("Right arm. Deltoid on this side two.", {"power.deltoid right": "2"}),
        ("Deltoid in three parts on the right. Anterior, middle zero. Posterior alone gets a two.",
         {"power.deltoid_anterior right": "0", "power.deltoid_middle right": "0",
          "power.deltoid_posterior right": "2"}),
        ("Left deltoid wasted. Going round the back, left supraspinatus is wasted.",
         {"wasting.deltoid left": "present", "wasting.supraspinatus left": "present"}),
        ("Right elbow short of thirty degrees of passive flexion.",
         {"range.elbow_flexion right": "reduced"}),
    ],
)  # fmt: skip
def test_words_lean_on_what_was_named(said: str, found: dict[str, str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        (("Left triceps jerk absent, biceps jerk normal. The same two on the right: both there?",),
         {"reflex.triceps left": "absent", "reflex.biceps left": "normal"}),
        (("Right deltoid three, biceps four. Same two muscles over on the left: five, four plus.",),
         {"power.deltoid right": "3", "power.biceps_brachii right": "4",
          "power.deltoid left": "5", "power.biceps_brachii left": "4+"}),
        (("Left triceps jerk absent, biceps jerk normal. Same two on the right: normal, brisk.",),
         {"reflex.triceps left": "absent", "reflex.biceps left": "normal",
          "reflex.triceps right": "normal", "reflex.biceps right": "brisk"}),
        (("The left infraspinatus is wasted. The same cannot be said of the supraspinatus, normal "
          "bulk.",),
         {"wasting.infraspinatus left": "present", "wasting.supraspinatus left": "absent"}),
        (("Left thumb. Nothing to see there.",), {}),
    ],
)  # fmt: skip
def test_counted_again_and_contrary(said: tuple[str, ...], found: dict[str, str]) -> None:
    assert read(*said) == found


@pytest.mark.parametrize(
    ("turns", "found"),
    [
        (("Any burning pain in the left arm?", "No.", "Not at all?", "Oh yes, at night."),
         {"sign.neuropathic_pain left": "present"}),
        (("Any burning pain in the left arm?", "No.", "Are you sure?", "Yes."),
         {"sign.neuropathic_pain left": "absent"}),
        (("Left thumb, out of ten?", "Six.", "Really?", "A seven."), {"sensation.c6 left": "7"}),
        (("Left thumb, out of ten?", "Six.", "Are you sure?", "Yes."), {"sensation.c6 left": "6"}),
        (("Do you get burning or stabbing pain in the right arm?", "Yes, every night."),
         {"sign.neuropathic_pain right": "present"}),
        (("Over the left cubital tunnel, does this tingle?", "No.", "And if I tap harder?", "Yes."),
         {"sign.percussion.cubital_tunnel left": "present"}),
        (("Tinel in the left axilla. Anything?", "No. Yes, there."),
         {"sign.percussion.axilla left": "present"}),
        (("Outer border of the right forearm. Score out of ten?", "Four.",
          "Inner border of the same forearm?", "Nine."),
         {"sensation.lacn_lateral_forearm right": "4", "sensation.macn_medial_forearm right": "9"}),
        (("Right thumb? Out of ten.", "My cousin had three of these.", "Carry on.", "Six."),
         {"sensation.c6 right": "6"}),
    ],
)  # fmt: skip
def test_answers_that_change(turns: tuple[str, ...], found: dict[str, str]) -> None:
    who = ("examiner", "patient") * len(turns)
    assert read(*(f"{w}: {t}" for w, t in zip(who, turns, strict=False))) == found
