"""dictate2exam review: answers the open questions of a record, by hand or from a file."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate2exam.cli.options import LexiconOption, lexicon_at
from dictate2exam.cli.run import show

if TYPE_CHECKING:
    from dictate2exam.lexicon.load import Lexicon
    from dictate2exam.record.model import ExamRecord
    from dictate2exam.review.decisions import Decisions


def review(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder of the record.")],
    answers: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Answers as CSV with question_id and answer."),
    ] = None,
    lines: Annotated[
        bool, typer.Option("--lines", help="Ask line by line instead of on a screen.")
    ] = False,
    learns: Annotated[
        bool,
        typer.Option(
            "--learn/--no-learn",
            help="Keep confirmed mishearings for the examiner that the run named.",
        ),
    ] = True,
    lexicon: LexiconOption = None,
) -> int:
    """Answer open questions; when none blocks any more, the lesion is located."""
    from dictate2exam import pipeline
    from dictate2exam.record.store import load_record
    from dictate2exam.record.tables import read_answers
    from dictate2exam.review.resolve import answer_all

    known = lexicon_at(lexicon)
    before = load_record(folder)
    if answers is not None:
        record = answer_all(before, read_answers(answers), known)
    elif sys.stdin.isatty() and sys.stdout.isatty() and not lines:
        record = _on_screen(before, folder, known)
    else:
        record = _by_line(before, folder, known)
    if learns:
        pipeline.learn(before, record, known)
    places = pipeline.save(record, folder, known)
    return show(record, places, folder, known)


def _session(record: "ExamRecord", folder: Path, lexicon: "Lexicon") -> "Decisions":
    """The session of a saved record; each answer is on disk before the next question is put."""
    from dictate2exam import pipeline
    from dictate2exam.review.decisions import Decisions
    from dictate2exam.worth import AnswersWorth

    return Decisions(
        record,
        lexicon,
        worth=AnswersWorth(lexicon),
        save=lambda changed: pipeline.save_unlocated(changed, folder, lexicon),
    )


def _on_screen(record: "ExamRecord", folder: Path, lexicon: "Lexicon") -> "ExamRecord":
    from dictate2exam.cli.player import player_for
    from dictate2exam.review.screen import ReviewScreen

    session = _session(record, folder, lexicon)
    player = player_for(folder)
    try:
        ReviewScreen(session, lexicon, player).run()
    finally:
        if player is not None:
            player.close()
    return session.record


def _by_line(record: "ExamRecord", folder: Path, lexicon: "Lexicon") -> "ExamRecord":
    from rich.console import Console

    from dictate2exam.report.text_report import print_red_flags
    from dictate2exam.review.session import review_session

    console = Console(highlight=False)
    print_red_flags(console, record)
    return review_session(_session(record, folder, lexicon), console)
