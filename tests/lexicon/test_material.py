"""What became of each row of the cited material that lexicon/anatomy was made from.

material.csv says it row by row: copied, corrected, used (as a number elsewhere) or left out, and
why. The material itself lies outside the repository: where it is at hand, every row is compared.
"""

import csv
from pathlib import Path

import pytest

from dictate2exam.lexicon.load import load_lexicon

ROOT = Path(__file__).parents[2]
EVIDENCE = ROOT.parent / "shared" / "evidence"
ANATOMY = load_lexicon().folder / "anatomy"
FILES = ("muscles", "sensory", "paths", "segments", "signs", "priors", "facts", "validation_cases")
# Columns that the lexicon keeps as they are, where it keeps the file.
KEPT = {
    "muscles": ("muscle_id", "root", "share_low", "share_mid", "share_high", "sources"),
    "sensory": ("area_id", "root", "share_low", "share_mid", "share_high", "sources"),
    "segments": ("segment_id", "level", "parents"),
}


def read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def told() -> dict[tuple[str, str], dict[str, str]]:
    return {(row["file"], row["row"]): row for row in read(ANATOMY / "material.csv")}


def test_every_outcome_is_one_of_four_and_has_a_reason() -> None:
    rows = read(ANATOMY / "material.csv")
    assert len(rows) == len(told())
    for row in rows:
        assert row["file"] in FILES
        assert row["outcome"] in {"copied", "corrected", "used", "left_out"}
        assert row["note"]


def test_the_files_that_a_row_is_used_in_exist() -> None:
    known = {path.name for path in load_lexicon().folder.rglob("*.*")}
    known |= {path.name for path in (ROOT / "tests").rglob("*.*")}
    for row in read(ANATOMY / "material.csv"):
        for word in row["note"].replace(",", " ").replace(";", " ").split():
            name = word.strip("():").rpartition("/")[2]
            if name.endswith((".csv", ".toml", ".py")):
                assert name in known, row


evidence = pytest.mark.skipif(not EVIDENCE.is_dir(), reason="the material is not at hand")


@evidence
@pytest.mark.parametrize("file", FILES)
def test_every_row_of_the_material_has_an_outcome(file: str) -> None:
    outcomes = told()
    for row in read(EVIDENCE / f"{file}.csv"):
        name = row["target_id"] if file == "paths" else next(iter(row.values()))
        assert (file, name) in outcomes or (file, "*") in outcomes, name


@evidence
@pytest.mark.parametrize("file", KEPT)
def test_copied_rows_are_the_same(file: str) -> None:
    both = (EVIDENCE / f"{file}.csv", ANATOMY / f"{file}.csv")
    first, second = ({tuple(row[key] for key in KEPT[file]) for row in read(p)} for p in both)
    assert first == second


@evidence
def test_paths_differ_only_where_they_are_said_to_be_corrected() -> None:
    def route(row: dict[str, str]) -> tuple[str, ...]:
        chain = [part.strip() for part in row["chain"].split(">")]
        inner = [part for part in chain if part not in (row["root"], row["target_id"])]
        return (row["target_id"], row["root"], row["path_weight"], row["sources"], *inner)

    first, second = (
        {route(row) for row in read(folder / "paths.csv")} for folder in (EVIDENCE, ANATOMY)
    )
    changed = {route[0] for route in first ^ second}
    said = {
        row
        for (file, row), told_ in told().items()
        if told_["outcome"] == "corrected" and file == "paths"
    }
    assert changed == said


@evidence
def test_every_site_case_of_the_material_is_run() -> None:
    run = {row["case_id"] for row in read(ROOT / "tests" / "localise" / "cases.csv")}
    for row in read(EVIDENCE / "validation_cases.csv"):
        if "a rule" not in told()["validation_cases", row["case_id"]]["note"]:
            assert row["case_id"].split("_", 1)[1] in run
