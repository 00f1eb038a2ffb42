"""The cache of the built language: by content, whole or not at all, without a writable home."""

from dataclasses import replace
from pathlib import Path

import pytest

from dictate2exam.bench.language import coverage
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.lexicon.natural import read_natural
from dictate2exam.speech import language, language_models
from dictate2exam.speech.language import (
    FILES,
    build_language,
    cache_folder,
    general_key,
    language_key,
    write_language,
)
from dictate2exam.speech.ngram import witten_bell


@pytest.fixture()
def quick(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setattr(language, "SHIPPED", tmp_path / "nothing shipped")
    monkeypatch.setattr(language_models, "SENTENCES", 500)
    monkeypatch.setattr(language_models, "TALK_SENTENCES", 200)
    for name in ("BACKGROUND_PAIRS", "GENERAL_PAIRS"):
        monkeypatch.setattr(language_models, name, 2_000)
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

    monkeypatch.setattr(language_models, "_pack", fail)
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


def test_what_is_shipped_is_used_where_it_fits(
    quick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shipped = quick / "shipped"
    shipped.mkdir()
    write_language(load_lexicon(), shipped, lambda share: None)
    monkeypatch.setattr(language, "SHIPPED", shipped)
    assert build_language(load_lexicon()).folder == shipped
    assert build_language(with_word(load_lexicon(), "zendrell's test")).folder != shipped
    (shipped / FILES[0]).unlink()  # damaged: built instead
    assert build_language(load_lexicon()).folder != shipped


def test_a_new_term_leaves_general_english_as_it_was(
    quick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = build_language(load_lexicon())
    monkeypatch.setattr(language_models, "general_model", None)
    other = with_word(load_lexicon(), "zendrell's test")
    assert general_key(other) == general_key(load_lexicon())
    work = quick / "work"
    work.mkdir()
    with pytest.raises(TypeError):  # the mixed model needs it; the general one was copied before
        write_language(other, work, lambda share: None)
    assert (work / "general.lm.bin").read_bytes() == first.general.read_bytes()


def with_word(lexicon: Lexicon, said: str) -> Lexicon:
    first, *rest = lexicon.terms
    return replace(
        lexicon, terms=(first.model_copy(update={"spoken": (*first.spoken, said)}), *rest)
    )


def test_the_key_follows_what_the_language_is_made_of() -> None:
    lexicon = load_lexicon()
    assert language_key(lexicon) != language_key(with_word(lexicon, "zendrell's test"))
    assert language_key(lexicon) == language_key(replace(lexicon, hash="0" * 64))
    sounds = (("zendrell", ("Z", "EH")),)
    assert language_key(lexicon) != language_key(replace(lexicon, added_sounds=sounds))


def test_natural_utterances_are_heard_better_than_by_templates_alone() -> None:
    """Held out: the utterances of one file, by the other files and the templates."""
    lexicon = load_lexicon()
    texts = read_natural(lexicon.folder)
    held = texts.pop("commentary")
    templates = witten_bell(language_models.template_texts(lexicon, 5_000))
    natural = witten_bell([line for lines in texts.values() for line in lines])
    both = [(templates, 0.5), (natural, 0.5)]
    alone = coverage([(templates, 1.0)], held)
    assert coverage(both, held)["perplexity"] < 0.8 * alone["perplexity"]
    assert coverage(both, held)["unknown_words"] < alone["unknown_words"] < 12


def test_a_home_that_cannot_be_written_falls_back(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    folder = cache_folder()
    assert folder.is_dir()
    assert blocked not in folder.parents
