"""The plan of the live page's chart, on the real lexicon and on broken ones."""

import shutil
from pathlib import Path

import pytest

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.chart import chart_plan
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.protocols import read_protocol

LEXICON = load_lexicon(with_users=False)
PLAN = chart_plan(LEXICON)


def test_every_item_has_its_place() -> None:
    assert set(PLAN.places) == set(LEXICON.items)


def test_what_the_full_protocol_requires_has_a_row_of_its_own() -> None:
    full = read_protocol(LEXICON.folder, "full")
    required = [entry.item for entry in full.requirements if entry.required]
    assert required
    homeless = [item for item in required if PLAN.places[item].row < 0]
    assert homeless == []


def test_the_order_is_that_of_an_examination() -> None:
    """Face and neck, scapula, shoulder, elbow and forearm, hand, sensation, reflexes."""
    labels = [block.label.split(",")[0] for block in PLAN.blocks]
    wanted = ["Face", "Scapula", "Shoulder", "Elbow", "Hand", "Sensation", "Reflexes"]
    assert [label for label in labels if label in wanted] == wanted
    assert [block.column for block in PLAN.blocks] == sorted(b.column for b in PLAN.blocks)


def test_short_words_are_of_values_that_exist_and_differ() -> None:
    for kind, words in (*PLAN.words.items(), *PLAN.beside.items()):
        values = {v for item in LEXICON.items.values() if item.kind == kind for v in item.values}
        assert set(words) <= values, kind
        assert len(set(words.values())) == len(words), kind


def test_what_is_found_of_a_muscle_is_beside_its_power() -> None:
    place = PLAN.places["wasting.trapezius_upper"]
    assert place.beside and place.part == "u"
    assert (place.block, place.row) == (
        PLAN.places["power.trapezius"].block,
        PLAN.places["power.trapezius"].row,
    )


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"sign.miosis"', '"sign.miosiss"', "sign.miosiss"),
        ('"sign.miosis"', '"sign.ptosis"', "two places"),
        ('regions = ["Percussion"]', "regions = []", "Percussion"),
        ("spare = 2", 'spare = "two"', "chart.toml"),
    ],
)
def test_a_broken_plan_is_told(tmp_path: Path, old: str, new: str, says: str) -> None:
    folder = tmp_path / "lexicon"
    shutil.copytree(LEXICON.folder, folder)
    path = folder / "chart.toml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(LexiconError, match=says):
        chart_plan(load_lexicon(folder))
