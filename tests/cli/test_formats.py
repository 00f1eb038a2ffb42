"""What a newer version of the program wrote is refused in one plain sentence, and left alone."""

import json
from pathlib import Path

import pytest

from dictate2exam.cli.app import run_command
from dictate2exam.record.events import EVENT_FORMAT, canonical
from dictate2exam.record.model import SCHEMA_VERSION

COMMANDS = (
    ["review", "--answers", "ANSWERS"],
    ["localise", "--provisional"],
    ["report"],
    ["sign", "--as", "A. Reader"],
    ["verify"],
    ["explain", "f001"],
    ["audit"],
)


@pytest.fixture(params=["record.json", "events.jsonl"])
def folder(
    request: pytest.FixtureRequest, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> Path:
    """A record of which one file has a format above the newest that is known."""
    script = tmp_path / "said.txt"
    script.write_text("examiner: Right arm. Deltoid four. Biceps three. Deltoid two.\n")
    made = tmp_path / "record"
    assert run_command(["run", str(script), "--out", str(made), "--protocol", "screen"]) == 3
    path = made / request.param
    if path.name == "record.json":
        newer = json.loads(path.read_text()) | {"schema_version": SCHEMA_VERSION + 1}
        path.write_text(json.dumps(newer))
    else:
        first, *others = path.read_bytes().splitlines()
        changed = canonical(json.loads(first) | {"format": EVENT_FORMAT + 1})
        path.write_bytes(b"\n".join([changed, *others, b""]))
    (tmp_path / "ANSWERS").write_text("question_id,answer\nq001,4\n")
    capsys.readouterr()
    return made


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: str(command[0]))
def test_a_record_of_a_newer_version_is_refused(
    command: list[str], folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    name, *rest = [str(folder.parent / word) if word == "ANSWERS" else word for word in command]
    assert run_command([name, str(folder), *rest]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1, said
    assert "newer than" in said and said.endswith("update the program.\n")
    assert before == {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
