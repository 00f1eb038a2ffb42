"""Commands that need no examination, bad usage, and how fast the command line starts."""

import json
import subprocess
import sys
import time
from pathlib import Path

import pytest

from dictate2exam import pipeline
from dictate2exam.cli.app import app, run_command
from dictate2exam.lexicon.load import load_lexicon

COMMANDS = ["run", "review", "localise", "report", "items", "schema", "bench", "demo", "lexicon"]
COMMANDS += ["voicecheck", "examiner", "explain", "sign", "verify", "audit", "live"]
README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def test_items_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run_command(["items", "--json"]) == 0
    entries = json.loads(capsys.readouterr().out)
    assert {e["item"] for e in entries} == set(load_lexicon().items)
    assert all({"values", "scales", "anatomy"} <= set(e) for e in entries)


def test_schema_is_a_json_schema(capsys: pytest.CaptureFixture[str]) -> None:
    assert run_command(["schema"]) == 0
    assert json.loads(capsys.readouterr().out)["properties"]["red_flags"]


def test_lexicon_check(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_command(["lexicon", "check"]) == 0
    assert run_command(["lexicon", "check", str(tmp_path)]) == 2
    assert "sources.csv" in capsys.readouterr().err


@pytest.mark.parametrize(
    "arguments",
    [
        ["run"],
        ["run", "x.txt"],
        ["run", "x.txt", "--out", "o", "--side", "middle"],
        ["nonsense"],
        ["bench", "nonsense"],
        ["localise"],
        ["localise", "nowhere"],
        ["--nonsense"],
    ],
)
def test_bad_usage_is_exit_code_two(
    arguments: list[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run_command(arguments) == 2
    error = capsys.readouterr().err
    assert error.startswith("Error: ") and len(error.strip().splitlines()) == 1
    assert list(tmp_path.iterdir()) == []


def test_an_unexpected_failure_is_exit_code_one(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("boom")

    monkeypatch.setattr(pipeline, "run", fail)
    assert run_command(["run", "x.txt", "--out", str(tmp_path)]) == 1
    error = capsys.readouterr().err
    assert "boom" in error and "Traceback" not in error
    monkeypatch.setenv("DICTATE2EXAM_TRACEBACK", "1")
    with pytest.raises(RuntimeError):
        run_command(["run", "x.txt", "--out", str(tmp_path)])


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_and_is_in_the_readme(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command([command, "--help"]) == 0
    assert capsys.readouterr().out
    assert f"dictate2exam {command}" in README


def test_no_command_is_undocumented() -> None:
    names = {c.name or c.callback.__name__ for c in app.registered_commands if c.callback}
    names |= {group.name for group in app.registered_groups if group.name}
    assert names == set(COMMANDS)


def test_help_starts_within_three_tenths_of_a_second() -> None:
    """Best of five, so that a busy machine doesn't decide."""
    taken = []
    for _ in range(5):
        start = time.perf_counter()
        code = "from dictate2exam.cli.app import run_command as r; r(['--help'])"
        subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)
        taken.append(time.perf_counter() - start)
    assert min(taken) <= 0.3
