"""Stops that were learnt are put into speech without any, and its findings are read by them."""

import shutil
from pathlib import Path

import numpy as np
import pytest
from examples import transcript, utterance

from dictate2exam.errors import RecogniserError
from dictate2exam.findings.extract import extract
from dictate2exam.findings.nlp import pipeline_for
from dictate2exam.findings.stops import (
    WEIGHTS,
    StopFinder,
    carried,
    stop_finder,
    stops_of,
    with_stops,
)
from dictate2exam.findings.word_kinds import kinds
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Word
from dictate2exam.text.model import Stopped

PIPELINE = pipeline_for(load_lexicon())
SAID = (
    "right arm deltoid is four biceps",
    "is three triceps five",
    "no winging of the scapula and then",
    "sensation over the thumb",
    "is six out of ten",
)


def test_words_are_told_by_the_lexicon() -> None:
    words = ["the", "flexor", "carpi", "ulnaris", "is", "four"]
    told = kinds(words, PIPELINE)
    assert told[1:4] == ["B-muscle", "I-muscle", "E-muscle"]
    assert told[5] == "S-number"


def test_a_sentence_goes_on_over_a_pause() -> None:
    said = [utterance(n, text) for n, text in enumerate(SAID)]
    joined = with_stops(said, PIPELINE)
    assert [word.text for one in joined for word in one.words] == " ".join(SAID).split()
    assert len(joined) < len(said)
    texts = [one.text for one in joined]
    assert any(text.endswith("biceps is three triceps five") for text in texts)


def test_findings_lead_back_to_the_words_as_they_were_heard() -> None:
    heard = transcript(*SAID)
    read = extract(heard, load_lexicon(), Settings())
    values = {f.item: (f.side, f.value) for f in read.findings}
    assert values["power.biceps_brachii"] == ("right", "3")
    assert values["power.deltoid"] == ("right", "4")
    assert values["sensation.c6"] == ("right", "6")
    for finding in read.findings:
        for stretch in finding.heard:
            words = heard.utterances[stretch.utterance].words
            said = words[stretch.first_word : stretch.last_word + 1]
            assert stretch.text == " ".join(word.text for word in said)


def test_speakers_and_talk_are_not_joined() -> None:
    said = [
        utterance(0, "biceps on the right", speaker="examiner"),
        utterance(1, "it hurts", speaker="patient"),
        utterance(2, "is four", speaker="examiner"),
    ]
    assert len(with_stops(said, PIPELINE)) == 3


def test_what_has_stops_stays_as_it_is() -> None:
    said = [utterance(0, "Deltoid four, biceps three.")]
    assert with_stops(said, PIPELINE) == tuple(said)


def test_each_word_has_the_chances_of_its_stops() -> None:
    pieces = [text.split() for text in SAID]
    words = [word for piece in pieces for word in piece]
    chances = stop_finder().chances(pieces, kinds(words, PIPELINE))
    assert chances.shape == (len(words), 4)
    assert np.allclose(chances.sum(axis=1), 1)
    assert stop_finder().chances([], []).shape == (0, 4)
    assert stop_finder().chances([["deltoid", ""]], ["S-muscle", "_"]).shape == (2, 4)
    assert stops_of(np.eye(4), ["_"] * 4) == ["", ",", ".", "?"]
    assert stops_of(np.eye(4), ["B-muscle"] * 4) == ["", "", ".", "?"]


def test_the_end_of_a_long_sentence_is_overdue() -> None:
    hardly = np.tile([0.8, 0.0, 0.2, 0.0], (30, 1))
    assert "." not in stops_of(hardly[:10], ["_"] * 10)
    assert "." in stops_of(hardly, ["_"] * 30)


def test_stops_are_laid_on_what_another_listener_heard() -> None:
    words = tuple(Word(text=w, start_s=0, end_s=1) for w in ["deltoid", "four", "biceps", "three"])
    mine = Stopped(index=0, start_s=0, end_s=1, words=words, stops=("", ".", "", "."))
    other = [Word(text=w, start_s=0, end_s=1) for w in ["deltoid", "for", "the", "biceps", "three"]]
    assert carried(mine, other) == ("", "", ".", "", ".")


def test_altered_weights_are_refused(tmp_path: Path) -> None:
    folder = shutil.copytree(WEIGHTS, tmp_path / "weights")
    (folder / "tagger" / "model").write_bytes(b"other")
    with pytest.raises(RecogniserError, match="install dictate2exam anew"):
        StopFinder(folder)
    (folder / "SHA256SUMS").unlink()
    with pytest.raises(RecogniserError, match="install dictate2exam anew"):
        StopFinder(folder)
