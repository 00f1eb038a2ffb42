"""Who is examined, on the command line: the setting chooses the priors and stays in the record."""

import json
from pathlib import Path
from typing import Any

import pytest

from dictate2exam.cli.app import run_command

SAID = (
    "Right arm. Deltoid three. Infraspinatus three. Biceps four. Triceps five. "
    "Sensation C5 five out of ten. Sensation C8 ten out of ten.\n"
)
TABLE = (
    "item,side,value\npower.deltoid,right,3\npower.infraspinatus,right,3\n"
    "power.biceps_brachii,right,4\nsensation.c5,right,5\n"
)


def written(folder: Path) -> Any:
    return json.loads((folder / "localisation.json").read_text())


def radiculopathy(folder: Path) -> float:
    segments = written(folder)["marginals"]["segments"]
    return float(segments["c5_spinal_nerve"])


def test_the_setting_of_a_table(tmp_path: Path) -> None:
    # LEVIN96: radiculopathies are of the spine clinic, not of the accident.
    table = tmp_path / "findings.csv"
    table.write_text(TABLE)
    for name in ("mixed", "trauma", "non_trauma"):
        given = ["localise", str(table), "--out", str(tmp_path / name), "--setting", name]
        assert run_command(given) == 0
        assert written(tmp_path / name)["model"]["setting"] == name
    chances = [radiculopathy(tmp_path / name) for name in ("trauma", "mixed", "non_trauma")]
    assert chances == sorted(chances) and chances[2] > 3 * chances[0]


def test_a_record_keeps_its_setting_until_another_is_given(tmp_path: Path) -> None:
    said, out = tmp_path / "said.txt", tmp_path / "out"
    said.write_text(SAID)
    assert run_command(["run", str(said), "--out", str(out), "--setting", "trauma"]) == 0
    assert json.loads((out / "record.json").read_text())["setting"] == "trauma"
    hurt = radiculopathy(out)
    assert run_command(["localise", str(out)]) == 0
    assert radiculopathy(out) == pytest.approx(hurt)
    assert run_command(["localise", str(out), "--setting", "non_trauma"]) == 0
    assert radiculopathy(out) > 3 * hurt
    assert json.loads((out / "record.json").read_text())["setting"] == "non_trauma"


def test_an_unknown_setting_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = tmp_path / "said.txt"
    said.write_text(SAID)
    given = ["run", str(said), "--out", str(tmp_path / "out"), "--setting", "everyone"]
    assert run_command(given) == 2
    assert "mixed, trauma, non_trauma" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
