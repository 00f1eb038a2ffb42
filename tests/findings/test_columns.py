"""Tables of two sides read aloud; the sentences are invented."""

import pytest
from builders import standing_of, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def read(text: str, side: str = "left") -> tuple[dict[tuple[str, str], str], list[str]]:
    settings = Settings(side=side)  # type: ignore[arg-type]
    made = extract(transcript(text), LEXICON, settings)
    found = {(f.item, f.side): f.value for f in standing_of(made)}
    return found, [question.rule for question in made.questions]


@pytest.mark.parametrize(
    "heading",
    [
        "Columns, muscle, right, left.",
        "Right, then left.",
        "I'll read it like the form: muscle, right, left.",
        "Each muscle right first, then left.",
        "The table goes right and then left.",
    ],
)
def test_two_values_are_of_the_sides_in_the_order_told(heading: str) -> None:
    found, rules = read(f"{heading} Deltoid. Five. Four. Biceps. Five, three. Triceps five two.")
    assert found == {
        ("power.deltoid", "right"): "5",
        ("power.deltoid", "left"): "4",
        ("power.biceps_brachii", "right"): "5",
        ("power.biceps_brachii", "left"): "3",
        ("power.triceps_brachii", "right"): "5",
        ("power.triceps_brachii", "left"): "2",
    }
    assert not rules


def test_scores_of_the_skin_stand_in_columns_too() -> None:
    found, _ = read("Light touch of ten. Same columns, left, right. C6. Three. Ten. C7. Ten. Ten.")
    assert found["sensation.c6", "left"] == "3" and found["sensation.c6", "right"] == "10"
    assert found["sensation.c7", "left"] == found["sensation.c7", "right"] == "10"


def test_a_side_that_is_said_wins_and_the_table_ends() -> None:
    found, _ = read(
        "Columns, muscle, right, left. Deltoid. Five. Four. Biceps. Left three, right five. "
        "End of table. Triceps two."
    )
    assert found["power.biceps_brachii", "left"] == "3"
    assert found["power.biceps_brachii", "right"] == "5"
    assert ("power.triceps_brachii", "right") not in found


def test_one_value_alone_is_asked_about() -> None:
    found, rules = read(
        "Columns, muscle, right, left. Deltoid. Five. Four. Biceps. Three. Triceps."
    )
    assert ("power.biceps_brachii", "right") not in found
    assert "side_either_way" in rules


@pytest.mark.parametrize(
    "text",
    [
        "We'll look at the right arm, then the left. Deltoid four. Biceps three.",
        "Left biceps was fine, right was not. Deltoid four. Biceps three.",
    ],
)
def test_other_words_of_both_sides_make_no_table(text: str) -> None:
    found, rules = read(text)
    assert len([1 for item, _ in found if item == "power.deltoid"]) == 1
    assert "side_either_way" not in rules
