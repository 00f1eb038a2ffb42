"""Lists and names that a pause has cut; what is said is invented."""

import pytest

from tests.findings.test_joining import joined, read


@pytest.mark.parametrize(
    "said",
    [
        ("trapezius", "rhomboids and serratus five"),
        ("the pronator teres", "supinator and biceps are all full"),
        ("wrist flexion", "thumb extension f p l", "a p b and opponens were three"),
        ("the pectoralis major", "both heads", "latissimus and teres major four"),
        ("the deltoid", "is wasted"),
        ("deltoid", "posterior two anterior three"),
        ("the lower", "lateral arm is numb"),
        ("abductor", "pollicis brevis two"),
        ("f", "d p zero"),
        ("then c", "six ten"),
        ("supinator four", "minus"),
    ],
)
def test_what_belongs_together_is_joined(said: tuple[str, ...]) -> None:
    assert joined(*said) == [" ".join(said)]


@pytest.mark.parametrize(
    "said",
    [
        ("deltoid", "biceps five"),
        ("deltoid", "biceps", "triceps five"),
        ("deltoid four", "biceps and triceps five"),
        ("trapezius", "and how long have you had this", "rhomboids and serratus five"),
        ("deltoid", "now push rhomboids and serratus five"),
        ("it runs to the back of the arm", "reflexes biceps jerk normal"),
    ],
)
def test_what_may_be_apart_stays_apart(said: tuple[str, ...]) -> None:
    assert len(joined(*said)) == len(said)


def test_every_member_of_a_cut_list_has_the_value() -> None:
    found = read("right arm", "trapezius", "rhomboids and serratus all five").findings
    assert {(f.item, f.value) for f in found} == {
        ("power.trapezius", "5"),
        ("power.rhomboids", "5"),
        ("power.serratus_anterior", "5"),
    }


def test_bulk_behind_a_cut_is_no_power() -> None:
    found = read("right arm", "from behind the infraspinatus bulk", "is normal").findings
    assert {(f.item, f.value) for f in found} == {("wasting.infraspinatus", "absent")}


def test_a_finding_said_again_of_the_next_names_begins_anew() -> None:
    found = read("left arm", "wasting of teres minor and deltoid wasting of the triceps").findings
    assert {f.item for f in found} == {
        "wasting.teres_minor",
        "wasting.deltoid",
        "wasting.triceps_brachii",
    }


@pytest.mark.parametrize(
    ("said", "value", "asked"),
    [
        (("supinator zero", "the brachialis too"), "0", False),
        (("supinator zero and the brachialis too",), "0", False),
        (("supinator zero", "brachialis too"), "2", True),
    ],
)
def test_too_after_a_finding_means_as_well_or_is_asked(
    said: tuple[str, ...], value: str, asked: bool
) -> None:
    made = read("left arm", *said)
    assert [f.value for f in made.findings if f.item == "power.brachialis"] == [value]
    assert bool(made.questions) == asked


def test_too_behind_a_name_that_is_wasted_is_no_grade() -> None:
    found = read("left arm", "wasting of the triceps too").findings
    assert [f.item for f in found] == ["wasting.triceps_brachii"]


def test_what_someone_has_got_is_not_denied_with_what_they_have_not() -> None:
    found = read("left arm", "no winging on either side he's got a wrist drop").findings
    assert ("posture.wrist_drop", "present") in {(f.item, f.value) for f in found}
