"""dictate2exam demo: the main job on a recording that comes with the program."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate2exam.cli.progress import progress_bar
from dictate2exam.cli.run import show

if TYPE_CHECKING:
    from dictate2exam.bench.model import Sample
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
    from dictate2exam.bench.folder import read_sample, sample_folder
    from dictate2exam.lexicon.load import load_lexicon
    from dictate2exam.settings import Settings

    known = load_lexicon()
    sample = read_sample(sample_folder() / f"{CASE}.script.txt")
    source = sample.sound or sample.script
    print(f"{source.name}: an invented examination, spoken by a synthetic voice.", flush=True)
    with progress_bar() as tell:
        record, places = pipeline.run([source], out, Settings(), tell, known)
    asked = sum(q.state == "open" and q.kind != "gap" for q in record.questions)
    if asked:
        print(
            f"{asked} doubts, {len(record.blocking)} of them blocking. Here they are answered from "
            f"the script; in earnest by you, with: dictate2exam review {out}"
        )
        record = answered_from_script(record, sample, known)
        places = pipeline.save(record, out, known)
    return show(record, places, out, known)


def answered_from_script(
    record: "ExamRecord", sample: "Sample", lexicon: "Lexicon"
) -> "ExamRecord":
    """The record after somebody who knows the script has answered every question."""
    from dictate2exam.bench.examiner import answer_truthfully
    from dictate2exam.bench.lines import LineFinder
    from dictate2exam.review.resolve import answer

    return answer_truthfully(
        record,
        sample,
        LineFinder(sample, record.transcript),
        {item_id: item.label for item_id, item in lexicon.items.items()},
        lambda kept, question_id, text: answer(kept, question_id, text, lexicon),
    ).record
