"""Signs told place by place and side by side. The sentences are invented."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()
SWELLING, BRUISING = "sign.supraclavicular_swelling", "sign.supraclavicular_bruising"
WINGING, PTOSIS = "sign.scapular_winging", "sign.ptosis"
CARPAL = "sign.percussion.carpal_tunnel"


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Left scapula wings; the right doesn't.",
         {(WINGING, "left", "present"), (WINGING, "right", "absent")}),
        ("No ptosis on the left, none on the right.",
         {(PTOSIS, "left", "absent"), (PTOSIS, "right", "absent")}),
        ("No ptosis, either side, and pupils equal.",
         {(PTOSIS, "left", "absent"), (PTOSIS, "right", "absent")}),
        ("No winging, then, at either shoulder.",
         {(WINGING, "left", "absent"), (WINGING, "right", "absent")}),
        ("Tinel positive at the left wrist, over the carpal tunnel and none on the right.",
         {(CARPAL, "left", "present"), (CARPAL, "right", "absent")}),
        ("The left deltoid and the right biceps were four.",
         {("power.deltoid", "left", "4"), ("power.biceps_brachii", "right", "4")}),
    ],
)  # fmt: skip
def test_each_side_gets_its_own(said: str, expected: set[tuple[str, str, str]]) -> None:
    made = extract(transcript(said), LEXICON, Settings())
    assert {(f.item, f.side, f.value) for f in made.findings} == expected


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("There is some swelling that you can see above the clavicle.", {(SWELLING, "present")}),
        ("Above the collarbone he is puffy and bruised.",
         {(SWELLING, "present"), (BRUISING, "present")}),
        ("Collarbone straight. The wrist is swollen.", {("sign.clavicle_deformity", "absent")}),
        ("The scar in the neck has healed well.", {("sign.scar", "present")}),
        ("The wound has healed.", {("sign.open_wound", "absent")}),
        ("The cheek on this side does not sweat.", {("sign.anhidrosis", "present")}),
        ("He has been spared any burning pain.", {("sign.neuropathic_pain", "absent")}),
        ("Froment's. Yes. The IP flexes.", {("sign.froment", "present")}),
        ("The deltoid keeps its volume.", {("wasting.deltoid", "absent")}),
    ],
)  # fmt: skip
def test_signs_in_other_words(said: str, expected: set[tuple[str, str]]) -> None:
    made = extract(transcript(said), LEXICON, Settings(side="left"))
    assert {(f.item, f.value) for f in made.findings} == expected
