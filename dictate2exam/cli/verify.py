"""dictate2exam verify: whether a record is as it was written."""

import sys
from pathlib import Path
from typing import Annotated

import typer


def verify(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder of the record.")],
    head: Annotated[
        str,
        typer.Option(
            metavar="HASH",
            help="The hash that was printed when the record was signed or verified before.",
        ),
    ] = "",
) -> int:
    """Re-compute chain and hashes: say what was altered, and where (exit code 2)."""
    from dictate2exam.record.verify import verify as check

    verdict = check(folder, head)
    for sentence in verdict.whole:
        print(f"  {sentence}")
    for sentence in verdict.altered:
        print(f"ALTERED  {sentence}")
    for signature in verdict.signatures:
        print(f"Version {signature.version} was signed by {signature.name}, {signature.time}.")
    if verdict.amended_since:
        print("Amended after signing:")
    for amendment in verdict.amended_since:
        print(f"  {amendment}")
    if verdict.altered:
        places = "place" if len(verdict.altered) == 1 else "places"
        print(f"Error: {folder} was altered in {len(verdict.altered)} {places}.", file=sys.stderr)
        return 2
    print(f"Whole. Hash of the last of {verdict.events} events: {verdict.head}")
    return 0
