"""Commands on a saved record: review, localise, report, and their exit codes."""

import json
from pathlib import Path

import pytest
from examples import finding, record

from dictate2exam import pipeline
from dictate2exam.cli.app import run_command
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.record.store import load_record
from dictate2exam.review.checks.run import check_record

LEXICON = load_lexicon()
NORMAL = [
    "trapezius",
    "rhomboids",
    "serratus_anterior",
    "pectoralis_major_sternocostal",
    "latissimus_dorsi",
    "triceps_brachii",
    "flexor_digitorum_profundus_radial",
    "abductor_pollicis_brevis",
    "dorsal_interosseous_1",
]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A saved record with one conflict that blocks."""
    findings = [
        *(finding(f"n{n}", f"power.{name}", "5", at=n) for n, name in enumerate(NORMAL)),
        finding("w1", "power.deltoid", "0", at=20),
        finding("w2", "power.biceps_brachii", "4", at=21),
        finding("w3", "power.biceps_brachii", "0", at=22),
    ]
    made = check_record(record(findings), LEXICON)
    pipeline.save(made, tmp_path / "out", LEXICON)
    return tmp_path / "out"


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def answers(tmp_path: Path, *rows: str) -> str:
    path = tmp_path / "answers.csv"
    path.write_text("\n".join(("question_id,answer", *rows)) + "\n")
    return str(path)


def test_a_blocked_record_has_all_files_but_the_localisation(folder: Path) -> None:
    assert set(contents(folder)) == {
        "events.jsonl",
        "record.json",
        "transcript.txt",
        "findings.csv",
        "questions.csv",
        "report.html",
    }


def test_localise_refuses_and_says_which(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_command(["localise", str(folder)]) == 3
    error = capsys.readouterr().err
    assert "q001" in error and "Biceps" in error and "Traceback" not in error
    assert not (folder / "localisation.json").exists()


def test_provisional_localises_and_is_stamped(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["localise", str(folder), "--provisional"]) == 0
    assert json.loads((folder / "localisation.json").read_text())["provisional"] is True
    assert "Provisional" in (folder / "report.html").read_text()
    assert "PROVISIONAL" in capsys.readouterr().out


def test_answers_from_a_file_open_the_gate(folder: Path, tmp_path: Path) -> None:
    assert run_command(["review", str(folder), "--answers", answers(tmp_path, "q001,0")]) == 0
    assert load_record(folder).blocking == ()
    assert run_command(["localise", str(folder)]) == 0
    place = json.loads((folder / "localisation.json").read_text())
    assert place["side"] == "right" and place["provisional"] is False
    assert "q001" in (folder / "questions.csv").read_text()


def test_an_answer_that_leaves_a_block_ends_with_three(folder: Path, tmp_path: Path) -> None:
    gap = next(q for q in load_record(folder).questions if q.kind == "gap")
    given = answers(tmp_path, f"{gap.question_id},skip")
    assert run_command(["review", str(folder), "--answers", given]) == 3


def test_a_localisation_does_not_outlive_its_record(folder: Path, tmp_path: Path) -> None:
    assert run_command(["localise", str(folder), "--provisional"]) == 0
    gap = next(q for q in load_record(folder).questions if q.kind == "gap")
    run_command(["review", str(folder), "--answers", answers(tmp_path, f"{gap.question_id},skip")])
    assert not (folder / "localisation.json").exists()
    assert "Not located yet" in (folder / "report.html").read_text()


@pytest.mark.parametrize(
    "rows",
    [("q999,4",), ("q001,17",), ("q001,0", "q002,banana"), ("q001,0", "q999,skip"), ("q001",)],
)
def test_bad_answers_change_nothing(
    folder: Path, tmp_path: Path, rows: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    before = contents(folder)
    assert run_command(["review", str(folder), "--answers", answers(tmp_path, *rows)]) == 2
    error = capsys.readouterr().err.strip()
    assert error and "\n" not in error
    assert contents(folder) == before


@pytest.mark.parametrize("command", ["review", "localise", "report"])
def test_a_folder_without_a_record_is_bad_input(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command([command, str(tmp_path)]) == 2
    assert "record.json" in capsys.readouterr().err


def test_a_cut_record_is_bad_input_and_stays(folder: Path) -> None:
    path = folder / "record.json"
    path.write_text(path.read_text()[:500])
    before = contents(folder)
    assert run_command(["localise", str(folder), "--provisional"]) == 2
    assert run_command(["review", str(folder)]) == 2
    assert contents(folder) == before


def test_report_writes_only_the_report(folder: Path) -> None:
    run_command(["localise", str(folder), "--provisional"])
    before = contents(folder)
    (folder / "report.html").unlink()
    assert run_command(["report", str(folder)]) == 0
    assert contents(folder) == before


def test_review_by_hand_asks_what_blocks_first(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed = iter(["", "nonsense", "b", "no"])
    monkeypatch.setattr("builtins.input", lambda *_: next(typed))
    assert run_command(["review", str(folder)]) == 0
    out = capsys.readouterr().out
    assert out.index("q001") < out.index("were not examined. Go through")
    entry = next(f for f in load_record(folder).standing if f.item == "power.biceps_brachii")
    assert entry.value == "4"


def test_a_review_that_ends_early_keeps_what_was_answered(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def end(*_: object) -> str:
        raise EOFError

    monkeypatch.setattr("builtins.input", end)
    assert run_command(["review", str(folder)]) == 3


def test_red_flags_are_printed_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = check_record(
        record(
            [
                finding("a", "power.deltoid", "4"),
                finding("b", "power.deltoid", "2", at=1),
                finding("c", "pulse.radial", "absent", at=2),
            ]
        ),
        LEXICON,
    )
    pipeline.save(made, tmp_path, LEXICON)
    run_command(["localise", str(tmp_path), "--provisional"])
    out = capsys.readouterr().out
    assert out.index("RED FLAGS") < out.index("findings")
    assert json.loads((tmp_path / "record.json").read_text())["red_flags"]
    assert json.loads((tmp_path / "localisation.json").read_text())["red_flags"]
