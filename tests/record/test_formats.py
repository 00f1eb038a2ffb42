"""Older records are read and gone on with; `format_2` was written by the program of that time."""

import json
import shutil
from pathlib import Path

import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.record.event_file import read_events
from dictate2exam.record.model import SCHEMA_VERSION
from dictate2exam.record.store import keep, load_record, open_log, save_record
from dictate2exam.record.verify import verify
from dictate2exam.review.resolve import answer

OLDER = Path(__file__).parent / "format_2"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(OLDER, tmp_path / "older"))


def test_an_older_record_is_read_as_it_was_written(folder: Path) -> None:
    written = json.loads((folder / "record.json").read_text())
    assert written["schema_version"] == 2
    read = load_record(folder)
    assert read.schema_version == SCHEMA_VERSION
    assert [q.question for q in read.questions] == [q["question"] for q in written["questions"]]
    assert {q.rule for q in read.questions} == {""}
    assert verify(folder).altered == ()


def test_reading_an_older_record_amends_nothing(folder: Path) -> None:
    before = (folder / "events.jsonl").read_bytes()
    kept = keep(open_log(folder), load_record(folder))
    save_record(kept, folder)
    assert (folder / "events.jsonl").read_bytes() == before
    assert load_record(folder) == kept


def test_an_older_record_is_gone_on_with(folder: Path) -> None:
    read = load_record(folder)
    answered = answer(read, read.blocking[0].question_id, "2", load_lexicon())
    kept = keep(open_log(folder), answered, "A. Reader")
    save_record(kept, folder)
    assert not kept.blocking
    assert read_events(folder)[0][-1].kind == "answered"
    assert load_record(folder) == kept
    assert verify(folder).altered == ()
