"""Whole examinations, in four styles, typed and as a recogniser writes them."""

from pathlib import Path

import pytest
import tomllib
from builders import as_heard, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.findings.model import Extraction, Finding
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

CASES = sorted((Path(__file__).parent / "cases").glob("*.toml"))
# Outside measurements take these as equal.
EQUAL = {"10": "normal", "0": "absent"}
# Share of what is expected that may be missed where all punctuation is gone.
MISSED_UNPUNCTUATED = 0.2

Row = tuple[str, str, str]


def row(item: str, side: str, value: str) -> Row:
    """An item, side and value, equal sensory values falling together."""
    return (item, side, EQUAL.get(value, value) if item.startswith("sensation.") else value)


def standing(extraction: Extraction) -> list[Finding]:
    """The findings that were neither corrected nor taken back."""
    corrected = {f.corrects for f in extraction.findings if f.corrects}
    gone = corrected | set(extraction.withdrawn)
    return [f for f in extraction.findings if f.finding_id not in gone]


def read(path: Path, heard: bool) -> tuple[set[Row], set[Row]]:
    """What is expected and what is found in a case, what is known to go wrong included."""
    content = tomllib.loads(path.read_text(encoding="utf-8"))
    said = content["said"]
    lines = [as_heard(step["line"]) if heard else step["line"] for step in said]
    expected = {row(*text.split()) for step in said for text in step.get("find", [])}
    expected -= {row(*text.split()) for text in content.get("missed", [])}
    expected |= {row(*text.split()) for text in content.get("wrong", [])}
    found = standing(extract(transcript(*lines), load_lexicon(), Settings()))
    return expected, {
        row(f.item, f.side, f.value) for f in found if not f.item.startswith("context.")
    }


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_typed_examinations_are_read_exactly(path: Path) -> None:
    expected, found = read(path, heard=False)
    assert found == expected


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_heard_examinations_have_no_phantom_and_few_misses(path: Path) -> None:
    expected, found = read(path, heard=True)
    assert found - expected == set()
    assert len(expected - found) <= MISSED_UNPUNCTUATED * len(expected) + 1
