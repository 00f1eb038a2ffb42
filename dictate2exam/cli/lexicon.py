"""dictate2exam lexicon check: says in plain sentences what is wrong in the lexicon, and where."""

from pathlib import Path
from typing import Annotated

import typer

lexicon_app = typer.Typer(
    help="The clinical and spoken knowledge that the program works from.", no_args_is_help=True
)


@lexicon_app.callback()
def lexicon() -> None:
    """The clinical and spoken knowledge that the program works from."""


@lexicon_app.command()
def check(
    folder: Annotated[
        Path | None,
        typer.Argument(metavar="DIR", help="The lexicon folder; without it the packaged one."),
    ] = None,
    lexicon: Annotated[
        Path | None, typer.Option("--lexicon", metavar="DIR", help="The same as DIR.")
    ] = None,
) -> int:
    """Say what is wrong, file by file; exit code 2 when anything is."""
    import sys

    from dictate2exam.lexicon.check import check_lexicon
    from dictate2exam.lexicon.files import find_folder

    chosen = folder or lexicon
    where = find_folder(chosen.resolve() if chosen else None)
    problems = check_lexicon(where)
    for problem in problems:
        print(problem, file=sys.stderr)
    if problems:
        print(f"{len(problems)} problems in {where}.", file=sys.stderr)
        return 2
    print(f"The lexicon in {where} is in order.")
    return 0
