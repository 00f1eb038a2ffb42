"""Findings said in nearly the words by which things are taught, told or supposed."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

SAID = [
    ("I can tell you the deltoid is four.", "power.deltoid=4"),
    ("I can see winging here, and I can tell it from the back.", "sign.scapular_winging=present"),
    ("I can tell from the pupil that there's a Horner's.", "sign.horner=present"),
    ("From the way it moves, triceps is three.", "power.triceps_brachii=3"),
    (
        "Deltoid, biceps and triceps: three, three plus and four minus.",
        "power.deltoid=3 power.biceps_brachii=3+ power.triceps_brachii=4-",
    ),
    (
        "For the deltoid it's three, for the triceps it's four.",
        "power.deltoid=3 power.triceps_brachii=4",
    ),
    ("For the wrist extensors it's three plus.", "power.wrist_extension=3+"),
    ("This is how I test the rhomboids, and it is a four.", "power.rhomboids=4"),
    ("I'd count that as a four for the triceps.", "power.triceps_brachii=4"),
    ("Biceps, that counts as a three.", "power.biceps_brachii=3"),
    ("This is a man whose deltoid is two.", "power.deltoid=2"),
    ("The patient, whose triceps is three, is right handed.", "power.triceps_brachii=3"),
    (
        "Here is a lady whose abductor pollicis brevis is wasted.",
        "wasting.abductor_pollicis_brevis=present",
    ),
    ("Per the protocol I start at the shoulder: deltoid four.", "power.deltoid=4"),
    ("As per the protocol, deltoid four, biceps three.", "power.deltoid=4 power.biceps_brachii=3"),
    ("What I find is a triceps of four.", "power.triceps_brachii=4"),
    ("What he has is triceps of four.", "power.triceps_brachii=4"),
    ("Could be a bit tired, but deltoid is four.", "power.deltoid=4"),
    ("The trapezius is weak, say three.", "power.trapezius=3"),
    ("A weak deltoid, I'd say two.", "power.deltoid=2"),
    ("She was four in flexor carpi radialis just then.", "power.flexor_carpi_radialis=4"),
    ("She was four plus in wrist flexion.", "power.wrist_flexion=4+"),
    ("ECU is three, that makes no difference to the plan.", "power.extensor_carpi_ulnaris=3"),
    ("Whether he tries or not, the deltoid is four.", "power.deltoid=4"),
    ("Write wrist drop, please.", "posture.wrist_drop=present"),
    ("I wrote wrist drop.", "posture.wrist_drop=present"),
    ("Let's write triceps two.", "power.triceps_brachii=2"),
    ("He has had deltoid nought all along, and today deltoid is nought.", "power.deltoid=0"),
    ("My patient has a deltoid of two.", "power.deltoid=2"),
    ("A positive Hoffmann here.", "sign.hoffmann=present"),
    ("A brisk biceps jerk, it's cord I think.", "reflex.biceps=brisk"),
    ("There's a Horner's, so it isn't the trunk.", "sign.horner=present"),
    ("The grip is a five.", "power.grip=5"),
    ("A proper grip, that's a five.", "power.grip=5"),
    ("Good grip, five.", "power.grip=5"),
    ("And how is the triceps? Four.", "power.triceps_brachii=4"),
    ("How strong would you say that was? Deltoid three.", "power.deltoid=3"),
    ("To my surprise the triceps is five.", "power.triceps_brachii=5"),
    ("It surprises me, but biceps is four.", "power.biceps_brachii=4"),
    (
        "To count as M2 it must move the full range, and it does, so biceps two.",
        "power.biceps_brachii=2",
    ),
    ("Froment's is positive when he holds the paper.", "sign.froment=present"),
    (
        "Froment's is positive, the thumb bends because the adductor is weak.",
        "sign.froment=present",
    ),
    ("Winging is present when he pushes the wall.", "sign.scapular_winging=present"),
    ("For brachioradialis keep the thumb up: four.", "power.brachioradialis=4"),
    ("Brachioradialis jerk up.", "reflex.brachioradialis=brisk"),
    ("My mistake, deltoid is three and biceps four.", "power.deltoid=3 power.biceps_brachii=4"),
    ("No mistake, that's winging for sure.", "sign.scapular_winging=present"),
    ("I can tell there's winging from here.", "sign.scapular_winging=present"),
    ("To be fair, he has to try hard, but deltoid is four.", "power.deltoid=4"),
    ("He has to lean to get his hand up, so deltoid two.", "power.deltoid=2"),
    ("Going by the squeeze, grip is four.", "power.grip=4"),
    ("I make the grip a four over there.", "power.grip=4"),
    (
        "Two halves of the deltoid: anterior three, posterior two.",
        "power.deltoid_anterior=3 power.deltoid_posterior=2",
    ),
    ("The trauma gave him a wrist drop.", "posture.wrist_drop=present"),
    ("For the record, the deltoid is four.", "power.deltoid=4"),
    ("To sum up, deltoid is four.", "power.deltoid=4"),
    ("To be honest the biceps has to be a two.", "power.biceps_brachii=2"),
    ("Hoffmann's is positive when the middle finger is flicked.", "sign.hoffmann=present"),
    ("Winging is present when pushing.", "sign.scapular_winging=present"),
    ("Winging is present when the arm is raised.", "sign.scapular_winging=present"),
    ("Froment's is positive when I pull the paper.", "sign.froment=present"),
    ("How is the radial nerve? Triceps zero.", "power.triceps_brachii=0"),
    ("And C5? Deltoid four.", "power.deltoid=4"),
    ("What would you give the axillary nerve? Deltoid four.", "power.deltoid=4"),
    ("How does the median nerve do? APB two.", "power.abductor_pollicis_brevis=2"),
    ("Today's MRI report says C6 avulsed.", "imaging.c6=avulsed"),
    ("The scan says C7 avulsed.", "imaging.c7=avulsed"),
    ("On a scale of zero to five the deltoid is four.", "power.deltoid=4"),
    ("A patient of the professor's? No matter. Biceps four.", "power.biceps_brachii=4"),
    ("Whether it's two or three doesn't interest me, the deltoid is four.", "power.deltoid=4"),
    ("The triceps is four, so says my notebook.", "power.triceps_brachii=4"),
    ("Per protocol triceps next, four.", "power.triceps_brachii=4"),
    (
        "As the form wants it: triceps four, biceps three.",
        "power.triceps_brachii=4 power.biceps_brachii=3",
    ),
    ("A proper deltoid this, three today.", "power.deltoid=3"),
    ("The biceps jerk isn't there.", "reflex.biceps=absent"),
    ("A Horner's, and it isn't congenital.", "sign.horner=present"),
    ("That is how I test the rhomboids: four.", "power.rhomboids=4"),
    (
        "Let me show the class: I test the rhomboids like this, and it's a four.",
        "power.rhomboids=4",
    ),
    ("A man whose deltoid is two, that's him.", "power.deltoid=2"),
    ("In Nairobi they were kind, but today wrist extension is four.", "power.wrist_extension=4"),
    ("They found it hard to believe, deltoid three.", "power.deltoid=3"),
    ("ECU three, no difference to before.", "power.extensor_carpi_ulnaris=3"),
    ("Team, deltoid is two.", "power.deltoid=2"),
    ("For a big man the triceps has to be called weak, three.", "power.triceps_brachii=3"),
    ("In a seated position opponens is three.", "power.opponens_pollicis=3"),
    ("With the palsy in a splint, deltoid is two.", "power.deltoid=2"),
    ("Tapping above the clavicle produces nothing.", "sign.percussion.supraclavicular=absent"),
    (
        "Wrist extension could not be tested due to the graft.",
        "power.wrist_extension=not_tested",
    ),
    ("I could not test the triceps reflex because of the splint.", "reflex.triceps=not_tested"),
    ("Today's scan report says C6 avulsed.", "imaging.c6=avulsed"),
]


@pytest.mark.parametrize(("line", "expected"), SAID)
def test_a_finding_beside_words_of_teaching_is_read(line: str, expected: str) -> None:
    read = extract(transcript(line), load_lexicon(), Settings(side="right"))
    found = {f"{f.item}={f.value}" for f in read.findings if not f.item.startswith("context.")}
    assert found == set(expected.split())
    assert not read.questions


def test_a_sign_that_may_be_explained_is_asked_about() -> None:
    """Who says only when a sign is positive may define it, or tell what was seen."""
    line = "Hoffmann's is positive when the thumb flicks."
    read = extract(transcript(line), load_lexicon(), Settings(side="right"))
    assert [q.rule for q in read.questions] == ["other_day_or_person"]
