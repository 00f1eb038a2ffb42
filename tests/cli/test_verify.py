"""Signing, verifying and amending a record, as they are told on the command line."""

import json
from pathlib import Path

import pytest
from examples import finding, record

from dictate2exam import pipeline
from dictate2exam.cli.app import run_command
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.store import load_record, save_record
from dictate2exam.review.checks.run import check_record
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def made(*more: str) -> ExamRecord:
    values = ("4", *more)
    return check_record(
        record([finding(str(n), "power.deltoid", value, at=n) for n, value in enumerate(values)]),
        LEXICON,
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A kept record in which nothing blocks, with a sound that was received."""
    folder, sound = tmp_path / "visit", tmp_path / "visit.flac"
    sound.write_bytes(b"invented sound")
    log = pipeline.open_log(folder, LEXICON.hash)
    pipeline.begin(log, made(), [sound], Settings())
    pipeline.save(made(), folder, LEXICON, log=log)
    return folder


def verified(folder: Path, capsys: pytest.CaptureFixture[str], code: int, *more: str) -> str:
    capsys.readouterr()
    assert run_command(["verify", str(folder), *more]) == code
    told = capsys.readouterr()
    if code:
        assert told.err.startswith("Error: ") and len(told.err.strip().splitlines()) == 1
    return told.out + told.err


def gaps(folder: Path) -> list[str]:
    return [q.question_id for q in load_record(folder).questions if q.state == "open"]


def answer(folder: Path, text: str) -> None:
    path = folder.parent / "answers.csv"
    path.write_text(f"question_id,answer\n{text}\n")
    assert run_command(["review", str(folder), "--answers", str(path)]) == 0


def test_a_whole_record(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = verified(folder, capsys, 0)
    assert "chain is whole" in told and "audio/visit.flac: as it was received" in told
    assert "record.json: as its events" in told and "findings.csv: as its events" in told


@pytest.mark.parametrize(
    ("name", "old", "new", "where"),
    [
        ("record.json", '"value": "4"', '"value": "0"', "record.json: finding f001 (power.deltoid"),
        ("findings.csv", ",4,", ",0,", "findings.csv, line 2"),
        ("questions.csv", ",open", ",skipped", "questions.csv, line 2"),
        ("transcript.txt", "something", "nothing", "transcript.txt, line 1"),
        ("audio/visit.flac", "invented", "made up!", "audio/visit.flac: it is not the sound"),
        ("events.jsonl", '"value":"4"', '"value":"0"', "events.jsonl, line 4 (extracted, "),
        ("events.jsonl", '"actor":"dictate2exam"', '"actor":"x"', "events.jsonl, line 1 (begun, "),
    ],
)
def test_what_was_altered_is_told_with_its_place(
    folder: Path, name: str, old: str, new: str, where: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder / name
    assert old in path.read_text()
    path.write_text(path.read_text().replace(old, new, 1))
    assert where in verified(folder, capsys, 2)


def test_an_altered_finding_is_named_from_the_record(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder / "events.jsonl"
    path.write_text(path.read_text().replace('"value":"4"', '"value":"0"', 1))
    told = verified(folder, capsys, 2)
    assert "finding f001 (power.deltoid right), value is '4', by its events '0'" in told


def test_what_is_gone_is_told(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "audio/visit.flac").unlink()
    assert "missing" in verified(folder, capsys, 2)
    path = folder / "events.jsonl"
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:-1]))
    assert "1 of the 5 events" in verified(folder, capsys, 2)


def test_a_noted_hash_tells_of_a_chain_made_anew(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A whole chain that somebody made anew is whole; only what was noted elsewhere tells."""
    head = verified(folder, capsys, 0).split()[-1]
    assert "Whole" in verified(folder, capsys, 0, "--head", head)
    anew = tmp_path / "anew"
    pipeline.save(made(), anew, LEXICON)
    assert "Whole" in verified(anew, capsys, 0)
    assert head in verified(anew, capsys, 2, "--head", head)


def test_signing_and_amending(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_command(["sign", str(folder), "--as", "A. Reader"]) == 0
    known = load_record(folder)
    assert known.chain is not None and known.chain.hash in capsys.readouterr().out
    assert [(s.version, s.name) for s in known.signatures] == [(1, "A. Reader")]
    assert known.amended_since_signing == ()
    assert "localisation.json: as it was signed" in verified(folder, capsys, 0)
    assert run_command(["sign", str(folder), "--as", "A. Reader"]) == 2
    assert "already" in capsys.readouterr().err
    question = gaps(folder)[0]
    answer(folder, f"{question},skip")
    known = load_record(folder)
    (note,) = known.amended_since_signing
    assert note.question_id == question and note.time
    told = verified(folder, capsys, 0)
    assert "signed by A. Reader" in told and f"{question} answered 'skip' by reviewer" in told
    report = (folder / "report.html").read_text()
    assert "A. Reader" in report and "amended after signing" in report.lower()
    events = [json.loads(line) for line in (folder / "events.jsonl").read_text().splitlines()]
    assert [event["kind"] for event in events][-2:] == ["signed", "amended"]
    assert run_command(["sign", str(folder), "--as", "A. Reader"]) == 0
    assert load_record(folder).signatures[-1].version == 2
    assert "Amended after signing" not in verified(folder, capsys, 0)


def test_another_setting_after_signing_is_an_amendment(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["sign", str(folder), "--as", "A. Reader"]) == 0
    assert run_command(["localise", str(folder), "--setting", "trauma"]) == 0
    (note,) = load_record(folder).amended_since_signing
    assert note.answer == "setting trauma"
    assert "setting trauma" in verified(folder, capsys, 0)


def test_a_signed_localisation_is_checked(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_command(["sign", str(folder), "--as", "A. Reader"]) == 0
    path = folder / "localisation.json"
    path.write_text(path.read_text().replace('"rank": 1', '"rank": 2', 1))
    assert "localisation.json: it is not what was signed" in verified(folder, capsys, 2)


def test_no_signature_while_a_question_blocks(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pipeline.save(made("0"), tmp_path, LEXICON)
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    assert run_command(["sign", str(tmp_path), "--as", "A. Reader"]) == 3
    assert "q001" in capsys.readouterr().err
    assert run_command(["sign", str(tmp_path), "--as", "  "]) == 2
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == before


def test_no_new_examination_over_a_signed_one(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["sign", str(folder), "--as", "A. Reader"]) == 0
    said = tmp_path / "said.txt"
    said.write_text("examiner: Right deltoid five.\n")
    before = (folder / "events.jsonl").read_bytes()
    assert run_command(["run", str(said), "--out", str(folder)]) == 2
    assert "A. Reader" in capsys.readouterr().err
    assert (folder / "events.jsonl").read_bytes() == before


def test_a_folder_without_events_cannot_be_verified(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    save_record(made(), tmp_path)
    assert "no events.jsonl" in verified(tmp_path, capsys, 2)


@pytest.mark.parametrize("junk", [b"", b"{", b"null\n", b"[]\n", b'{"format":1}\n', b"\xff\xfe\n"])
def test_junk_is_no_chain(junk: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "events.jsonl").write_bytes(junk)
    assert "Whole" not in verified(tmp_path, capsys, 2)
    assert run_command(["localise", str(tmp_path)]) == 2
    assert (tmp_path / "events.jsonl").read_bytes() == junk


@pytest.mark.parametrize("command", ["review", "localise", "report", "sign", "explain"])
def test_nothing_is_done_with_an_altered_record(
    folder: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder / "events.jsonl"
    path.write_text(path.read_text().replace('"value":"4"', '"value":"0"', 1))
    before = {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    more = {"sign": ["--as", "A. Reader"], "explain": ["f001"]}.get(command, [])
    assert run_command([command, str(folder), *more]) == 2
    error = capsys.readouterr().err.strip()
    assert "line 4" in error and "\n" not in error
    assert {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()} == before
