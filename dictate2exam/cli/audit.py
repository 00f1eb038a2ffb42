"""dictate2exam audit: how complete many examinations were."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from dictate2exam.cli.options import LexiconOption, lexicon_at


def audit(
    folders: Annotated[
        list[Path],
        typer.Argument(metavar="DIR...", help="Folders of records, or folders that hold such."),
    ],
    out: Annotated[
        Path | None,
        typer.Option(metavar="DIR", help="Folder for completeness.csv and questions_by_kind.csv."),
    ] = None,
    lexicon: LexiconOption = None,
) -> int:
    """Tell how complete the examinations are, what is left out most, and what was asked."""
    from rich.console import Console

    from dictate2exam.audit.reader import Reader, record_folders
    from dictate2exam.audit.show import print_audit
    from dictate2exam.audit.tables import completeness_csv, questions_csv
    from dictate2exam.audit.tally import audit as counted
    from dictate2exam.record.store import write_files

    known = lexicon_at(lexicon)
    reader = Reader(record_folders(folders))
    made = counted(reader, known)
    console = Console(highlight=False)
    print_audit(console, made, known)
    if out is not None:
        tables = {
            "completeness.csv": completeness_csv(made),
            "questions_by_kind.csv": questions_csv(made),
        }
        write_files(out, tables)
        for name in tables:
            console.print(f"Table: {out / name}", soft_wrap=True, markup=False)
    if not reader.unread:
        return 0
    more = f" ({len(reader.unread) - 1} more such)" if len(reader.unread) > 1 else ""
    print(
        f"Error: {len(reader.unread)} of {len(reader.folders)} records could not be read and are "
        f"not counted: {reader.unread[0]}{more}",
        file=sys.stderr,
    )
    return 2
