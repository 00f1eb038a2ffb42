"""Denied of both sides, muscles by what they do, muscles that stand in, and words of nothing."""

import pytest
from builders import standing_of, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def read(*lines: str) -> list[tuple[str, str, str]]:
    made = extract(transcript(*lines), LEXICON, Settings(side="right"))
    return [(f.item, f.side, f.value) for f in standing_of(made)]


@pytest.mark.parametrize(
    "said",
    ["No winging, neither side.", "Winging on neither side.", "Neither side shows winging."],
)
def test_neither_side_is_both_denied(said: str) -> None:
    item = "sign.scapular_winging"
    assert read(said) == [(item, "left", "absent"), (item, "right", "absent")]


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Wrist: extensors zero, flexors zero.",
         [("power.wrist_extension", "0"), ("power.wrist_flexion", "0")]),
        ("Elbow flexors five, extensors four.",
         [("power.elbow_flexion", "5"), ("power.elbow_extension", "4")]),
        ("Fingers straight. Long extensors three.", [("power.finger_extension", "3")]),
        ("Adductor pollicis one. No no, that is FPL doing the mischief. Make it zero.",
         [("power.adductor_pollicis", "0")]),
        ("Biceps two. No, that's brachioradialis helping. One.", [("power.biceps_brachii", "1")]),
        ("That's the triceps. Four.", [("power.triceps_brachii", "4")]),
        ("The cuff had nothing to hang on to.", []),
        ("Deltoid had nothing at all.", [("power.deltoid", "0")]),
        ("According to your own note he could still bend the elbow at grade three.", []),
        ("If you graft today and she reaches a two in the interossei, be happy.", []),
        ("The deltoid is gone, pure wasted, and supraspinatus the very same.",
         [("wasting.deltoid", "present"), ("wasting.supraspinatus", "present")]),
    ],
)  # fmt: skip
def test_each_sentence_gives_what_it_says(said: str, found: list[tuple[str, str]]) -> None:
    assert [(item, value) for item, _, value in read(said)] == found


@pytest.mark.parametrize(
    "said",
    [
        "Ptosis on the right, nothing on the left.",
        "Ptosis on the right but not on the left.",
        "Right ptosis, and nothing like that on the other side.",
    ],
)
def test_what_is_there_on_one_side_is_denied_of_the_other(said: str) -> None:
    assert read(said) == [("sign.ptosis", "right", "present"), ("sign.ptosis", "left", "absent")]


def test_a_side_after_a_denied_list_is_of_all_of_it() -> None:
    found = read("No ptosis or miosis on either side.")
    assert len(found) == 4
    assert {value for _, _, value in found} == {"absent"}


def test_a_muscle_tells_where_the_skin_was_touched() -> None:
    said = "Sensation over the badge area, on the deltoid, four."
    assert read(said) == [("sensation.axillary_regimental_patch", "right", "4")]


def test_passive_directions_beside_abduction_are_of_the_shoulder() -> None:
    assert [item for item, _, _ in read("Passive flexion's full, passive abduction's full.")] == [
        "range.shoulder_flexion",
        "range.shoulder_abduction",
    ]
