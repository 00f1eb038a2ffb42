"""Phrase books: single things said in as many ways as people have, each with its true findings.

A book is a text file of lines `ITEM SIDE VALUE; ITEM SIDE VALUE | what is said`, with `-` before
the bar where nothing was found, and turns of a conversation parted by ` / `, with their speakers.
"""

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.bench.model import Expected
from dictate2exam.bench.score import Comparison
from dictate2exam.errors import InputError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings
from dictate2exam.units import Side

NOTHING = "-"
SIDES: dict[str, Side] = {"left": "left", "right": "right", "none": "none"}
# What is said by itself mostly names no side; that this is asked tells nothing of the reading.
NOT_COUNTED = frozenset({"no_side"})


class Phrase(Frozen):
    """Something said, and all that was found by it."""

    place: str
    said: str
    expected: tuple[Expected, ...]


def read_book(path: Path) -> Iterator[Phrase]:
    """The phrases of a book in order; a broken line raises InputError naming it."""
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
        if not line.strip() or line.startswith("#"):
            continue
        place = f"{path.name}:{number}"
        truth, bar, said = line.partition("|")
        rows = [row.split() for row in truth.split(";") if row.strip() not in ("", NOTHING)]
        if not bar or any(len(row) != 3 or row[1] not in SIDES for row in rows):
            raise InputError(f"{place} is no line of a phrase book: {line[:60]!r}")
        expected = (Expected(item=i, side=SIDES[s], value=v, line=1) for i, s, v in rows)
        yield Phrase(place=place, said=said.strip(), expected=tuple(expected))


def phrase_figures(folder: Path, lexicon: Lexicon, settings: Settings) -> dict[str, Any]:
    """Of each book: how many phrases are read without any error, and what went wrong in the others.

    `silent` are errors of phrases that raised no question.
    """
    made: dict[str, Any] = {}
    for path in sorted(folder.glob("*.txt")):
        phrases = list(read_book(path))
        wrong = [e for phrase in phrases for e in _errors(phrase, lexicon, settings)]
        failed = {error["at"] for error in wrong}
        made[path.stem] = {
            "phrases": len(phrases),
            "expected": sum(len(phrase.expected) for phrase in phrases),
            "whole": len(phrases) - len(failed),
            "whole_percent": round(100 * (1 - len(failed) / max(1, len(phrases))), 1),
            "errors": len(wrong),
            "silent": sum(error["silent"] for error in wrong),
            "wrong": wrong,
        }
    return made


def _errors(phrase: Phrase, lexicon: Lexicon, settings: Settings) -> list[dict[str, Any]]:
    with tempfile.TemporaryDirectory() as folder:
        script = Path(folder) / "said.txt"
        script.write_text("\n".join(phrase.said.split(" / ")), encoding="utf-8")
        transcript = pipeline.hear([script], lexicon, settings)
    record = pipeline.read(transcript, lexicon, settings)
    asked = [q for q in record.questions if q.rule not in NOT_COUNTED]
    compared = Comparison(phrase.expected, record.standing, asked)
    return [
        {
            "at": phrase.place,
            "said": phrase.said,
            "kind": error.kind,
            "item": error.item,
            "expected": error.expected,
            "got": error.got,
            "silent": not compared.asked,
        }
        for error, _ in compared.errors()
    ]
