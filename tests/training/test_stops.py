"""The finder of stops learns from punctuated text what follows each word."""

import random
from pathlib import Path

from dictate2exam.findings.nlp import pipeline_for
from dictate2exam.findings.stops import CUT, LABELS, StopFinder
from dictate2exam.findings.word_kinds import kinds
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.training.stops import (
    Chances,
    Course,
    examine,
    paused,
    read_folders,
    read_said,
    read_unstopped,
    stopped_words,
    train,
    untrained,
    write,
)

PIPELINE = pipeline_for(load_lexicon())


def test_every_word_has_what_follows_it() -> None:
    assert stopped_words("examiner: Deltoid 4+, biceps three - no wasting. Sore?") == [
        ("deltoid", "_"),
        ("four", "_"),
        ("plus", ","),
        ("biceps", "_"),
        ("three", ","),
        ("no", "_"),
        ("wasting", "."),
        ("sore", "?"),
    ]
    assert stopped_words("and then")[-1] == ("then", ".")
    assert stopped_words("...") == []


def test_an_empty_line_parts_two_examinations(tmp_path: Path) -> None:
    (tmp_path / "some.txt").write_text("Deltoid four.\nBiceps five.\n\nTriceps two.\n")
    one, other = read_folders([tmp_path], PIPELINE)
    assert one.words == ["deltoid", "four", "biceps", "five"]
    assert one.ends == [False, True, False, True]
    assert other.kinds == ["S-muscle", "S-number"]


def test_pauses_fall_as_their_chances_are() -> None:
    said = read_said([stopped_words("Deltoid four, biceps five. Good.")], PIPELINE)
    words, lemmas, labels = paused(said, Chances(1, 0, 0, 0), random.Random(1))
    assert words == ["deltoid", "four", "biceps", "five", CUT, "good"]
    assert labels == ["_", ",", "_", ".", "-", "."]
    assert lemmas[4] == "CUT"


def test_natural_utterances_are_known_by_their_ends_alone() -> None:
    stops = {stop for said in read_unstopped(PIPELINE) for stop in said.stops}
    assert stops == {"", "."}


def test_a_few_steps_are_written_and_read_again(tmp_path: Path) -> None:
    (tmp_path / "some.txt").write_text("Deltoid four. Biceps five.\n\nTriceps two, good.\n")
    texts = read_folders([tmp_path], PIPELINE)
    nlp = train(Course(texts, [], untrained(), seed=1), steps=2)
    assert examine(nlp, texts)["sentence"]["there"] == 3
    write(nlp, tmp_path / "made")
    words = ["deltoid", "four"]
    chances = StopFinder(tmp_path / "made").chances([words], kinds(words, PIPELINE))
    assert chances.shape == (2, 4)
    assert set(nlp.get_pipe("tagger").labels) == set(LABELS)
