"""Options that several commands share."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from dictate2exam.lexicon.load import Lexicon

LexiconOption = Annotated[
    Path | None,
    typer.Option("--lexicon", metavar="DIR", help="Another lexicon folder than the packaged one."),
]
ProvisionalOption = Annotated[
    bool,
    typer.Option(
        "--provisional", help="Localise past open blocking questions, and stamp every output so."
    ),
]
SETTING_HELP = (
    "Who is examined, which chooses how probable each lesion is beforehand: mixed, trauma or "
    "non_trauma."
)
ExaminerOption = Annotated[
    str,
    typer.Option(
        "--examiner",
        metavar="NAME",
        help="Whose voice it is: what is learnt of it is kept for the next time (see 'examiner').",
    ),
]
OutOption = Annotated[Path, typer.Option("--out", metavar="DIR", help="Folder for the files.")]


def lexicon_at(folder: Path | None) -> "Lexicon":
    """The lexicon of the option; a broken one raises LexiconError."""
    from dictate2exam.lexicon.load import load_lexicon

    return load_lexicon(folder.resolve() if folder else None)
