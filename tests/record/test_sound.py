"""Sound is stored as it was received, and nothing is half kept when the disk is full."""

import errno
import hashlib
import os
from pathlib import Path

import pytest
from builders import transcript
from examples import finding, record

from dictate2exam import pipeline
from dictate2exam.cli.app import run_command
from dictate2exam.errors import InputError
from dictate2exam.record.event_file import read_events
from dictate2exam.record.sound import store_sound
from dictate2exam.record.store import keep, load_record, open_log

PARTS = {"first/part.flac": b"one", "second/part.flac": b"two", "second/again.flac": b"two"}


@pytest.fixture
def parts(tmp_path: Path) -> list[Path]:
    for name, content in PARTS.items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(content)
    return [tmp_path / name for name in PARTS]


@pytest.fixture
def heard(monkeypatch: pytest.MonkeyPatch) -> None:
    """Listening is not what is tested here: any sound says the same."""
    said = transcript("examiner: on the right deltoid four")
    monkeypatch.setattr(pipeline, "hear", lambda *_: said)


@pytest.mark.usefixtures("heard")
def test_the_parts_are_copied_under_their_names(tmp_path: Path, parts: list[Path]) -> None:
    out = tmp_path / "out"
    assert run_command(["run", *map(str, parts), "--out", str(out)]) in (0, 3)
    added = [event.data for event in read_events(out)[0] if event.kind == "audio_added"]
    assert [each["stored"] for each in added] == [
        "audio/part.flac",
        "audio/part_2.flac",
        "audio/again.flac",
    ]
    for each, content in zip(added, PARTS.values(), strict=True):
        assert (out / each["stored"]).read_bytes() == content
        assert each["sha256"] == hashlib.sha256(content).hexdigest()
        assert each["bytes"] == len(content)
    assert run_command(["verify", str(out)]) == 0


@pytest.mark.usefixtures("heard")
def test_without_audio_only_its_hash_is_kept(tmp_path: Path, parts: list[Path]) -> None:
    out = tmp_path / "out"
    assert run_command(["run", str(parts[0]), "--out", str(out), "--no-audio"]) in (0, 3)
    (added,) = [event.data for event in read_events(out)[0] if event.kind == "audio_added"]
    assert added["stored"] == "" and added["sha256"] == hashlib.sha256(b"one").hexdigest()
    assert not (out / "audio").exists()
    assert run_command(["verify", str(out)]) == 0


@pytest.mark.usefixtures("heard")
def test_run_again_keeps_the_answers_of_the_first_time(tmp_path: Path, parts: list[Path]) -> None:
    out, answers = tmp_path / "out", tmp_path / "answers.csv"
    run_command(["run", str(parts[0]), "--out", str(out)])
    question = next(q for q in load_record(out).questions if q.kind == "gap")
    answers.write_text(f"question_id,answer\n{question.question_id},skip\n")
    run_command(["review", str(out), "--answers", str(answers)])
    assert load_record(out).amendments
    run_command(["run", str(parts[1]), "--out", str(out)])
    assert load_record(out).amendments == ()
    kinds = [event.kind for event in read_events(out)[0]]
    assert kinds.count("begun") == 2 and kinds.count("answered") == 1
    assert sorted(path.name for path in (out / "audio").iterdir()) == ["part.flac", "part_2.flac"]
    assert run_command(["verify", str(out)]) == 0


def test_a_sound_that_is_there_already_is_not_copied_again(
    tmp_path: Path, parts: list[Path]
) -> None:
    first = store_sound(parts[0], tmp_path)
    assert store_sound(parts[0], tmp_path) == first
    assert [path.name for path in (tmp_path / "audio").iterdir()] == ["part.flac"]


def full(*_: object) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_full_disk_keeps_no_event_and_no_sound(
    tmp_path: Path, parts: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    log = open_log(tmp_path / "visit")
    keep(log, record([finding("a", "power.deltoid", "4")]))
    before = (tmp_path / "visit" / "events.jsonl").read_bytes()
    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        with pytest.raises(InputError, match="No space left") as caught:
            log.append("consent", "test", {})
        assert "\n" not in str(caught.value)
        with pytest.raises(InputError, match="No space left"):
            store_sound(parts[0], tmp_path / "visit")
    assert (tmp_path / "visit" / "events.jsonl").read_bytes() == before
    assert list((tmp_path / "visit" / "audio").iterdir()) == []
    log.append("consent", "test", {})
    assert len(read_events(tmp_path / "visit")[0]) == len(log.events)
