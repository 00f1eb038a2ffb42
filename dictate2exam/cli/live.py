"""dictate2exam live: the page that listens while the hands are busy."""

from pathlib import Path
from typing import Annotated

import typer

from dictate2exam.cli.options import SETTING_HELP, ExaminerOption, LexiconOption, lexicon_at
from dictate2exam.cli.run import SideOption

HOME = Path.home() / "dictate2exam"


def live(
    port: Annotated[int, typer.Option(help="Port on this machine; 0 takes a free one.")] = 0,
    folder: Annotated[
        Path, typer.Option(metavar="DIR", help="Where examinations are stored.")
    ] = HOME,
    protocol: Annotated[str, typer.Option(help="What a complete examination holds.")] = "full",
    side: Annotated[
        SideOption | None, typer.Option(help="The side meant while none has been spoken.")
    ] = None,
    setting: Annotated[str, typer.Option(metavar="NAME", help=SETTING_HELP)] = "mixed",
    examiner: ExaminerOption = "",
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the page in the browser.")
    ] = True,
    host: Annotated[
        str,
        typer.Option(
            help="Another address than this machine alone: other machines can then open the page. "
            "Needs --certificate, --key and --passphrase-file."
        ),
    ] = "127.0.0.1",
    certificate: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Certificate (PEM) for --host.")
    ] = None,
    key: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Key (PEM) of the certificate.")
    ] = None,
    passphrase_file: Annotated[
        Path | None, typer.Option(metavar="FILE", help="File with the passphrase for --host.")
    ] = None,
    lexicon: LexiconOption = None,
) -> int:
    """Listen in the browser: chart, questions and report while you examine; nothing leaves here."""
    from dictate2exam.live.serve import outside, serve
    from dictate2exam.settings import Settings

    other = outside(host, certificate, key, passphrase_file)
    settings = Settings(
        side=side.value if side else "none",
        protocol=protocol,
        setting=setting,
        examiner=examiner,
    )
    serve(folder.expanduser().resolve(), lexicon_at(lexicon), settings, port, other, browser)
    return 0
