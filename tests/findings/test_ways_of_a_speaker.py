"""Ways of talking of single speakers: a verb that is only 's, honest asides, what is told again
of the other side, grades behind urging."""

import pytest
from builders import standing_of, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def read(*lines: str) -> set[str]:
    made = extract(transcript(*lines), LEXICON, Settings(side="right"))
    return {f"{f.item} {f.side[0]} {f.value}" for f in standing_of(made)}


def power(**graded: str) -> set[str]:
    return {f"power.{name} r {value}" for name, value in graded.items()}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("A pouch at C8, and C7's intact.", {"imaging.c7 r intact"}),
        ("Touch. C5's eight, C6's ten.", {"sensation.c5 r 8", "sensation.c6 r 10"}),
        ("Brachioradialis's a five, triceps's a four.",
         power(brachioradialis="5", triceps_brachii="4")),
    ],
)  # fmt: skip
def test_a_verb_that_is_only_an_s(said: str, found: set[str]) -> None:
    assert found <= read(said)


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Triceps is four, and you know what that means, and biceps is five.",
         power(triceps_brachii="4", biceps_brachii="5")),
        ("If I'm honest the biceps is a two, and the triceps a three.",
         power(biceps_brachii="2", triceps_brachii="3")),
        ("Let me say it clearly, ADM is a one.", power(abductor_digiti_minimi="1")),
        ("ADM and APB, there was nothing less than a five.",
         power(abductor_digiti_minimi="5", abductor_pollicis_brevis="5")),
        ("FCR and FCU, nothing below a five.",
         power(flexor_carpi_radialis="5", flexor_carpi_ulnaris="5")),
        ("Teres minor, I couldn't get it on its own.", power(teres_minor="not_tested")),
        ("Supinator I can't tell apart from the biceps.", power(supinator="not_tested")),
    ],
)  # fmt: skip
def test_asides_and_bounds(said: str, found: set[str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "left", "right"),
    [
        ("Biceps and triceps jerks were brisk on the right, and the same two were normal on the "
         "left.", "normal", "brisk"),
        ("Biceps and triceps jerks absent on the left, the same two normal on the right.",
         "absent", "normal"),
        ("Biceps and triceps jerks normal on the right. The same two reduced on the left.",
         "reduced", "normal"),
    ],
)  # fmt: skip
def test_the_same_ones_counted_of_the_other_side(said: str, left: str, right: str) -> None:
    names = ("biceps", "triceps")
    found = {f"reflex.{n} {s} {v}" for n in names for s, v in (("l", left), ("r", right))}
    assert read(said) == found


@pytest.mark.parametrize("no", ["nup", "nope", "nah"])
def test_a_grade_and_what_was_felt_behind_urging(no: str) -> None:
    said = f"EPL, lift your thumb, come on, lift it, {no}, zero, and no contraction in the tendon."
    name = "extensor_pollicis_longus"
    assert read(said) == {f"power.{name} r 0", f"contraction.{name} r absent"}


def test_counting_for_the_patient_grades_nothing() -> None:
    assert read("Triceps, push, one, two, three, and relax.") == set()


@pytest.mark.parametrize("said", ["right enough", "sure enough", "true enough"])
def test_enough_is_no_side(said: str) -> None:
    made = read("On the left, wrist drop, " + said + ".")
    assert made == {"posture.wrist_drop l present"}
