"""dictate2exam lexicon: check it, and add terms to it."""

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
    from dictate2exam.lexicon.load import added_files

    chosen = folder or lexicon
    where = find_folder(chosen.resolve() if chosen else None)
    problems = check_lexicon(where, added_files(where))
    for problem in problems:
        print(problem, file=sys.stderr)
    if problems:
        print(f"{len(problems)} problems in {where}.", file=sys.stderr)
        return 2
    print(f"The lexicon in {where} is in order.")
    return 0


@lexicon_app.command()
def add(
    term: Annotated[str, typer.Argument(metavar="TERM", help="The term as people say it.")],
    item: Annotated[
        str,
        typer.Option(
            "--item",
            metavar="ITEM",
            help="The item it is another name of; without it, a sign of its own.",
        ),
    ] = "",
    sounds_like: Annotated[
        str,
        typer.Option(
            "--sounds-like",
            metavar="WORDS",
            help="How it sounds in ordinary spelling, word for word; hyphens part one word.",
        ),
    ] = "",
    lexicon: Annotated[
        Path | None,
        typer.Option("--lexicon", metavar="DIR", help="Add to this lexicon folder."),
    ] = None,
) -> int:
    """Add a term with its sound, and build the language of the listeners anew."""
    import time

    from dictate2exam.cli.options import lexicon_at
    from dictate2exam.lexicon.added import NAME, keep_term, user_file
    from dictate2exam.speech.adding import make_term
    from dictate2exam.speech.language import build_language
    from dictate2exam.speech.pronounce import Pronouncer

    known = lexicon_at(lexicon)
    added = make_term(term, item, sounds_like, known)
    path = lexicon.resolve() / NAME if lexicon else user_file()
    keep_term(path, added)
    started = time.monotonic()
    changed = lexicon_at(lexicon)
    build_language(changed)
    print(f"Added {added.said!r} for {added.item} to {path}.")
    pronouncer = Pronouncer.of_lexicon(changed)
    for word in dict.fromkeys(added.said.split()):
        ways = " or ".join(" ".join(way) for way in pronouncer.ways(word, both_sides=False)[:4])
        print(f"  {word} is said: {ways}")
    print(f"The language was built anew in {time.monotonic() - started:.1f} s.")
    print(
        "PocketSphinx now hears it. The neural listener writes what sounds alike in its place; "
        "where that is near and nobody heard the term itself, you are asked."
    )
    return 0
