"""dictate2exam report: writes the report of a record again."""

from pathlib import Path
from typing import Annotated

import typer

from dictate2exam.cli.options import LexiconOption, lexicon_at


def report(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder of the record.")],
    lexicon: LexiconOption = None,
) -> int:
    """Write report.html from the record and the localisation in DIR."""
    from rich.console import Console

    from dictate2exam import pipeline
    from dictate2exam.report.text_report import print_red_flags

    record = pipeline.write_report(folder, lexicon_at(lexicon))
    console = Console(highlight=False)
    print_red_flags(console, record)
    console.print(f"Report: {folder / 'report.html'}", soft_wrap=True, markup=False)
    return 0
