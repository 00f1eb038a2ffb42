"""The record on disk: the same when read again, and never half written."""

import csv
import io
import json
from pathlib import Path

import pytest
from examples import finding, record, transcript

from dictate2exam.errors import InputError, RecordError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.record.model import SCHEMA_VERSION, ExamRecord
from dictate2exam.record.store import load_record, save_record, write_files
from dictate2exam.record.tables import (
    FINDING_COLUMNS,
    QUESTION_COLUMNS,
    findings_csv,
    questions_csv,
    read_answers,
    read_findings,
    transcript_txt,
)
from dictate2exam.review.checks.run import check_record


@pytest.fixture
def made() -> ExamRecord:
    said = transcript("examiner: deltoid four", "patient: ten, “really”", "one, two")
    return check_record(
        record(
            [
                finding("a", "power.deltoid", "4"),
                finding("b", "power.deltoid", "3", at=1),
                finding(
                    "c",
                    "sign.percussion.supraclavicular",
                    "present",
                    at=2,
                    detail={"radiates_to": "thumb; index", "hedged": "yes"},
                ),
                finding("d", "context.mechanism", 'fell, "hard"', "none", at=2),
            ],
            said=said,
        ),
        load_lexicon(),
    )


def test_a_record_survives_saving(made: ExamRecord, tmp_path: Path) -> None:
    save_record(made, tmp_path)
    assert load_record(tmp_path) == made


def test_the_columns_are_those_of_the_contract(made: ExamRecord) -> None:
    findings = list(csv.reader(io.StringIO(findings_csv(made))))
    assert ",".join(findings[0]) == (
        "finding_id,item,side,value,detail,scale,state,start_s,end_s,heard,confidence"
    )
    questions = list(csv.reader(io.StringIO(questions_csv(made))))
    assert ",".join(questions[0]) == (
        "question_id,kind,blocking,item,side,question,suggestions,start_s,end_s,state"
    )
    assert all(len(row) == len(FINDING_COLUMNS) for row in findings)
    assert all(len(row) == len(QUESTION_COLUMNS) for row in questions)


def test_only_what_stands_is_in_the_table(made: ExamRecord) -> None:
    rows = list(csv.DictReader(io.StringIO(findings_csv(made))))
    assert next((r["item"], r["value"], r["state"]) for r in rows) == (
        "power.deltoid",
        "3",
        "to_confirm",
    )
    assert len(rows) == 3


def test_a_findings_table_reads_back(made: ExamRecord, tmp_path: Path) -> None:
    path = tmp_path / "findings.csv"
    path.write_text(findings_csv(made), encoding="utf-8")
    rows = read_findings(path)
    assert [(r.item, r.side, r.value) for r in rows] == [
        (f.item, f.side, f.value) for f in made.standing
    ]
    assert rows[1].detail == {"radiates_to": "thumb, index", "hedged": "yes"}


def test_untimed_speech_has_no_seconds(made: ExamRecord) -> None:
    untimed = made.model_copy(
        update={"transcript": made.transcript.model_copy(update={"timed": False})}
    )
    row = next(csv.DictReader(io.StringIO(findings_csv(untimed))))
    assert (row["start_s"], row["end_s"]) == ("", "")


def test_the_transcript_has_one_utterance_a_line(made: ExamRecord) -> None:
    lines = transcript_txt(made.transcript).splitlines()
    assert lines[0] == "[0.00-2.00] examiner: deltoid four"
    assert len(lines) == 3


def test_failed_writing_leaves_what_was_there(tmp_path: Path) -> None:
    write_files(tmp_path, {"one.txt": "old"})
    (tmp_path / "two.txt").mkdir()
    with pytest.raises(InputError):
        write_files(tmp_path, {"two.txt": "new"})
    assert (tmp_path / "one.txt").read_text() == "old"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["one.txt", "two.txt"]


@pytest.mark.parametrize("content", ["", "{", "[]", '{"schema_version": 1}', "\xff"])
def test_a_broken_record_is_one_sentence(content: str, tmp_path: Path) -> None:
    (tmp_path / "record.json").write_text(content, encoding="latin-1")
    with pytest.raises(RecordError) as caught:
        load_record(tmp_path)
    assert "\n" not in str(caught.value)


def test_a_newer_record_is_refused(made: ExamRecord, tmp_path: Path) -> None:
    save_record(made, tmp_path)
    path = tmp_path / "record.json"
    content = json.loads(path.read_text()) | {"schema_version": SCHEMA_VERSION + 1}
    path.write_text(json.dumps(content))
    with pytest.raises(RecordError, match="newer"):
        load_record(tmp_path)


def test_answers_need_their_columns(tmp_path: Path) -> None:
    path = tmp_path / "answers.csv"
    path.write_text("question,answer\nq001,4\n")
    with pytest.raises(RecordError, match="question_id"):
        read_answers(path)
    path.write_text("question_id,answer\nq001, 4+ \n")
    assert read_answers(path) == [("q001", "4+")]
