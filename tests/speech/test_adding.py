"""A term that a user adds is found and has sounds; what can't be used is refused in a sentence."""

import shutil
from pathlib import Path

import numpy as np
import pytest

from dictate2exam.audio.model import Recording
from dictate2exam.cli.app import run_command
from dictate2exam.errors import InputError, LexiconError
from dictate2exam.lexicon.added import AddedTerm, keep_term, read_added, user_file
from dictate2exam.lexicon.check import check_lexicon
from dictate2exam.lexicon.files import find_folder
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.pipeline import read
from dictate2exam.settings import Settings
from dictate2exam.speech.added_terms import AddedTerms
from dictate2exam.speech.adding import make_term
from dictate2exam.speech.listen import listen
from dictate2exam.speech.model import Reading, Word
from dictate2exam.speech.pronounce import Pronouncer
from dictate2exam.speech.typed import read_transcript
from dictate2exam.synthesis.engines import Manner, build_speaker, why_not


@pytest.fixture(autouse=True)
def home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path


def test_another_name_of_an_item() -> None:
    made = make_term("Wendler's muscle", "power.deltoid", "vend-lers muscle", load_lexicon())
    assert made.said == "wendler's muscle"
    assert made.sounds["wendler's"][0] == "V EH N D L ER Z"
    assert "muscle" not in made.sounds  # said as it is spelled
    keep_term(user_file(), made)
    lexicon = load_lexicon()
    assert "wendler's muscle" in lexicon.by_id["muscle", "deltoid"].spoken
    assert Pronouncer.of_lexicon(lexicon).ways("wendler's")[0][0] == "V"
    assert (
        "wendler's muscle" not in load_lexicon(with_users=False).by_id["muscle", "deltoid"].spoken
    )


def test_what_was_added_is_found(home: Path) -> None:
    for said, item in (("Wendler's muscle", "power.deltoid"), ("Zendrell's sign", "")):
        keep_term(user_file(), make_term(said, item, "", load_lexicon()))
    script = home / "exam.txt"
    script.write_text("Left arm. Wendler's muscle three plus. Zendrell's sign positive.\n")
    record = read(read_transcript([script]), load_lexicon(), Settings(side="left"))
    values = {finding.item: finding.value for finding in record.standing}
    assert values["power.deltoid"] == "3+"
    assert values["sign.zendrells_sign"] == "present"


@pytest.mark.parametrize(
    ("said", "item", "like", "what"),
    [
        ("deltoid", "power.biceps", "", "already said for deltoid"),
        ("four", "", "", "meaning of its own"),
        ("zendrell", "power.nothing", "", "no item power.nothing"),
        ("zendrell é", "", "", "letters a to z"),
        ("  ", "", "", "letters a to z"),
        ("zendrell test", "", "zen drell test", "3 words and the term 2"),
        ("zendrell", "", "zen9", "can't be read"),
    ],
)
def test_what_cannot_be_used_is_refused(said: str, item: str, like: str, what: str) -> None:
    with pytest.raises(InputError, match=what):
        make_term(said, item, like, load_lexicon())


def test_a_broken_file_is_named(home: Path) -> None:
    path = user_file()
    path.parent.mkdir(parents=True)
    for text, what in (
        ("[[term]\n", "not valid TOML"),
        ('[[term]]\nsaid = "Upper"\nitem = "power.deltoid"\n', "term 1: said"),
        ('[[term]]\nsaid = "zendrell"\nitem = "power.x"\n', "no item power.x"),
        ('[[term]]\nsaid = "z"\nitem = "sign.z"\nsounds.z = ["QQ"]\n', "QQ is no sound letter"),
        ('[other]\nsaid = "z"\n', r"\[\[term\]\]"),
    ):
        path.write_text(text, encoding="utf-8")
        with pytest.raises(LexiconError, match=what):
            load_lexicon()
        assert len(check_lexicon(find_folder(), (path,))) == 1


def test_a_name_for_two_things_is_a_problem(home: Path) -> None:
    for item in ("power.deltoid", "power.biceps"):
        keep_term(user_file(), AddedTerm(said="zendrell", item=item))
    assert any("zendrell" in problem for problem in check_lexicon(find_folder(), (user_file(),)))
    assert len(read_added([user_file()])) == 2


def test_the_command_adds_to_a_folder(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("dictate2exam.speech.language.build_language", lambda lexicon: None)
    copy = home / "lexicon"
    shutil.copytree(find_folder(), copy)
    given = ["lexicon", "add", "Zendrell's sign", "--lexicon", str(copy)]
    assert run_command(given) == 0
    assert "Z EH N D R EH L" in capsys.readouterr().out
    assert not user_file().exists()
    assert load_lexicon(copy).by_id["sign", "zendrells_sign"].spoken == ("zendrell's sign",)
    assert run_command(given) == 2
    assert "already said" in capsys.readouterr().err
    assert run_command(["lexicon", "check", str(copy)]) == 0


def words_of(text: str, sure: float) -> tuple[Word, ...]:
    return tuple(
        Word(text=word, start_s=place, end_s=place + 1, confidence=sure)
        for place, word in enumerate(text.split())
    )


@pytest.mark.parametrize(
    ("heard", "other", "made", "asked"),
    [
        ("middle sign absent", "zendrell's sign absent", "zendrell's sign absent", False),
        ("mendle sign positive", "the old sign positive", "zendrell's sign positive", True),
        ("syndromes sign absent", "general sign absent", "zendrell's sign absent", True),
        ("biceps three", "biceps three", "biceps three", False),
    ],
)
def test_the_neural_listeners_words_give_way(
    heard: str, other: str, made: str, asked: bool
) -> None:
    keep_term(user_file(), make_term("Zendrell's sign", "", "", load_lexicon()))
    lexicon = load_lexicon()
    finder = AddedTerms(lexicon, Pronouncer.of_lexicon(lexicon))
    words = finder.restore(words_of(heard, 0.6), [Reading(listener="second", text=other)])
    assert " ".join(word.text for word in words) == made
    assert any((word.confidence or 0) < 0.1 for word in words) == asked
    assert words[-1].end_s == pytest.approx(len(heard.split()))


def test_the_name_of_another_term_gives_way_where_it_was_hardly_heard() -> None:
    keep_term(user_file(), make_term("brachiotensor", "power.supinator", "", load_lexicon()))
    lexicon = load_lexicon()
    finder = AddedTerms(lexicon, Pronouncer.of_lexicon(lexicon))
    other = [Reading(listener="second", text="brachiotensor four")]
    words = finder.restore(words_of("brachialis four", 0.2), other)
    assert words[0].text == "brachiotensor" and (words[0].confidence or 0) < 0.1
    assert finder.restore(words_of("brachialis four", 0.8), other)[0].text == "brachialis"


def test_the_name_of_another_term_stays_where_it_was_heard() -> None:
    keep_term(user_file(), make_term("Zendrell's sign", "", "", load_lexicon()))
    lexicon = load_lexicon()
    finder = AddedTerms(lexicon, Pronouncer.of_lexicon(lexicon))
    words = words_of("tinel's sign absent", 0.8)
    assert (
        finder.restore(words, [Reading(listener="second", text="zendrell's sign absent")]) == words
    )


def test_sure_words_stay() -> None:
    keep_term(user_file(), make_term("Zendrell's sign", "", "", load_lexicon()))
    lexicon = load_lexicon()
    finder = AddedTerms(lexicon, Pronouncer.of_lexicon(lexicon))
    words = words_of("mendle sign positive", 0.95)
    assert finder.restore(words, [Reading(listener="second", text="mendle sign")]) == words


@pytest.mark.slow
@pytest.mark.parametrize("voice", ["flite:rms", "espeak:en-us"])
def test_an_invented_term_that_is_spoken_is_found_or_asked_about(voice: str) -> None:
    if why_not(voice):
        pytest.skip(why_not(voice))
    speak = build_speaker(voice)
    for said, item in (("Zendrell's sign", ""), ("brachiotensor", "power.supinator")):
        keep_term(user_file(), make_term(said, item, "", load_lexicon()))
    lexicon, settings = load_lexicon(), Settings(side="left")
    pause = np.zeros(8_000, np.float32)
    for text, item, value in (
        ("Zendrell's sign absent.", "sign.zendrells_sign", "absent"),
        ("Brachiotensor four minus.", "power.supinator", "4-"),
    ):
        sound = speak(text, Manner())
        sound = np.concatenate([pause, 0.3 * sound / np.abs(sound).max(), pause])
        sound += np.random.default_rng(1).normal(0, 3e-4, len(sound))
        recording = Recording(samples=sound.astype(np.float32), source=("spoken",))
        transcript = listen(recording, lexicon, settings)
        record = read(transcript, lexicon, settings)
        assert [(f.item, f.value) for f in record.standing] == [(item, value)], transcript
        heard = [reading.text for reading in transcript.utterances[0].readings]
        term = "zendrell's sign" if "sign" in item else "brachiotensor"
        asked = [q for q in record.questions if q.item == item and q.kind != "gap"]
        assert any(term in text for text in heard) or asked
