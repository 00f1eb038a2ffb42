"""dictate2exam examiner: shows or removes what is kept of one examiner."""

from typing import Annotated

import typer

from dictate2exam.cli.options import LexiconOption, lexicon_at


def examiner(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The name given with --examiner.")],
    forget: Annotated[bool, typer.Option("--forget", help="Remove all of it.")] = False,
    remove: Annotated[
        str | None,
        typer.Option("--remove", metavar="WORDS", help="Remove what these words were heard for."),
    ] = None,
    lexicon: LexiconOption = None,
) -> int:
    """Show what is kept of an examiner's voice between sessions, or remove it."""
    from dictate2exam.errors import InputError
    from dictate2exam.speech.examiner import (
        examiner_file,
        forget_examiner,
        keep_examiner,
        read_examiner,
    )

    path = examiner_file(name)
    if forget:
        gone = forget_examiner(name)
        print(f"Removed {path}." if gone else f"Nothing is kept of {name}.")
        return 0
    if not path.exists():
        raise InputError(f"Nothing is kept of {name} ({path} does not exist).")
    kept = read_examiner(name)
    if remove is not None:
        left = tuple(each for each in kept.mishearings if each.heard != remove.strip().lower())
        if len(left) == len(kept.mishearings):
            raise InputError(
                f"No mishearing {remove!r} is kept of {name}; 'dictate2exam examiner \"{name}\"' "
                f"lists them."
            )
        keep_examiner(kept.model_copy(update={"mishearings": left}))
        print(f'Removed "{remove}" from {path}.')
        return 0
    known = lexicon_at(lexicon).by_id
    print(f"{path}:")
    print(f"  sound of voice and microphone: {'kept' if kept.cepstral_means else 'not yet known'}")
    for each in kept.mishearings:
        term = known.get((each.category, each.term_id))
        use = "only as a way of saying it" if each.ordinary else "taken for it"
        meant = term.label if term else each.term_id
        print(f'  "{each.heard}" is {meant} (confirmed {each.times} x; {use})')
    if kept.voice_check:
        print(f"  last voice check: {kept.voice_check.date}")
        for label, heard in kept.voice_check.watch.items():
            print(f'    watch {label}: heard as "{", ".join(heard)}"')
    return 0
