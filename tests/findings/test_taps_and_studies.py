"""Taps told by a verb alone, studies that show nothing, and what is denied in the passive."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def read(*lines: str) -> dict[tuple[str, str], str]:
    made = extract(transcript(*lines), LEXICON, Settings(side="right"))
    gone = {f.corrects for f in made.findings}
    return {(f.item, f.side): f.value for f in made.findings if f.finding_id not in gone}


def same(lines: tuple[str, ...], found: dict[str, str]) -> bool:
    wanted = {(item, "right"): value for item, value in found.items()}
    return read(*lines) == wanted


SITE = "sign.percussion."


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("There is a lively Tinel over the cubital tunnel.", {"cubital_tunnel": "present"}),
        ("I get a weak Tinel in the spiral groove.", {"spiral_groove": "present"}),
        ("The axilla has a Tinel's sign.", {"axilla": "present"}),
        ("Neither the axilla nor the carpal tunnel gives a Tinel.",
         {"axilla": "absent", "carpal_tunnel": "absent"}),
        ("Supraclavicular and infraclavicular Tinel negative.",
         {"supraclavicular": "absent", "infraclavicular": "absent"}),
        ("Radial tunnel: negative Tinel.", {"radial_tunnel": "absent"}),
        ("Axillary Tinel absent.", {"axilla": "absent"}),
        ("When I tap over the carpal tunnel he feels a shock.", {"carpal_tunnel": "present"}),
        ("Tinel's could not be provoked at the right elbow.", {"cubital_tunnel": "absent"}),
        ("I'll have a tap. Over the axilla, nothing.", {"axilla": "absent"}),
    ],
)  # fmt: skip
def test_a_tap_is_read_from_its_site_and_verb(said: str, found: dict[str, str]) -> None:
    assert same((said,), {SITE + name: value for name, value in found.items()})


def test_what_is_asked_of_a_tap_waits_for_its_answer() -> None:
    assert not read("examiner: When I tap over the elbow, do you feel a shock?")
    asked = "examiner: If I tap in your armpit, do you get pins and needles?"
    assert same((asked, "patient: Yes."), {"sign.percussion.axilla": "present"})


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("The C7 root cannot be identified on the scan.", {"imaging.c7": "not_seen"}),
        ("We were unable to visualise the C8 root on MRI.", {"imaging.c8": "not_seen"}),
        ("The MRI failed to show the T1 root.", {"imaging.t1": "not_seen"}),
        ("C6 was poorly visualised on the myelogram.", {"imaging.c6": "not_seen"}),
        ("C5 and C6 are both intact on the scan.",
         {"imaging.c5": "intact", "imaging.c6": "intact"}),
        ("The median SNAP could not be recorded.", {"conduction.median": "absent"}),
        ("I couldn't obtain a response from the ulnar nerve.", {"conduction.ulnar": "absent"}),
        ("No recordable response from the median nerve.", {"conduction.median": "absent"}),
        ("Normal potentials from the ulnar nerve.", {"conduction.ulnar": "normal"}),
        ("No obtainable sensory response in the LACN.", {"conduction.lacn": "absent"}),
        ("Ulnar sensory amplitude is low.", {"conduction.ulnar": "reduced"}),
        ("MACN potential spared.", {"conduction.macn": "normal"}),
        ("The triceps reflex could not be elicited.", {"reflex.triceps": "absent"}),
        ("The biceps jerk cannot be found.", {"reflex.biceps": "absent"}),
        ("Clonus was not found.", {"sign.clonus": "absent"}),
        ("A bruit was not heard.", {"sign.bruit": "absent"}),
        ("Ptosis wasn't seen.", {"sign.ptosis": "absent"}),
        ("The badge area, a name which means nothing to him, was absent.",
         {"sensation.axillary_regimental_patch": "absent"}),
        ("He couldn't feel a thing at C6.", {"sensation.c6": "0"}),
        ("Posterior antebrachial cutaneous nerve, reduced.",
         {"sensation.posterior_forearm": "reduced"}),
    ],
)  # fmt: skip
def test_what_cannot_be_got_is_not_there(said: str, found: dict[str, str]) -> None:
    assert same((said,), found)


def test_an_asked_sameness_is_of_the_side_that_its_place_is_on() -> None:
    found = read("examiner: Does it feel the same on your left thumb?", "patient: The same.")
    assert found == {("sensation.c6", "left"): "10"}


def test_a_sign_found_on_neither_side_is_absent_on_both() -> None:
    found = read("Clonus was not found on either the left or the right.")
    assert found == {("sign.clonus", "left"): "absent", ("sign.clonus", "right"): "absent"}
