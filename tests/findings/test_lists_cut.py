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
