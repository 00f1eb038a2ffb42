"""dictate2exam run: one examination from sound or text to its files."""

from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate2exam.cli.options import (
    SETTING_HELP,
    ExaminerOption,
    LexiconOption,
    OutOption,
    ProvisionalOption,
    lexicon_at,
)
from dictate2exam.cli.progress import progress_bar

if TYPE_CHECKING:
    from dictate2exam.lexicon.load import Lexicon
    from dictate2exam.localise.model import Localisation
    from dictate2exam.record.model import ExamRecord


class SideOption(str, Enum):
    """The side meant while none has been spoken."""

    left = "left"
    right = "right"


def run(
    inputs: Annotated[
        list[Path],
        typer.Argument(
            metavar="INPUT...",
            help="Sound (WAV, FLAC, MP3, M4A, OGG, Opus) or a transcript (.txt, .vtt, .srt); "
            "several files are parts of one examination, in order.",
        ),
    ],
    out: OutOption,
    side: Annotated[
        SideOption | None, typer.Option(help="The side meant while none has been spoken.")
    ] = None,
    protocol: Annotated[str, typer.Option(help="What a complete examination holds.")] = "full",
    setting: Annotated[str, typer.Option(metavar="NAME", help=SETTING_HELP)] = "mixed",
    engine: Annotated[
        str, typer.Option(metavar="NAME", help="The recogniser of examination language.")
    ] = "neural",
    vosk_model: Annotated[
        Path | None, typer.Option(metavar="DIR", help="Folder of a Vosk model.")
    ] = None,
    provisional: ProvisionalOption = False,
    examiner: ExaminerOption = "",
    no_audio: Annotated[
        bool,
        typer.Option("--no-audio", help="Keep no copy of the sound, only its SHA-256."),
    ] = False,
    lexicon: LexiconOption = None,
) -> int:
    """Read one examination, ask what is doubtful, and locate the lesion if nothing blocks."""
    from dictate2exam import pipeline
    from dictate2exam.settings import Settings

    settings = Settings(
        side=side.value if side else "none",
        protocol=protocol,
        setting=setting,
        domain_listener=engine,
        vosk_model=vosk_model,
        provisional=provisional,
        examiner=examiner,
        keep_sound=not no_audio,
    )
    known = lexicon_at(lexicon)
    with progress_bar() as tell:
        record, places = pipeline.run(inputs, out, settings, tell, known)
    return show(record, places, out, known)


def show(record: "ExamRecord", places: "list[Localisation]", out: Path, lexicon: "Lexicon") -> int:
    """Prints the outcome, red flags first, and where to go on; the exit code."""
    from rich.console import Console

    from dictate2exam.report.text_report import print_places, print_record, print_red_flags

    console = Console(highlight=False)
    print_red_flags(console, record)
    print_record(console, record)
    print_places(console, places, lexicon)
    console.print(f"Report: {out / 'report.html'}", soft_wrap=True, markup=False)
    if record.blocking:
        console.print(f"Next: dictate2exam review {out}", soft_wrap=True, markup=False)
        return 3
    return 0
