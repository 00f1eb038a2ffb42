"""Phrase books: one line, one thing said, with its truth."""

from pathlib import Path

import pytest

from dictate2exam.bench.findings import bench_findings
from dictate2exam.bench.phrasebook import read_book
from dictate2exam.errors import InputError

BOOK = """# comments and empty lines are passed over

power.deltoid left 4; power.biceps_brachii left 3 | Left deltoid four, biceps three.
- | Push against my hand.
sign.ptosis none absent | No ptosis. Triceps five.
sensation.c6 right 7 | examiner: Right thumb? / patient: Seven.
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "phrases").mkdir()
    (tmp_path / "phrases" / "small.txt").write_text(BOOK)
    return tmp_path


def test_what_a_book_says_too_much_is_an_error(folder: Path) -> None:
    made = bench_findings(folder, parts="phrases")["phrases"]["small"]
    assert (made["phrases"], made["expected"], made["whole"]) == (4, 4, 3)
    (wrong,) = made["wrong"]
    assert (wrong["at"], wrong["kind"], wrong["item"], wrong["silent"]) == (
        "small.txt:5",
        "invented",
        "power.triceps_brachii",
        True,
    )


def test_a_broken_line_is_named(folder: Path) -> None:
    path = folder / "phrases" / "small.txt"
    path.write_text("power.deltoid 4 | Deltoid four.\n")
    with pytest.raises(InputError, match=r"small\.txt:1"):
        list(read_book(path))
