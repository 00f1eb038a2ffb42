"""dictate2exam bench: the project's own measurements, one JSON object each."""

from pathlib import Path
from typing import Annotated

import typer

# Name of a measurement and where it is; imported only when it is asked for.
BENCHES = {
    "assertion": "dictate2exam.bench.assertion:bench_assertion",
    "findings": "dictate2exam.bench.findings:bench_findings",
    "language": "dictate2exam.bench.language:bench_language",
    "live": "dictate2exam.bench.live:bench_live",
    "localise": "dictate2exam.localise.simulate:bench_localise",
    "review": "dictate2exam.bench.review:bench_review",
    "samples": "dictate2exam.bench.samples:bench_samples",
    "speech": "dictate2exam.bench.speech:bench_speech",
}


def bench(
    name: Annotated[str, typer.Argument(help=f"One of {', '.join(BENCHES)}.")],
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object.")] = False,
    folder: Annotated[
        Path | None, typer.Option(help="Measure this folder instead of the shipped one.")
    ] = None,
    only: Annotated[
        list[str] | None,
        typer.Option(
            help="Measure a part: NAME=A,B (of speech: conditions, voices, systems, parts; "
            "of findings and review: parts)."
        ),
    ] = None,
    heard: Annotated[
        Path | None, typer.Option(help="Transcripts of the scripts as recognisers wrote them.")
    ] = None,
    whisper: Annotated[
        Path | None, typer.Option(help="Compare with this Whisper model (CTranslate2's format).")
    ] = None,
) -> int:
    """Measure, and print the figures."""
    import importlib
    import inspect
    import json

    from dictate2exam.errors import InputError

    if name not in BENCHES:
        raise InputError(f"There is no bench {name!r}; there are {', '.join(BENCHES)}.")
    module, _, function = BENCHES[name].partition(":")
    try:
        measure = getattr(importlib.import_module(module), function)
    except ModuleNotFoundError as error:
        raise InputError(
            f"The bench {name!r} needs {error.name}, which is not installed: "
            f"python3 -m pip install '.[dev]'."
        ) from None
    choices: dict[str, object] = {}
    for choice in only or ():
        key, _, value = choice.partition("=")
        choices[key] = value
    given = {"folder": folder, "heard": heard, "whisper": whisper, **choices}
    given = {key: value for key, value in given.items() if value}
    for key in given.keys() - inspect.signature(measure).parameters.keys():
        raise InputError(f"The bench {name!r} takes no choice of {key!r}; leave it out.")
    figures = measure(**given)
    if as_json:
        print(json.dumps(figures, indent=1))
    else:
        print_figures(figures)
    return 0


def print_figures(figures: object, indent: int = 0) -> None:
    """Nested figures, one a line."""
    if not isinstance(figures, dict):
        print(" " * indent + str(figures))
        return
    for key, value in figures.items():
        if isinstance(value, dict):
            print(" " * indent + str(key))
            print_figures(value, indent + 2)
        else:
            print(" " * indent + f"{key}: {value}")
