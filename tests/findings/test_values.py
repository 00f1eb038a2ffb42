"""Values, scales and items that are not power, in many wordings; common practice, no source."""

import pytest

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from tests.examples import transcript

SAID = [
    ("left arm. passive range. elbow flexion full.", {"range.elbow_flexion": "full"}),
    (
        "left arm. elbow passive. extension lacks twenty degrees, flexion full.",
        {"range.elbow_extension": "reduced", "range.elbow_flexion": "full"},
    ),
    (
        "passive movement of the left shoulder was full in abduction and flexion.",
        {"range.shoulder_abduction": "full", "range.shoulder_flexion": "full"},
    ),
    ("left arm. passively i could bend the elbow fully.", {"range.elbow_flexion": "full"}),
    (
        "left wrist. extension two, flexion four.",
        {"power.wrist_extension": "2", "power.wrist_flexion": "4"},
    ),
    ("left arm. biceps five. elbow flexion full.",
     {"power.biceps_brachii": "5", "power.elbow_flexion": "5"}),
    (
        "left arm. snap preserved in the lateral cutaneous of the forearm. macn absent.",
        {"conduction.lacn": "normal", "conduction.macn": "absent"},
    ),
    ("left arm. lateral forearm normal. lacn four.", {"sensation.lacn_lateral_forearm": "4"}),
    (
        "left arm. sensory studies. median normal, ulnar small, radial absent.",
        {
            "conduction.median": "normal",
            "conduction.ulnar": "reduced",
            "conduction.superficial_radial": "absent",
        },
    ),
    (
        "left arm. denervation in the c5 paraspinals, c6 paraspinals were clean.",
        {"needle.paraspinal_c5": "denervated", "needle.paraspinal_c6": "normal"},
    ),
    (
        "left arm. on the scan i can't see the c7 root, c8 is avulsed with a pouch, t1 intact.",
        {"imaging.c7": "not_seen", "imaging.c8": "avulsed", "imaging.t1": "intact"},
    ),
    (
        "left arm. on mri there is no evidence of root avulsion from c8 to t1.",
        {"imaging.c8": "intact", "imaging.t1": "intact"},
    ),
    (
        "left arm. two point, middle finger pulp, four millimetres, normal.",
        {"sensation.median_middle_pulp": "normal"},
    ),
    (
        "left arm. the pulps of the thumb and little finger were normal.",
        {"sensation.median_thumb_pulp": "normal", "sensation.ulnar_little_pulp": "normal"},
    ),
    (
        "left arm. percussion below the left clavicle was positive, above it negative.",
        {
            "sign.percussion.infraclavicular": "present",
            "sign.percussion.supraclavicular": "absent",
        },
    ),
    ("left arm. tinel's. carpal tunnel, no. axilla, yes.",
     {"sign.percussion.carpal_tunnel": "absent", "sign.percussion.axilla": "present"}),
    ("left arm. I get a brisk Tinel over the spiral groove.",
     {"sign.percussion.spiral_groove": "present"}),
    ("left arm. Drumming on the cubital tunnel. That's a strong Tinel's there.",
     {"sign.percussion.cubital_tunnel": "present"}),
    ("left arm. Tapping above the clavicle, which would shoot if it grew, and I get nil.",
     {"sign.percussion.supraclavicular": "absent"}),
    ("left arm. I'm going to have a tap at the wrist. If there's a Tinel you'll know.", {}),
    ("the left radial pulse is present but weaker than the right.", {"pulse.radial": "reduced"}),
    ("left arm. triceps jerk present and brisk.", {"reflex.triceps": "brisk"}),
    (
        "left arm. reflexes. knees normal, supinators three plus.",
        {"reflex.knee": "normal", "reflex.brachioradialis": "brisk"},
    ),
    (
        "left arm. bruising above the clavicle, yes. swelling, no.",
        {"sign.supraclavicular_bruising": "present", "sign.supraclavicular_swelling": "absent"},
    ),
    ("left arm. deltoid looks thin, thenar of normal bulk.",
     {"wasting.deltoid": "present", "wasting.thenar": "absent"}),
]  # fmt: skip


def read(said: str) -> tuple[dict[str, str], list[str]]:
    extraction = extract(transcript(said), load_lexicon(), Settings())
    found = {f.item: f.value for f in extraction.findings if not f.item.startswith("context.")}
    return found, [question.kind for question in extraction.questions]


@pytest.mark.parametrize(("said", "found"), SAID)
def test_what_is_said_is_found(said: str, found: dict[str, str]) -> None:
    assert read(said)[0] == found


@pytest.mark.parametrize(
    "said",
    [
        "left arm. two point discrimination at the index pulp is five millimetres.",
        "left arm. passive wrist extension sixty degrees.",
        "left arm. full passive range at the elbow.",
        "left arm. biceps seven.",
        "left arm. no tinel's anywhere.",
    ],
)
def test_what_says_no_value_of_an_item_is_asked(said: str) -> None:
    assert read(said) == ({}, ["value"])


@pytest.mark.parametrize(
    ("said", "item", "detail"),
    [
        ("left arm. deltoid four, limited by pain.", "power.deltoid", {"limited_by": "pain"}),
        (
            "left arm. i'll test serratus with a supported forward push. serratus four.",
            "power.serratus_anterior",
            {"method": "supported forward push"},
        ),
        ("left arm. medial winging.", "sign.scapular_winging", {"pattern": "medial"}),
        (
            "left arm. tinel's at the cubital tunnel positive, shoots to the little finger.",
            "sign.percussion.cubital_tunnel",
            {"radiates_to": "little finger"},
        ),
        (
            "left arm. passive external rotation is reduced to thirty degrees.",
            "range.shoulder_external_rotation",
            {"degrees": "30"},
        ),
    ],
)
def test_details_are_kept(said: str, item: str, detail: dict[str, str]) -> None:
    extraction = extract(transcript(said), load_lexicon(), Settings())
    assert [(f.item, f.detail) for f in extraction.findings] == [(item, detail)]


def test_the_announced_scale_holds_for_every_level() -> None:
    said = "left arm. asia scale, zero to two. c4 two. c5 zero. c6 one."
    extraction = extract(transcript(said), load_lexicon(), Settings())
    assert [(f.item, f.value, f.scale) for f in extraction.findings] == [
        ("sensation.c4", "2", "isncsci"),
        ("sensation.c5", "0", "isncsci"),
        ("sensation.c6", "1", "isncsci"),
    ]
    assert not extraction.questions


def test_a_score_beyond_the_announced_scale_is_asked() -> None:
    said = "left arm. asia scale, zero to two. c5 two. c6 seven."
    extraction = extract(transcript(said), load_lexicon(), Settings())
    assert [q.item for q in extraction.questions] == ["sensation.c6"]


@pytest.mark.parametrize(
    ("said", "facts"),
    [
        ("right handed. he came off his motorbike three weeks ago.", {"right", "motorcycle", "21"}),
        ("he broke his right collarbone and has a first rib fracture.",
         {"clavicle fracture", "first rib fracture"}),
        ("no fracture of the clavicle. surgery was three weeks ago.", set()),
        ("are you right or left handed?", set()),
    ],
)  # fmt: skip
def test_facts_of_context(said: str, facts: set[str]) -> None:
    extraction = extract(transcript(said), load_lexicon(), Settings())
    assert {f.value for f in extraction.findings if f.item.startswith("context.")} == facts
