"""What is kept of an examiner: read back as written, used where it is certain, removable."""

from pathlib import Path

import pytest
from builders import transcript
from mixes import LINES, can_speak, said

from dictate2exam import pipeline
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.personal import Mishearing, with_mishearings
from dictate2exam.review.resolve import answer
from dictate2exam.settings import Settings
from dictate2exam.speech.examiner import (
    Examiner,
    examiner_file,
    forget_examiner,
    keep_examiner,
    read_examiner,
    with_confirmed,
)
from dictate2exam.speech.language import build_language
from dictate2exam.speech.personal_sounds import personal_sounds, write_personal_dictionary
from dictate2exam.speech.pocketsphinx_listener import PocketSphinxListener
from dictate2exam.speech.pronounce import Pronouncer

LEXICON = load_lexicon()


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def test_it_is_read_as_it_was_kept_and_can_be_forgotten() -> None:
    kept = Examiner(
        name="A. Person",
        cepstral_means="1.5,2",
        mishearings=(Mishearing(heard="gastro deltoy", category="muscle", term_id="deltoid"),),
    )
    assert read_examiner("A. Person") == Examiner(name="A. Person")
    path = keep_examiner(kept)
    assert read_examiner("A. Person") == kept
    assert path.stat().st_mode & 0o077 == 0  # health workers' voices are nobody else's to read
    assert forget_examiner("A. Person") and not path.exists()
    assert not forget_examiner("A. Person")


def test_names_that_are_paths_and_broken_files_are_refused() -> None:
    for name in ("../elsewhere", "", "a/b", ".hidden"):
        with pytest.raises(InputError, match="examiner's name"):
            examiner_file(name)
    keep_examiner(Examiner(name="x")).write_text("{")
    with pytest.raises(InputError, match="--forget"):
        read_examiner("x")


def test_a_confirmed_mishearing_is_asked_once_and_only_of_this_examiner() -> None:
    spoken = transcript("right biceps four. gastrocnemius five")
    first = pipeline.read(spoken, LEXICON, Settings(examiner="me"))
    (question,) = [q for q in first.questions if q.kind == "unknown_term"]
    after = answer(first, question.question_id, "power.deltoid 5 right", LEXICON)
    assert pipeline.learn(first, after, LEXICON) == 1
    assert pipeline.learn(after, after, LEXICON) == 0  # an answer counts once

    again = pipeline.read(spoken, pipeline.known_to("me", LEXICON), Settings(examiner="me"))
    assert [q for q in again.questions if q.kind == "unknown_term"] == []
    assert ("power.deltoid", "5") in {(f.item, f.value) for f in again.standing}
    other = pipeline.read(spoken, pipeline.known_to("you", LEXICON), Settings(examiner="you"))
    assert [q.kind for q in other.questions if q.kind != "gap"] == ["unknown_term"]


def test_a_confirmed_slip_is_not_asked_about_for_being_hardly_heard() -> None:
    spoken = transcript("right biceps four. gastrocnemius five")
    (said,) = spoken.utterances
    weak = tuple(
        word.model_copy(update={"confidence": 0.1 if "gas" in word.text else 0.99})
        for word in said.words
    )
    unsure = spoken.model_copy(update={"utterances": (said.model_copy(update={"words": weak}),)})
    confirmed = [("gastrocnemius", "muscle", "deltoid")]
    kept = with_confirmed(Examiner(name="me"), confirmed, LEXICON)
    known = with_mishearings(LEXICON, kept.mishearings)
    asked = [q for q in pipeline.read(unsure, known, Settings()).questions if q.kind != "gap"]
    assert asked == []
    first = [q.rule for q in pipeline.read(unsure, LEXICON, Settings()).questions]
    assert "unknown_term" in first


def test_nothing_is_kept_where_nobody_is_named(tmp_path: Path) -> None:
    first = pipeline.read(transcript("right side. gastrocnemius five"), LEXICON, Settings())
    (question,) = [q for q in first.questions if q.kind == "unknown_term"]
    after = answer(first, question.question_id, "power.deltoid 5 right", LEXICON)
    assert pipeline.learn(first, after, LEXICON) == 0
    assert not (tmp_path / "data").exists()
    assert pipeline.known_to("", LEXICON) is LEXICON


def test_a_rejected_term_and_an_answer_about_a_value_teach_nothing() -> None:
    first = pipeline.read(transcript("right side. gastrocnemius five"), LEXICON, Settings())
    (question,) = [q for q in first.questions if q.kind == "unknown_term"]
    named = first.model_copy(update={"examiner": "me"})
    after = answer(named, question.question_id, "reject", LEXICON)
    assert pipeline.learn(named, after, LEXICON) == 0


def test_another_term_ordinary_words_and_two_meanings_name_nothing() -> None:
    confirmed = [
        ("triceps", "muscle", "biceps_brachii"),  # a term for a term: not kept at all
        ("by the way", "muscle", "biceps_brachii"),
        ("deltoy", "muscle", "deltoid"),
        ("grommick", "muscle", "deltoid"),
        ("grommick", "muscle", "supinator"),
    ]
    kept = with_confirmed(Examiner(name="x"), confirmed, LEXICON).mishearings
    assert [(m.heard, m.ordinary) for m in kept] == [
        ("by the way", True),
        ("deltoy", False),
        ("grommick", False),
        ("grommick", False),
    ]
    own = with_mishearings(LEXICON, kept)
    more = {
        form
        for term in own.terms
        for form in term.misheard
        if form not in LEXICON.by_id[(term.category, term.term_id)].misheard
    }
    assert more == {"deltoy"}


def test_a_mishearing_becomes_a_way_of_saying_the_term(tmp_path: Path) -> None:
    pronouncer = Pronouncer.of_lexicon(LEXICON)
    mishearings = (
        Mishearing(heard="by steps", category="muscle", term_id="biceps_brachii", ordinary=True),
        Mishearing(heard="triceps", category="muscle", term_id="biceps_brachii"),
        Mishearing(heard="thank you", category="muscle", term_id="supinator", ordinary=True),
    )
    sounds = personal_sounds(with_mishearings(LEXICON, mishearings), pronouncer)
    # Nothing for "triceps": biceps and triceps would sound alike; "thank you" sounds like neither.
    assert sounds == [("biceps", ("B", "AY", "S", "T", "EH", "P", "S"))]
    known = build_language(LEXICON).domain_dictionary
    write_personal_dictionary(known, sounds, tmp_path / "own.dict")
    added = set((tmp_path / "own.dict").read_text().splitlines()) - set(
        known.read_text().splitlines()
    )
    assert len(added) == 1 and added.pop().endswith(") B AY S T EH P S")


@pytest.mark.skipif(not can_speak(), reason="flite or espeak-ng is missing")
@pytest.mark.slow
def test_a_voice_that_says_it_so_is_heard_with_the_pronunciation() -> None:
    """The decoder really uses the added way: "by steps three" is heard as biceps three."""
    mishearing = Mishearing(heard="by steps", category="muscle", term_id="biceps_brachii")
    own = with_mishearings(LEXICON, (mishearing,))
    sounds = personal_sounds(own, Pronouncer.of_lexicon(LEXICON))
    language = build_language(LEXICON)
    spoken = said("by steps three", "flite", "slt").astype("float32")
    assert "biceps" not in PocketSphinxListener(language).hear(spoken).text
    assert "biceps three" in PocketSphinxListener(language, sounds).hear(spoken).text


@pytest.mark.skipif(not can_speak(), reason="flite or espeak-ng is missing")
@pytest.mark.slow
def test_cepstral_means_go_round_and_do_not_hurt() -> None:
    """The second reader on short first utterances, with and without the voice's own means."""
    jiwer = pytest.importorskip("jiwer")
    language = build_language(LEXICON)
    short = ("deltoid four", "biceps three", "triceps five", "infraspinatus two", "pronation five")
    texts: list[str] = []
    without: list[str] = []
    carried: list[str] = []
    for engine, voice in (("flite", "rms"), ("espeak-ng", "en-us+f3")):
        first = PocketSphinxListener(language)
        for line in LINES:
            first.hear(said(line, engine, voice).astype("float32") * 0.3)
        keep_examiner(Examiner(name="me", cepstral_means=first.cepstral_means))
        kept = read_examiner("me").cepstral_means
        assert kept == first.cepstral_means and len(kept.split(",")) == 13
        again = PocketSphinxListener(language, (), kept)
        before = [float(value) for value in again.cepstral_means.split(",")]
        assert before == pytest.approx([float(value) for value in kept.split(",")], abs=0.01)
        for line in short:
            sound = said(line, engine, voice).astype("float32") * 0.3
            texts.append(line)
            without.append(first.hear(sound).text or "-")
            carried.append(again.hear(sound).text or "-")
    wrong, wrong_carried = jiwer.wer(texts, without), jiwer.wer(texts, carried)
    print(f"\nword errors without {wrong:.2f}, with carried means {wrong_carried:.2f}")
    assert wrong_carried <= wrong + 0.1
