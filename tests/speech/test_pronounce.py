"""Every word has a pronunciation; the ways of saying terms are the ones people use."""

from pathlib import Path

import pytest

from dictate2exam.bench.language import pronunciation_agreement
from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.sounds import PHONES, read_sounds
from dictate2exam.speech.language import spoken_forms
from dictate2exam.speech.letters import sound_out
from dictate2exam.speech.pronounce import Pronouncer, british, general_dictionary
from dictate2exam.speech.sentences import sentences


@pytest.fixture(scope="module")
def pronouncer() -> Pronouncer:
    return Pronouncer.of_lexicon(load_lexicon())


def test_hardly_any_word_of_a_term_is_guessed_by_rule(pronouncer: Pronouncer) -> None:
    words = {word for form in spoken_forms(load_lexicon()) for word in form.split()}
    guessed = sorted(
        word
        for word in words
        if not pronouncer.known(word) and pronouncer.ways(word) == sound_out(word.replace("'", ""))
    )
    assert len(guessed) <= 0.02 * len(words), guessed


def test_every_word_of_the_templates_can_be_said(pronouncer: Pronouncer) -> None:
    words = {word for s in sentences(load_lexicon(), 20_000, 3) for word in s.split()}
    assert len(words) > 800
    for word in words:
        ways = pronouncer.ways(word)
        assert ways, word
        for way in ways:
            assert way and set(way) <= PHONES, word
    # Words sounded out by rule are few: the rest a person or the general dictionary has said.
    guessed = [w for w in words if pronouncer.ways(w, False) == sound_out(w.replace("'", ""))]
    unknown = [w for w in guessed if not pronouncer.known(w)]
    assert len(unknown) <= 0.02 * len(words), unknown


def test_hand_written_sounds_hold_up_against_the_general_dictionary() -> None:
    """CMU Pronouncing Dictionary: a word in both has a way near one of the dictionary's."""
    from dictate2exam.speech.combine import align

    general = general_dictionary()
    shared = {w: ways for w, ways in read_sounds(load_lexicon().folder).items() if w in general}
    assert len(shared) > 50
    for word, ways in shared.items():
        nearest = min(sum(align(way, other)) for way in ways for other in general[word])
        assert nearest <= 1.3, word


def test_agreement_with_the_general_dictionary() -> None:
    """CMU Pronouncing Dictionary, from the pocketsphinx wheel; `bench language` prints shares."""
    shares = pronunciation_agreement()
    assert shares["by hand"]["words"] > 50
    assert shares["by hand"]["exact_percent"] > 90
    assert shares["words of terms by rule"]["words"] > 250
    assert shares["words of terms by rule"]["wrong_sounds_percent"] < 17
    assert shares["words of the dictionary by rule"]["wrong_sounds_percent"] < 22


def test_both_sides_of_the_ocean() -> None:
    assert british(tuple(["F", "L", "EH", "K", "S", "ER"])) == tuple(
        ["F", "L", "EH", "K", "S", "AH"]
    )
    assert british(tuple(["AA", "R", "M"])) == ("AA", "M")
    assert british(tuple(["K", "AO", "R", "AH"])) == tuple(["K", "AO", "R", "AH"])


def test_parts_and_endings(pronouncer: Pronouncer) -> None:
    assert tuple(["D", "R", "UW", "P", "S"]) in pronouncer.ways("droops")
    assert tuple(["D", "EH", "L", "T", "OY", "D", "Z"]) in pronouncer.ways("deltoid's")
    assert pronouncer.ways("a")[0] == ("EY",)


@pytest.mark.parametrize(
    ("word", "sounds"),
    [
        ("gracilis", "G R AE S IH L IH S"),
        ("supraglenoid", "S UW P R AH G L EH N OY D"),
        ("pterion", "T ER IY OW N"),
    ],
)
def test_unknown_words_are_sounded_out(word: str, sounds: str) -> None:
    assert sound_out(word) == (tuple(sounds.split()),)


@pytest.mark.parametrize("word", ["é", "x", "'", "123", "zzzz", "rhythm"])
def test_any_word_gets_sounds(word: str) -> None:
    for way in sound_out(word):
        assert way and set(way) <= PHONES


def test_a_broken_line_is_named(tmp_path: Path) -> None:
    (tmp_path / "speech").mkdir()
    path = tmp_path / "speech" / "pronunciations.dict"
    path.write_text("# fine\ndeltoid D EH L T OY D\nbiceps B AI S\n")
    with pytest.raises(LexiconError, match=r"line 3 \(biceps\).*AI"):
        read_sounds(tmp_path)
    path.write_text("deltoid\n")
    with pytest.raises(LexiconError, match="line 1"):
        read_sounds(tmp_path)
