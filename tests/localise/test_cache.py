"""Predictions kept between runs are those that would be built, or are built again."""

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.cache import KEPT, cached_forward
from dictate2exam.localise.engine import engine_for
from dictate2exam.localise.forward import Forward


class Builder:
    """Counts how often it is asked to build."""

    def __init__(self, made: Forward) -> None:
        self.made, self.asked = made, 0

    def __call__(self) -> Forward:
        self.asked += 1
        return self.made


@pytest.fixture
def builder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Builder:
    made = engine_for(load_lexicon()).forward
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return Builder(made)


def kept(folder: Path) -> list[Path]:
    return list((folder / "dictate2exam" / "localisation").iterdir())


def test_built_once_and_read_the_same(builder: Builder, tmp_path: Path) -> None:
    lexicon, tables = load_lexicon(), engine_for(load_lexicon()).tables
    cached_forward(lexicon, tables, builder)
    again = cached_forward(lexicon, tables, builder)
    assert builder.asked == 1
    assert again.column == builder.made.column
    for field in dataclasses.fields(Forward):
        if field.name != "column":
            assert np.array_equal(getattr(again, field.name), getattr(builder.made, field.name))
    assert [path.suffix for path in kept(tmp_path)] == [".npz"]


def test_other_tables_and_a_broken_file_are_built_again(builder: Builder, tmp_path: Path) -> None:
    lexicon, tables = load_lexicon(), engine_for(load_lexicon()).tables
    cached_forward(lexicon, tables, builder)
    cached_forward(lexicon, tables.in_setting("trauma"), builder)
    assert builder.asked == 2
    for path in kept(tmp_path):
        path.write_bytes(path.read_bytes()[:1000])
    cached_forward(lexicon, tables, builder)
    assert builder.asked == 3


def test_few_files_are_kept(builder: Builder, tmp_path: Path) -> None:
    lexicon, tables = load_lexicon(), engine_for(load_lexicon()).tables
    for number in range(KEPT + 2):
        other = dataclasses.replace(tables, model=tables.model | {"version": str(number)})
        cached_forward(lexicon, other, builder)
    assert len(kept(tmp_path)) == KEPT


def test_a_folder_that_cannot_be_used_costs_only_time(
    builder: Builder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    made = cached_forward(load_lexicon(), engine_for(load_lexicon()).tables, builder)
    assert made is builder.made
