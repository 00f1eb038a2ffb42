"""Precision and recall of a rule of doubt as its threshold moves: texts are read anew for each."""

import re
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.bench.confusion import corrupt
from dictate2exam.bench.doubt_rules import asked_in
from dictate2exam.bench.findings import corrupted_by, heard_in
from dictate2exam.bench.lines import LineFinder
from dictate2exam.bench.model import Sample
from dictate2exam.bench.score import Comparison
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.phrases import read_phrases
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript

DOUBT = Path("phrases") / "doubt.toml"
# Thresholds of phrases/doubt.toml, where each is tried, and the rules whose questions it makes.
TRIED: dict[str, tuple[tuple[float, ...], tuple[str, ...]]] = {
    "accept": ((0.68, 0.74, 0.78, 0.82, 0.90), ("misheard_term", "unknown_term")),
    "graded": ((0.60, 0.66, 0.70, 0.74, 0.82), ("misheard_term", "unknown_term")),
    "margin": ((0.0, 0.03, 0.05, 0.08, 0.12), ("misheard_term",)),
    "suggest": ((0.50, 0.60, 0.66, 0.72, 0.80), ("unknown_term",)),
    "suggest_unplaced": ((0.56, 0.66, 0.72, 0.80, 0.90), ("unknown_term",)),
    "key_word": ((0.0, 0.2, 0.35, 0.5, 0.65), ("hardly_heard",)),
}


@contextmanager
def with_threshold(lexicon: Path, name: str, value: float) -> Iterator[Path]:
    """A copy of the lexicon's folder in which one threshold of doubt is another."""
    with tempfile.TemporaryDirectory(prefix="dictate2exam-") as folder:
        copy = Path(shutil.copytree(lexicon, Path(folder) / "lexicon"))
        path = copy / DOUBT
        text, found = re.subn(
            rf"(?m)^{name} *= *[0-9.]+", f"{name} = {value}", path.read_text(encoding="utf-8")
        )
        if found != 1:
            raise InputError(f"{DOUBT} has no threshold {name!r}.")
        path.write_text(text, encoding="utf-8")
        yield copy


def curve_figures(
    samples: Sequence[Sample], settings: Settings, heard: Path | None = None
) -> dict[str, Any]:
    """For each threshold its points: precision and recall of its rules, and what it costs.

    Read are the heard transcripts, where a folder of them is given, and the corrupted scripts.
    """
    lexicon = load_lexicon()
    texts = [
        (sample, transcript)
        for source in (
            corrupted_by(corrupt, lexicon, settings),
            *((heard_in(heard, lexicon, settings),) if heard else ()),
        )
        for sample in samples
        for transcript in source(sample)
    ]
    made: dict[str, Any] = {"transcripts": len(texts)}
    now = read_phrases(lexicon.folder).doubt.model_dump()
    for name, (values, rules) in TRIED.items():
        points = []
        for value in values:
            with with_threshold(lexicon.folder, name, value) as folder:
                points.append({"at": value, **_point(texts, folder, rules, settings)})
        made[name] = {"now": now[name], "rules": list(rules), "points": points}
    return made


def _point(
    texts: Sequence[tuple[Sample, Transcript]],
    folder: Path,
    rules: Sequence[str],
    settings: Settings,
) -> dict[str, Any]:
    """Figures of all texts, read with the lexicon of this folder."""
    lexicon = load_lexicon(folder)
    labels = {item_id: item.label for item_id, item in lexicon.items.items()}
    asked, found, silent, wrong, right, all_asked = [], 0, 0, 0, 0, 0
    for sample, transcript in texts:
        record = pipeline.read(transcript, lexicon, settings)
        finder = LineFinder(sample, transcript)
        compared = Comparison(sample.expected, record.standing, record.questions, finder, labels)
        score = compared.score()
        asked += [one for one in asked_in(sample.name, compared) if one.rule in rules]
        found += score.expected
        silent += score.silent
        wrong += len(score.errors)
        right += score.right
        all_asked += score.questions
    needed = sum(one.needed for one in asked)
    return {
        "asked": len(asked),
        "precision": round(100 * needed / len(asked), 1) if asked else None,
        "recall": round(100 * sum(one.errors for one in asked) / wrong, 1) if wrong else None,
        "right_percent": round(100 * right / found, 2),
        "silent_per_100": round(100 * silent / found, 2),
        "questions_per_100": round(100 * all_asked / found, 2),
    }
