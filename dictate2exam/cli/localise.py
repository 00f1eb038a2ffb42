"""dictate2exam localise: where the lesion is, from a record or from a findings table alone."""

from pathlib import Path
from typing import Annotated

import typer

from dictate2exam.cli.options import SETTING_HELP, LexiconOption, ProvisionalOption, lexicon_at
from dictate2exam.cli.run import show


def localise(
    source: Annotated[
        Path,
        typer.Argument(
            metavar="DIR|FINDINGS.csv",
            help="Folder of a record, or a table with item, side and value.",
        ),
    ],
    out: Annotated[
        Path | None,
        typer.Option(metavar="DIR", help="For a table: where localisation.json goes."),
    ] = None,
    setting: Annotated[
        str | None,
        typer.Option(
            metavar="NAME", help=SETTING_HELP + " A record keeps its own unless this is given."
        ),
    ] = None,
    provisional: ProvisionalOption = False,
    lexicon: LexiconOption = None,
) -> int:
    """Locate the lesion; refused (exit code 3) while a blocking question is open."""
    from rich.console import Console

    from dictate2exam import pipeline
    from dictate2exam.errors import InputError
    from dictate2exam.report.text_report import print_messages, print_places

    known = lexicon_at(lexicon)
    if source.is_dir():
        if out is not None:
            raise InputError("--out goes with a findings table; a record's files stay with it.")
        record, places = pipeline.localise_folder(source, known, provisional, setting)
        show(record, places, source, known)
        return 0
    if not source.exists():
        raise InputError(f"There is no file or folder {source}.")
    rows, places = pipeline.localise_table(source, out, known, provisional, setting or "mixed")
    console = Console(highlight=False)
    print_messages(console, places[0].red_flags if places else ())
    console.print(f"{len(rows)} findings.")
    print_places(console, places, known)
    return 0
