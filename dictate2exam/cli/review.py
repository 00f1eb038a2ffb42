"""dictate2exam review: answers the open questions of a record, by hand or from a file."""

from pathlib import Path
from typing import Annotated

import typer

from dictate2exam.cli.options import LexiconOption, lexicon_at
from dictate2exam.cli.run import show


def review(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder of the record.")],
    answers: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Answers as CSV with question_id and answer."),
    ] = None,
    lexicon: LexiconOption = None,
) -> int:
    """Answer open questions; when none blocks any more, the lesion is located."""
    from rich.console import Console

    from dictate2exam import pipeline
    from dictate2exam.record.store import load_record
    from dictate2exam.record.tables import read_answers
    from dictate2exam.report.text_report import print_red_flags
    from dictate2exam.review.resolve import answer_all

    known = lexicon_at(lexicon)
    record = load_record(folder)
    if answers is not None:
        before = record
        record = answer_all(record, read_answers(answers), known)
        pipeline.learn(before, record, known)
        places = pipeline.save(record, folder, known)
        return show(record, places, folder, known)
    from dictate2exam.review.session import review_session

    console = Console(highlight=False)
    print_red_flags(console, record)
    before = record
    # Each answer is on disk before the next question is put.
    record = review_session(
        record, known, console, lambda changed: pipeline.save_unlocated(changed, folder, known)
    )
    pipeline.learn(before, record, known)
    places = pipeline.save(record, folder, known)
    return show(record, places, folder, known)
