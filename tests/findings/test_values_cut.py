"""Values and denials that a pause has cut from their name; what is said is invented."""

import pytest

from tests.findings.test_joining import joined, read


@pytest.mark.parametrize(
    "said",
    [
        ("there was no", "winging of the scapula"),
        ("she has no", "bruising above the clavicle"),
        ("the shoulder is not", "subluxed"),
        ("deltoid", "yes"),
        ("open wounds", "nil"),
        ("claw posture on the left", "absent"),
        ("swelling", "none"),
        ("the triceps jerk", "was brisk"),
        ("radial pulse", "is there"),
        ("triceps five", "over five"),
        ("touch is normal from c five to", "c eight"),
    ],
)
def test_a_value_goes_to_the_name_before_the_cut(said: tuple[str, ...]) -> None:
    assert joined(*said) == [" ".join(said)]


@pytest.mark.parametrize(
    "said",
    [
        ("ptosis no", "miosis yes"),
        ("do you feel anything there", "no", "winging of the scapula"),
        ("any burning pain", "no"),
        ("the joint is subluxed", "no"),
    ],
)
def test_an_answer_stays_with_what_was_asked(said: tuple[str, ...]) -> None:
    assert len(joined(*said)) == len(said)


def test_denials_follow_one_another() -> None:
    said = ("right side", "no", "ptosis", "no", "miosis", "scar", "none", "clawing", "present")
    assert {(f.item, f.value) for f in read(*said).findings} == {
        ("sign.ptosis", "absent"),
        ("sign.miosis", "absent"),
        ("sign.scar", "absent"),
        ("posture.intrinsic_minus", "present"),
    }


def test_what_he_has_got_is_not_denied() -> None:
    found = read("right side", "no scar and he's got a wrist drop").findings
    assert [(f.item, f.value) for f in found] == [
        ("sign.scar", "absent"),
        ("posture.wrist_drop", "present"),
    ]


@pytest.mark.parametrize(
    ("said", "value"),
    [
        (("does the arm burn at all", "no it is only heavy"), "absent"),
        (("do you get any burning in the hand", "yes doctor"), "present"),
    ],
)
def test_a_kind_of_pain_asked_for_without_a_mark_is_answered(
    said: tuple[str, ...], value: str
) -> None:
    found = read("right side", *said).findings
    assert [(f.item, f.value) for f in found] == [("sign.neuropathic_pain", value)]


def test_the_next_score_of_one_that_thinks_again_is_asked_about() -> None:
    said = ("sensation out of ten on the right", "little finger", "eight", "nah nine")
    result = read(*said)
    assert [(f.item, f.value) for f in result.findings] == [("sensation.c8", "9")]
    assert any(q.rule == "second_value" for q in result.questions)
