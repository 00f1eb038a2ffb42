"""dictate2exam items: the closed list of items."""

from typing import Annotated

import typer

from dictate2exam.cli.options import LexiconOption, lexicon_at


def items(
    as_json: Annotated[bool, typer.Option("--json", help="As JSON, with anatomy.")] = False,
    lexicon: LexiconOption = None,
) -> int:
    """List every item with its values, scales and anatomy."""
    import json

    from dictate2exam.lexicon.export import item_entries

    entries = item_entries(lexicon_at(lexicon))
    if as_json:
        print(json.dumps(entries, indent=1, ensure_ascii=False))
        return 0
    for entry in entries:
        print(f"{entry['item']:55} {' '.join(entry['values']) or 'text'}")
    return 0
