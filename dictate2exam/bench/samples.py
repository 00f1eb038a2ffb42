"""Runs every sample of a folder, as typed script and as sound, and counts what came of it."""

import time
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.bench.chatter import phantoms
from dictate2exam.bench.examiner import answer_truthfully
from dictate2exam.bench.folder import read_folder, sample_folder
from dictate2exam.bench.hearing import word_error_rate
from dictate2exam.bench.lines import LineFinder
from dictate2exam.bench.model import Sample, Score
from dictate2exam.bench.ranking import rank_of_truth
from dictate2exam.bench.score import Comparison
from dictate2exam.errors import Dictate2ExamError
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.resolve import answer
from dictate2exam.settings import Settings

FORMS = ("typed", "sound")


def _localised(record: ExamRecord, lexicon: Lexicon, sample: Sample) -> int | None:
    if sample.truth is None:
        return None
    return rank_of_truth(pipeline.locate(record, lexicon), sample.truth, sample.side)


def run_sample(sample: Sample, form: str, lexicon: Lexicon, settings: Settings) -> dict[str, Any]:
    """All figures of one sample in one form."""
    started = time.perf_counter()
    source = sample.script if form == "typed" or sample.sound is None else sample.sound
    transcript = pipeline.hear([source], lexicon, settings)
    heard_after = time.perf_counter() - started
    record = pipeline.read(transcript, lexicon, settings)
    finder = LineFinder(sample, transcript)
    labels = {item_id: item.label for item_id, item in lexicon.items.items()}
    before = Comparison(sample.expected, record.standing, record.questions, finder, labels).score()
    session = answer_truthfully(
        record, sample, finder, labels, lambda kept, q, text: answer(kept, q, text, lexicon)
    )
    done = session.record
    after = Comparison(sample.expected, done.standing, done.questions, finder, labels).score()
    return {
        "name": sample.name,
        "form": form,
        "style": sample.style,
        "before": before,
        "after": after,
        "answers": session.answers,
        "refused": session.refused,
        "blocking_left": len(done.blocking),
        "rank_of_true_site": _localised(done, lexicon, sample),
        "word_error_rate": word_error_rate(sample.script, transcript) if form == "sound" else None,
        "seconds": round(time.perf_counter() - started, 2),
        "listening_seconds": round(heard_after, 2),
    }


def figures_of(scores: Iterable[Score]) -> dict[str, Any]:
    """The sums and rates of several scores; rates are per 100 true findings."""
    all_scores = list(scores)
    total = sum(s.expected for s in all_scores)
    questions = sum(s.questions for s in all_scores)

    def per_100(count: float) -> float:
        return round(100 * count / total, 2) if total else 0.0

    right = sum(s.right for s in all_scores)
    return {
        "expected": total,
        "right": right,
        "right_percent": per_100(right),
        **{
            kind: sum(s.count(kind) for s in all_scores)
            for kind in ("wrong_value", "wrong_side", "missed", "invented")
        },
        "silent_errors": sum(s.silent for s in all_scores),
        "silent_per_100": per_100(sum(s.silent for s in all_scores)),
        "questions": questions,
        "questions_per_100": per_100(questions),
        "needed_percent": round(100 * sum(s.needed for s in all_scores) / questions, 1)
        if questions
        else 100.0,
        "gaps": sum(s.gaps for s in all_scores),
        "detail_wrong": sum(s.detail_wrong for s in all_scores),
    }


def run_folder(
    folder: Path, forms: Iterable[str] = FORMS, settings: Settings | None = None
) -> dict[str, Any]:
    """Figures of every sample of a folder in every form that it has, and their sums by form."""
    lexicon = load_lexicon()
    settings = settings or Settings()
    runs: list[dict[str, Any]] = []
    failed: list[dict[str, str]] = []
    for sample in read_folder(folder):
        for form in forms:
            if form == "sound" and sample.sound is None:
                continue
            try:
                runs.append(run_sample(sample, form, lexicon, settings))
            except Dictate2ExamError as error:
                failed.append({"name": sample.name, "form": form, "error": str(error)})
    sums = {}
    for form in dict.fromkeys(run["form"] for run in runs):
        mine = [run for run in runs if run["form"] == form]
        ranks = [run["rank_of_true_site"] for run in mine]
        sums[form] = {
            "before_questions": figures_of(run["before"] for run in mine),
            "after_questions": figures_of(run["after"] for run in mine),
            "true_site_first": sum(rank == 1 for rank in ranks),
            "samples": len(mine),
        }
    samples = {f"{run['name']} ({run['form']})": _plain(run) for run in runs}
    return {"folder": str(folder), "sums": sums, "samples": samples, "failed": failed}


def _plain(run: dict[str, Any]) -> dict[str, Any]:
    made = dict(run)
    for when in ("before", "after"):
        score: Score = run[when]
        made[when] = figures_of([score]) | {
            "errors": [e.model_dump(mode="json") | {"silent": e.silent} for e in score.errors]
        }
    return made


def bench_samples(folder: Path | None = None) -> dict[str, Any]:
    """Figures of the shipped samples, or of another folder laid out in the same way.

    Where the folder holds chatter.txt, each of its lines must give no finding.
    """
    home = folder or sample_folder()
    figures = run_folder(home)
    if (home / "chatter.txt").exists():
        lines = (home / "chatter.txt").read_text(encoding="utf-8").splitlines()
        said = [line for line in lines if line.strip()]
        figures["chatter"] = phantoms(said, load_lexicon(), Settings())
    return figures
