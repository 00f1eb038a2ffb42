"""The cache of the built language: by content, whole or not at all, without a writable home."""

from pathlib import Path

import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech import language
from dictate2exam.speech.language import FILES, build_language, cache_folder, language_key


@pytest.fixture()
def quick(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setattr(language, "SENTENCES", 500)
    monkeypatch.setattr(language, "TALK_SENTENCES", 200)
    for name in ("BACKGROUND_PAIRS", "GENERAL_PAIRS"):
        monkeypatch.setattr(language, name, 2_000)
    return tmp_path


def test_it_is_built_once_and_found_again(quick: Path) -> None:
    told: list[float] = []
    first = build_language(load_lexicon(), told.append)
    assert first.folder.parent == quick / "dictate2exam"
    assert all((first.folder / name).stat().st_size for name in FILES)
    assert told[-1] == 1.0
    written = first.domain.stat().st_mtime_ns
    assert build_language(load_lexicon()).domain.stat().st_mtime_ns == written
    assert [path.name for path in (quick / "dictate2exam").iterdir()] == [first.folder.name]


def test_a_half_built_language_is_replaced(quick: Path) -> None:
    folder = build_language(load_lexicon()).folder
    (folder / FILES[0]).unlink()
    assert (build_language(load_lexicon()).folder / FILES[0]).is_file()


def test_old_languages_are_forgotten(quick: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    base = quick / "dictate2exam"
    base.mkdir()
    for number in range(6):
        (base / f"language-{number}").mkdir()
    built = build_language(load_lexicon()).folder
    left = list(base.iterdir())
    assert built in left
    assert len(left) == language.KEPT


def test_a_failure_leaves_nothing_behind(quick: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise OSError("disk full")

    monkeypatch.setattr(language, "_pack", fail)
    with pytest.raises(OSError, match="disk full"):
        build_language(load_lexicon())
    assert list((quick / "dictate2exam").iterdir()) == []


def test_every_word_of_the_models_is_in_the_dictionary(quick: Path) -> None:
    built = build_language(load_lexicon())
    said = {
        line.split()[0].partition("(")[0]
        for line in built.domain_dictionary.read_text().splitlines()
    }
    wanted = {w for form in language.spoken_forms(load_lexicon()) for w in form.split()}
    assert wanted <= said


def test_the_key_follows_the_lexicon() -> None:
    import dataclasses

    lexicon = load_lexicon()
    other = dataclasses.replace(lexicon, hash="0" * 64)
    assert language_key(lexicon) == language_key(lexicon) != language_key(other)


def test_a_home_that_cannot_be_written_falls_back(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    folder = cache_folder()
    assert folder.is_dir()
    assert blocked not in folder.parents
