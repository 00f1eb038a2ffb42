"""dictate2exam demo: the main job on a recording that comes with the program."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate2exam.cli.progress import progress_bar
from dictate2exam.cli.run import show

if TYPE_CHECKING:
    from dictate2exam.lexicon.load import Lexicon
    from dictate2exam.record.model import ExamRecord

CASE = "upper_trunk_commentary"


def demo(
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="Folder for the files.")] = Path(
        "dictate2exam_demo"
    ),
) -> int:
    """Run a shipped recording (an invented examination, synthetic voice) and write its report."""
    from dictate2exam import pipeline
    from dictate2exam.lexicon.load import load_lexicon
    from dictate2exam.settings import Settings

    known = load_lexicon()
    sound = sample_folder() / f"{CASE}.flac"
    print(f"An invented examination, spoken by a synthetic voice: {sound.name}")
    with progress_bar() as tell:
        record, places = pipeline.run([sound], out, Settings(), tell, known)
    if record.blocking:
        asked = len(record.blocking)
        print(f"{asked} questions block localisation; they are answered from the script.")
        record = answered_from_script(record, sound, known)
        places = pipeline.save(record, out, known)
    return show(record, places, out, known)


def sample_folder() -> Path:
    """The folder of the shipped recordings: the packaged copy, else the package's sibling."""
    from dictate2exam.errors import InputError
    from dictate2exam.lexicon.files import PACKAGE

    for folder in (PACKAGE / "_sample_audio", PACKAGE.parent / "sample_audio"):
        if (folder / f"{CASE}.flac").is_file():
            return folder
    raise InputError("The shipped recordings are missing; install the program again.")


def answered_from_script(record: "ExamRecord", sound: Path, lexicon: "Lexicon") -> "ExamRecord":
    """The record after somebody who knows the script has answered what blocks."""
    raise NotImplementedError
