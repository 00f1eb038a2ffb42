"""The chain from a finding back to words, characters, seconds, readings, rule and questions."""

import json
from pathlib import Path

import pytest

from dictate2exam import pipeline
from dictate2exam.cli.app import run_command
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.record.store import load_record, save_record
from dictate2exam.review.resolve import answer
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Reading, Transcript, Utterance
from dictate2exam.speech.spread import spread_words

LEXICON = load_lexicon()
SAID = (
    "on the right side deltoid four",
    "biceps three plus no sorry two",
    "triceps is probably five",
)
OTHER = "biceps tree plus no sorry too"


def utterance(index: int, text: str) -> Utterance:
    start = 10.0 * index
    words = spread_words(text, start, start + 5)
    readings = [Reading(listener="neural", text=text, words=words)]
    if index == 1:
        readings.append(
            Reading(listener="second", text=OTHER, words=spread_words(OTHER, start, start + 5))
        )
    return Utterance(
        index=index,
        start_s=start,
        end_s=start + 5,
        speaker="examiner",
        words=words,
        readings=tuple(readings),
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A saved record of three utterances, heard by two listeners, with one question answered."""
    transcript = Transcript(
        utterances=tuple(utterance(n, text) for n, text in enumerate(SAID)),
        listeners={"neural": "7", "second": "1"},
    )
    record = pipeline.read(transcript, LEXICON, Settings())
    hedged = next(q for q in record.questions if q.item == "power.triceps_brachii")
    record = answer(record, hedged.question_id, "4", LEXICON)
    save_record(record, tmp_path)
    return tmp_path


def explained(folder: Path, finding_id: str, capsys: pytest.CaptureFixture[str]) -> dict:  # type: ignore[type-arg]
    assert run_command(["explain", str(folder), finding_id, "--json"]) == 0
    made: dict = json.loads(capsys.readouterr().out)  # type: ignore[type-arg]
    return made


def id_of(folder: Path, item: str, value: str) -> str:
    findings = [entry.finding for entry in load_record(folder).findings]
    return next(f.finding_id for f in findings if (f.item, f.value) == (item, value))


def test_a_finding_leads_back_to_its_words(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    chain = explained(folder, id_of(folder, "power.deltoid", "4"), capsys)
    (place,) = chain["places"]
    said = place["utterance"]
    assert said == SAID[0] == (folder_line(folder, place["line"]))
    assert said[place["first_character"] : place["last_character"]] == "deltoid four"
    words = said.split()[place["stretch"]["first_word"] : place["stretch"]["last_word"] + 1]
    assert " ".join(words) == "deltoid four"
    assert 2 < place["stretch"]["start_s"] < place["stretch"]["end_s"] == 5
    assert place["readings"] == {"neural": "deltoid four"}
    marked = {(m["component"], m["text"]): m["meaning"] for m in place["marked"]}
    assert marked["exam_terms", "deltoid"] == "muscle.deltoid"
    assert marked["text", "four"] == "4"
    assert chain["entry"]["finding"]["rule"] == "term before value"


def folder_line(folder: Path, number: int) -> str:
    return load_record(folder).transcript.utterances[number - 1].text


def test_what_it_replaces_and_what_each_listener_heard(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    chain = explained(folder, id_of(folder, "power.biceps_brachii", "2"), capsys)
    assert chain["entry"]["finding"]["rule"] == "corrected value"
    assert [e["finding"]["value"] for e in chain["replaces"]] == ["3+"]
    assert chain["places"][0]["readings"] == {"neural": SAID[1], "second": OTHER}
    old = explained(folder, id_of(folder, "power.biceps_brachii", "3+"), capsys)
    assert old["entry"]["superseded_by"] == chain["entry"]["finding"]["finding_id"]


def test_questions_and_answers_are_shown(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    new = id_of(folder, "power.triceps_brachii", "4")
    chain = explained(folder, new, capsys)
    assert [q["kind"] for q in chain["questions"]] == ["value"]
    assert [note["answer"] for note in chain["answers"]] == ["4"]
    assert new in chain["answers"][0]["findings"]
    assert run_command(["explain", str(folder), new]) == 0
    shown = capsys.readouterr().out
    assert "probably" in shown and f"answer to {chain['questions'][0]['question_id']}: 4" in shown


def test_every_finding_can_be_explained(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for entry in load_record(folder).findings:
        assert run_command(["explain", str(folder), entry.finding.finding_id]) == 0
        shown = capsys.readouterr().out
        assert entry.finding.rule and f"rule        {entry.finding.rule}" in shown
        assert entry.finding.heard_text.split(" … ")[0] in shown


def test_another_lexicon_marks_nothing(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What was marked then is not known; the rest of the chain is in the record."""
    record = load_record(folder)
    versions = record.versions.model_copy(update={"lexicon": "0" * 64})
    save_record(record.model_copy(update={"versions": versions}), folder)
    name = id_of(folder, "power.deltoid", "4")
    chain = explained(folder, name, capsys)
    assert not chain["same_lexicon"] and not chain["places"][0]["marked"]
    assert run_command(["explain", str(folder), name]) == 0
    assert "lexicon has changed" in capsys.readouterr().out


def test_an_unknown_finding_is_said(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_command(["explain", str(folder), "f999"]) == 2
    assert "f999" in capsys.readouterr().err
