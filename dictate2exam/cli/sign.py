"""dictate2exam sign: freezes a version of a record under a name."""

from pathlib import Path
from typing import Annotated

import typer

from dictate2exam.cli.options import LexiconOption, lexicon_at


def sign(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder of the record.")],
    name: Annotated[
        str, typer.Option("--as", metavar="NAME", help="Who signs, as it shall stand there.")
    ],
    lexicon: LexiconOption = None,
) -> int:
    """Sign the record as it is; refused (exit code 3) while a blocking question is open."""
    from rich.console import Console

    from dictate2exam import pipeline
    from dictate2exam.report.text_report import print_record, print_red_flags

    record = pipeline.sign(folder, name, lexicon_at(lexicon))
    console = Console(highlight=False)
    print_red_flags(console, record)
    print_record(console, record)
    signature = record.signatures[-1]
    print(f"Version {signature.version} signed by {signature.name}, {signature.time}.")
    if record.chain:
        print(f"Hash, to be noted elsewhere: {record.chain.hash}")
    print("The name is as you gave it: the program cannot know who you are.")
    return 0
