"""The finder of evidence tells what a finding was read from; what the rules left out is asked."""

import shutil
from pathlib import Path

import numpy as np
import pytest
from builders import transcript

from dictate2exam.errors import RecogniserError
from dictate2exam.findings.by_evidence import Evidence
from dictate2exam.findings.evidence import (
    BUCKETS,
    SHARED,
    WEIGHTS,
    WINDOW,
    EvidenceFinder,
    distances,
    evidence_finder,
    stretches,
)
from dictate2exam.findings.examined import Examined
from dictate2exam.findings.extract import as_read, read_all
from dictate2exam.findings.nlp import pipeline_for
from dictate2exam.findings.state import Doubtful, State
from dictate2exam.findings.word_kinds import Stream
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

PIPELINE = pipeline_for(load_lexicon())
SAID = (
    "Power on the left. Deltoid four. Biceps three plus. Triceps five. "
    "Wrist extensors four minus. I had a cousin who broke his wrist at seven."
)


def read(text: str) -> State:
    said = transcript(text)
    return read_all(as_read(said, PIPELINE), Settings(), PIPELINE)


def without(state: State, item: str) -> State:
    """The state as if the rules had left out what they read of an item."""
    state.drafts = [draft for draft in state.drafts if draft.item != item]
    return state


def evidence_in(state: State) -> Evidence:
    return Evidence(Examined(state, PIPELINE.vocabulary))


def test_names_and_values_are_evidence_and_talk_is_none() -> None:
    state = read(SAID)
    stream = Stream(state.phrases, PIPELINE.vocabulary)
    seen = evidence_finder().look(stream.words, stream.kinds)
    chances = {w: seen.evidence(at, at + 1) for at, w in enumerate(stream.words)}
    assert min(chances[word] for word in ("deltoid", "biceps", "triceps", "3+", "5")) > 0.8
    assert max(chances[word] for word in ("cousin", "wrist", "7", ".")) < 0.2


def test_a_name_goes_with_its_value() -> None:
    stream = Stream(read(SAID).phrases, PIPELINE.vocabulary)
    seen = evidence_finder().look(stream.words, stream.kinds)
    for name, value in (("deltoid", "4"), ("biceps", "3+"), ("triceps", "5")):
        at, where = stream.words.index(name), stream.words.index(value)
        assert seen.value_of(at) == where
        assert seen.linked(at, where, where + 1) > 0.5


def test_what_the_rules_left_out_is_asked_about_with_its_value() -> None:
    state = without(read(SAID), "power.biceps_brachii")
    questions = list(evidence_in(state).questions())
    assert {(q.item, q.side, q.suggestions, q.rule) for q in questions} == {
        ("power.biceps_brachii", "left", ("3+", "reject"), "evidence")
    }


def test_what_was_read_is_not_asked_about() -> None:
    assert not list(evidence_in(read(SAID)).questions())


def test_a_number_in_talk_is_no_value_whatever_a_rule_says() -> None:
    state = read(SAID)
    marks = {mark.text: mark for sentence in state.read for mark in sentence.marks}

    def doubt(text: str) -> Doubtful:
        marked = (marks[text],)
        return Doubtful("unknown_term", False, "?", marks=marked, rule="value_without_item")

    evidence = evidence_in(state)
    assert evidence.gainsays(doubt("7"))
    assert not evidence.gainsays(doubt("5"))


def test_an_unknown_word_before_a_value_that_was_read_is_not_asked_about() -> None:
    state = read("Power on the left. Deltoid, nicely done, four. Wobbler three.")
    marks = {mark.text: mark for sentence in state.read for mark in sentence.marks}
    evidence = evidence_in(state)
    doubts = {
        word: Doubtful("unknown_term", False, "?", marks=(marks[word],), rule="unknown_term")
        for word in ("nicely", "wobbler")
    }
    assert evidence.gainsays(doubts["nicely"])
    assert not evidence.gainsays(doubts["wobbler"])


def test_long_speech_is_seen_window_by_window() -> None:
    words = ["deltoid", "4", ".", "and", "then", "he", "went", "home", "."] * 60
    kinds = ["S-muscle", "S-number", "_", "_", "_", "_", "_", "_", "_"] * 60
    finder = evidence_finder()
    seen = finder.look(words, kinds)
    assert len(words) > 2 * WINDOW > 4 * SHARED
    assert seen.tags.shape == (len(words), 4)
    assert np.allclose(seen.tags.sum(axis=1), 1, atol=1e-4)
    assert sorted(seen.links) == list(range(len(words)))
    names = [at for at, word in enumerate(words) if word == "deltoid"]
    assert np.mean([seen.value_of(at) == at + 1 for at in names]) > 0.9


def test_distances_are_told_apart_by_direction_and_more_coarsely_far_away() -> None:
    apart = distances(200)
    assert apart[5, 5] == BUCKETS // 2
    assert (apart[5, 7], apart[7, 5]) == (BUCKETS // 2 + 2, 2)
    assert apart[0, 150] == apart[0, 199] == BUCKETS - 1


def test_stretches_of_one_thing() -> None:
    labels = ["_", "S-number", "B-muscle", "I-muscle", "E-muscle", "_"]
    assert list(stretches(labels)) == [(1, 2, "number"), (2, 5, "muscle")]


def test_nothing_said_is_nothing_seen() -> None:
    assert evidence_finder().look([], []).tags.shape == (0, 4)


def test_altered_weights_are_refused(tmp_path: Path) -> None:
    folder = shutil.copytree(WEIGHTS, tmp_path / "weights")
    (folder / "evidence.npz").write_bytes(b"other")
    with pytest.raises(RecogniserError, match="install dictate2exam anew"):
        EvidenceFinder(folder)
