"""The shipped samples are complete and keep to the closed list of items."""

import re
from pathlib import Path

import pytest
import soundfile

from dictate2exam.bench.folder import read_folder, read_sample, sample_folder
from dictate2exam.bench.model import Sample
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import load_lexicon

SAMPLES = read_folder(sample_folder())


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
def test_expected_findings_keep_to_items_and_values(sample: Sample) -> None:
    items = load_lexicon().items
    keys = set()
    for row in sample.expected:
        assert row.item in items, row
        assert not items[row.item].values or row.value in items[row.item].values, row
        keys.add((row.item, row.side, row.detail.get("modality")))
    assert len(keys) == len(sample.expected), "an item stands twice"
    assert 35 <= len(sample.expected) <= 70


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
def test_each_expected_finding_names_a_spoken_line(sample: Sample) -> None:
    lines = sample.script.read_text(encoding="utf-8").splitlines()
    numbers = [row.line for row in sample.expected]
    assert numbers == sorted(numbers)
    assert all(lines[number - 1].startswith(("examiner:", "patient:")) for number in numbers)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
def test_the_sound_is_there_and_as_described(sample: Sample) -> None:
    assert sample.sound is not None
    facts = soundfile.info(sample.sound)
    assert (facts.samplerate, facts.channels, facts.format) == (16_000, 1, "FLAC")
    assert 120 <= facts.duration <= 240
    assert sample.sound.stat().st_size < 5_000_000
    lines = sample.script.read_text(encoding="utf-8").splitlines()
    assert set(sample.times) == {n for n, line in enumerate(lines, 1) if line.strip()}
    assert max(end for _, end in sample.times.values()) <= facts.duration


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
def test_the_true_lesion_is_one_of_the_anatomy(sample: Sample) -> None:
    assert sample.truth is not None
    known = (load_lexicon().folder / "anatomy" / "segments.csv").read_text(encoding="utf-8")
    for segment in sample.truth.segments:
        assert re.search(rf"^{segment},", known, re.M)
    assert bool(sample.truth.segments) == (sample.truth.kind == "lesion")


def test_the_samples_cover_the_four_styles() -> None:
    styles = {sample.style for sample in SAMPLES}
    assert styles == {"commentary", "conversation", "teaching", "fragments"}


def test_a_folder_without_samples_says_so(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="holds no"):
        read_folder(tmp_path)


def test_a_table_without_its_columns_says_so(tmp_path: Path) -> None:
    (tmp_path / "x.script.txt").write_text("examiner: deltoid four\n")
    (tmp_path / "x.expected.csv").write_text("item,value\npower.deltoid,4\n")
    with pytest.raises(InputError, match="side"):
        read_sample(tmp_path / "x.script.txt")
