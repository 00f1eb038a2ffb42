"""Each rule of doubt as its limit moves: what it asks, how much was needed, what would pass."""

import re
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.bench.lines import LineFinder
from dictate2exam.bench.model import Sample
from dictate2exam.bench.score import Comparison
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.lexicon.phrases import read_phrases
from dictate2exam.questions import Question
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript

DOUBT = Path("phrases") / "doubt.toml"
# Limits of phrases/doubt.toml with the rule whose score they cut, and how far each is opened here:
# beyond today's limit a curve tells what the rule would ask if it asked more.
OPENED = {
    "key_word": ("hardly_heard", 0.9),
    "twin": ("sound_alike", 0.95),
    "margin": ("misheard_term", 0.2),
}
# Of a rule that has more scores than this so many limits are shown.
MOST_POINTS = 9

Texts = Sequence[tuple[Sample, Transcript]]


@contextmanager
def with_limits(lexicon: Path, limits: Mapping[str, float]) -> Iterator[Path]:
    """A copy of the lexicon's folder in which these limits of doubt are others."""
    with tempfile.TemporaryDirectory(prefix="dictate2exam-") as folder:
        copy = Path(shutil.copytree(lexicon, Path(folder) / "lexicon"))
        path = copy / DOUBT
        text = path.read_text(encoding="utf-8")
        for name, value in limits.items():
            text, found = re.subn(rf"(?m)^{name} *= *[0-9.]+", f"{name} = {value}", text)
            if found != 1:
                raise InputError(f"{DOUBT} has no limit {name!r}.")
        path.write_text(text, encoding="utf-8")
        yield copy


@dataclass(frozen=True)
class Doubts:
    """The questions of one record, gaps apart, which were needed, and what points at each error."""

    questions: tuple[Question, ...]
    needed: tuple[bool, ...]
    errors: tuple[tuple[Question, ...], ...]
    findings: int


def curve_figures(forms: Mapping[str, Texts], settings: Settings) -> dict[str, Any]:
    """For each form of text each rule's points: what it asks at or above each limit of its score.

    `silent` are the errors that no question of any rule would point at then, the other rules being
    as they are today. Rules that know no degrees have one point; their `silent_without` tells what
    would pass if they asked nothing.
    """
    lexicon = load_lexicon()
    doubt = read_phrases(lexicon.folder).doubt.model_dump()
    limits = {rule: round(1 - doubt[name], 3) for name, (rule, _) in OPENED.items()}
    with with_limits(lexicon.folder, {name: wide for name, (_, wide) in OPENED.items()}) as folder:
        opened = load_lexicon(folder)
        return {
            form: _curves([_doubts(*text, opened, settings) for text in texts], limits)
            for form, texts in forms.items()
            if texts
        }


def _doubts(sample: Sample, transcript: Transcript, lexicon: Lexicon, settings: Settings) -> Doubts:
    record = pipeline.read(transcript, lexicon, settings)
    labels = {item_id: item.label for item_id, item in lexicon.items.items()}
    finder = LineFinder(sample, transcript)
    compared = Comparison(sample.expected, record.standing, record.questions, finder, labels)
    errors = tuple(tuple(points) for _, points in compared.errors())
    pointing = {id(question) for points in errors for question in points}
    hedged = {row.item for row in compared.expected if row.detail.get("hedged")}
    return Doubts(
        tuple(compared.asked),
        tuple(id(q) in pointing or q.item in hedged for q in compared.asked),
        errors,
        len(compared.expected),
    )


def _curves(read: Sequence[Doubts], limits: Mapping[str, float]) -> dict[str, Any]:
    """The curve of each rule that asks in these records."""
    scores: dict[str, set[float]] = {}
    for doubts in read:
        for question in doubts.questions:
            scores.setdefault(question.rule, set()).add(question.score)
    made: dict[str, Any] = {
        "transcripts": len(read),
        "findings": sum(doubts.findings for doubts in read),
        "errors": sum(len(doubts.errors) for doubts in read),
        "silent": _silent(read, limits),
    }
    for rule in sorted(scores):
        today = limits.get(rule, 0.0)
        made[rule] = {
            "limit": today,
            "asked": _asked(read, rule, today)[0],
            "needed": _asked(read, rule, today)[1],
            "silent_without": _silent(read, {**limits, rule: 2.0}),
            "points": [
                _point(read, rule, at, {**limits, rule: at}) for at in _ats(scores[rule], today)
            ],
        }
    return made


def _ats(scores: set[float], today: float) -> list[float]:
    """The limits that are tried: today's, and scores that were given, evenly spread."""
    found = sorted(scores)
    step = max(1, -(-len(found) // MOST_POINTS))
    return sorted({*found[::step], *([today] if today else [])})


def _point(
    read: Sequence[Doubts], rule: str, at: float, limits: Mapping[str, float]
) -> dict[str, Any]:
    asked, needed = _asked(read, rule, at)
    return {
        "at_least": at,
        "asked": asked,
        "needed": needed,
        "precision": round(100 * needed / asked, 1) if asked else None,
        "silent": _silent(read, limits),
    }


def _asked(read: Sequence[Doubts], rule: str, at: float) -> tuple[int, int]:
    """How many questions of the rule have this score or more, and how many of them are needed."""
    found = [
        need
        for doubts in read
        for question, need in zip(doubts.questions, doubts.needed, strict=True)
        if question.rule == rule and question.score >= at
    ]
    return len(found), sum(found)


def _silent(read: Sequence[Doubts], limits: Mapping[str, float]) -> int:
    """How many errors nobody is asked about under these limits."""
    return sum(
        not any(question.score >= limits.get(question.rule, 0.0) for question in points)
        for doubts in read
        for points in doubts.errors
    )
