"""The main job on typed speech, from the command to the files."""

import csv
import json
from pathlib import Path

import pytest

from dictate2exam.cli.app import run_command

UPPER = """examiner: This is the right arm.
examiner: Trapezius five, rhomboids five, serratus anterior five.
examiner: Supraspinatus zero. Infraspinatus zero. Deltoid zero.
examiner: Biceps zero. Brachioradialis zero. Triceps five.
examiner: Extensor digitorum five, FDP five, first dorsal interosseous five, APB five.
examiner: Light touch out of ten. C5 two, C6 three, C7 nine, C8 ten, T1 ten.
examiner: Radial pulse present. No Horner's.
"""


def run(tmp_path: Path, text: str, *options: str) -> tuple[int, Path]:
    source = tmp_path / "said.txt"
    source.write_text(text)
    out = tmp_path / "out"
    return run_command(["run", str(source), "--out", str(out), *options]), out


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def test_a_clear_examination_is_located(tmp_path: Path) -> None:
    code, out = run(tmp_path, UPPER)
    assert code == 0
    assert {p.name for p in out.iterdir()} == {
        "events.jsonl",
        "record.json",
        "transcript.txt",
        "findings.csv",
        "questions.csv",
        "localisation.json",
        "report.html",
    }
    found = {(r["item"], r["side"]): r["value"] for r in rows(out / "findings.csv")}
    assert found[("power.deltoid", "right")] == "0"
    assert found[("sensation.c5", "right")] == "2"
    place = json.loads((out / "localisation.json").read_text())
    first = place["sites"][0]["site_id"]
    assert "upper_trunk" in first or "c5" in first


def test_ids_are_the_same_again(tmp_path: Path) -> None:
    _, out = run(tmp_path, UPPER)
    before = [(out / name).read_text() for name in ("findings.csv", "questions.csv")]
    _, out = run(tmp_path, UPPER)
    assert [(out / name).read_text() for name in ("findings.csv", "questions.csv")] == before


def test_no_side_blocks_and_the_option_gives_one(tmp_path: Path) -> None:
    sideless = UPPER.replace("examiner: This is the right arm.\n", "")
    code, out = run(tmp_path, sideless)
    assert code == 3
    assert any(q["kind"] == "side" and q["blocking"] == "true" for q in rows(out / "questions.csv"))
    assert not (out / "localisation.json").exists()
    code, out = run(tmp_path, sideless, "--side", "left")
    assert code == 0
    assert {r["side"] for r in rows(out / "findings.csv")} <= {"left", "none"}


def test_a_localisation_of_an_earlier_run_goes_when_a_question_blocks(tmp_path: Path) -> None:
    run(tmp_path, UPPER)
    code, out = run(tmp_path, UPPER + "examiner: Deltoid three.\n")
    assert code == 3
    assert not (out / "localisation.json").exists()


def test_provisional_runs_past_a_block(tmp_path: Path) -> None:
    code, out = run(tmp_path, UPPER + "examiner: Deltoid three.\n", "--provisional")
    assert code == 3
    assert json.loads((out / "localisation.json").read_text())["provisional"] is True


def test_several_files_are_one_examination(tmp_path: Path) -> None:
    first, second = tmp_path / "1.txt", tmp_path / "2.txt"
    first.write_text("examiner: Left arm. Trapezius five.\n")
    second.write_text("examiner: Deltoid four.\n")
    run_command(["run", str(first), str(second), "--out", str(tmp_path / "o")])
    found = [(r["item"], r["side"]) for r in rows(tmp_path / "o" / "findings.csv")]
    assert found == [("power.trapezius", "left"), ("power.deltoid", "left")]


def test_red_flags_come_first_and_need_no_gate(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out = run(tmp_path, "examiner: Deltoid four.\npatient: I get short of breath at night.\n")
    assert code == 3
    printed = capsys.readouterr().out
    assert "RED FLAGS" in printed.splitlines()[0]
    flags = json.loads((out / "record.json").read_text())["red_flags"]
    assert [(f["flag"], f["confirmed"]) for f in flags] == [("breathing", False)]
