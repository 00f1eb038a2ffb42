"""Localising a findings table alone."""

import json
from pathlib import Path

import pytest

from dictate2exam.cli.app import run_command

ROWS = """item,side,value,notes
power.deltoid,right,0,anything
power.biceps_brachii,right,0,
power.infraspinatus,right,0,
power.triceps_brachii,right,5,
power.rhomboids,right,5,
power.serratus_anterior,right,5,
"""


def table(tmp_path: Path, text: str) -> str:
    path = tmp_path / "table.csv"
    path.write_text(text)
    return str(path)


def test_the_file_goes_where_it_is_told(tmp_path: Path) -> None:
    out = tmp_path / "new" / "out"
    assert run_command(["localise", table(tmp_path, ROWS), "--out", str(out)]) == 0
    place = json.loads((out / "localisation.json").read_text())
    assert place["side"] == "right"
    assert sum(site["probability"] for site in place["sites"]) == pytest.approx(1, abs=0.01)
    assert [site["rank"] for site in place["sites"]] == sorted(
        site["rank"] for site in place["sites"]
    )
    assert place["cautions"]


def test_both_sides_are_one_file_each(tmp_path: Path) -> None:
    both = ROWS + ROWS.partition("\n")[2].replace("right", "left")
    assert run_command(["localise", table(tmp_path, both), "--out", str(tmp_path)]) == 0
    sides = [json.loads(p.read_text())["side"] for p in tmp_path.glob("localisation*.json")]
    assert sorted(sides) == ["left", "right"]


def test_red_flags_of_a_table_are_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = ROWS + "pulse.radial,right,absent,\n"
    assert run_command(["localise", table(tmp_path, rows), "--out", str(tmp_path)]) == 0
    assert capsys.readouterr().out.lstrip().startswith("╭")
    assert json.loads((tmp_path / "localisation.json").read_text())["red_flags"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "item"),
        ("item,value\npower.deltoid,4\n", "side"),
        ("item,side,value\n", "no findings"),
        ("item,side,value\npower.deltoyd,right,4\n", "power.deltoyd"),
        ("item,side,value\npower.deltoid,middle,4\n", "middle"),
        ("item,side,value\npower.deltoid,right,6\n", "'6'"),
        ("item,side,value\npower.deltoid,right\n", "line 2"),
    ],
)
def test_a_bad_table_is_one_sentence(
    tmp_path: Path, text: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert run_command(["localise", table(tmp_path, text), "--out", str(out)]) == 2
    error = capsys.readouterr().err.strip()
    assert says in error and "\n" not in error
    assert not out.exists()


def test_a_binary_file_is_no_table(tmp_path: Path) -> None:
    path = tmp_path / "table.csv"
    path.write_bytes(bytes(range(256)))
    assert run_command(["localise", str(path), "--out", str(tmp_path / "out")]) == 2


def test_a_table_inside_a_record_is_not_localised_past_its_gate(tmp_path: Path) -> None:
    path = table(tmp_path, ROWS)
    (tmp_path / "record.json").write_text("{}")
    assert run_command(["localise", path]) == 2
