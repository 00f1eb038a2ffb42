"""Denied, past, or said of another person: measured on annotated sentences of other people.

The sentences are the test set of NegEx and ConText (Chapman et al., J Biomed Inform 2001; Harkema
et al., J Biomed Inform 2009; github.com/chapmanbe/negex, Apache License 2.0). They stand beside
the repository, are not part of it, and nothing is learnt from them.
"""

import csv
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from spacy.matcher import Matcher
from spacy.tokens import Doc

from dictate2exam.bench.chances import interval
from dictate2exam.errors import InputError
from dictate2exam.findings.assertion import Assertion, assert_words
from dictate2exam.findings.nlp import Pipeline, pipeline_for
from dictate2exam.lexicon.load import load_lexicon

FOLDER = Path(__file__).parents[3] / "shared" / "datasets" / "assertion"
LABELS = ("negated", "historical", "other_person")


@dataclass(frozen=True)
class Labelled:
    """A sentence in words, where its concept stands (both ends included), and what it says."""

    words: list[str]
    first: int
    last: int
    truth: Assertion


def read_sentences(folder: Path | None = None) -> list[Labelled]:
    """The annotated sentences; InputError where the folder has none."""
    path = (folder or FOLDER) / "sentences.csv"
    if not path.is_file():
        raise InputError(f"There are no annotated sentences in {path.parent}: name their --folder.")
    with path.open(encoding="utf-8", newline="") as file:
        return [_labelled(row) for row in csv.DictReader(file)]


def _labelled(row: dict[str, str]) -> Labelled:
    text = row["sentence"]
    pattern = r"\s+".join(map(re.escape, row["concept"].split()))
    found = re.search(pattern.upper(), text) or re.search(pattern, text, re.IGNORECASE)
    words = text.split()
    start, end = found.span() if found else (0, len(text))
    first = len(text[:start].split()) - (start > 0 and not text[start - 1].isspace())
    truth = Assertion(
        negated=row["negation"] == "Negated",
        historical=row["temporality"] == "Historical",
        other_person=row["experiencer"] != "Patient",
    )
    last = len(text[:end].split()) - 1
    return Labelled(words, max(0, first), max(first, last), truth)


class Baseline:
    """spaCy token patterns without rules of scope: a cue anywhere in the sentence decides."""

    def __init__(self, pipeline: Pipeline) -> None:
        self.nlp = pipeline.nlp
        self.normaliser = pipeline.vocabulary.normaliser
        self.matchers = {label: Matcher(self.nlp.vocab) for label in LABELS}
        scopes = pipeline.vocabulary.scopes
        cues = pipeline.vocabulary.cues
        forms = {
            "negated": [f for f, roles in cues.items() if "negation.before" in roles],
            "historical": [f for f, where in scopes.items() if "history" in dict(where)],
            "other_person": [f for f, where in scopes.items() if "other_person" in dict(where)],
        }
        for label, several in forms.items():
            patterns: list[list[dict[str, Any]]] = [[{"LOWER": w} for w in f] for f in several]
            self.matchers[label].add(label, patterns)

    def __call__(self, each: Labelled) -> Assertion:
        """What the sentence says by its cues alone."""
        doc = Doc(self.nlp.vocab, words=list(self.normaliser.words(" ".join(each.words))))
        return Assertion(*(bool(self.matchers[label](doc)) for label in LABELS))


def bench_assertion(folder: Path | None = None) -> dict[str, Any]:
    """Precision, recall and F1 of each label, with 95% intervals (percent); the baseline beside."""
    sentences = read_sentences(folder)
    pipeline = pipeline_for(load_lexicon())

    def ours(each: Labelled) -> Assertion:
        return assert_words(each.words, each.first, each.last, pipeline)

    return {
        "sentences": len(sentences),
        "dictate2exam": figures(sentences, ours),
        "token_patterns_without_scope": figures(sentences, Baseline(pipeline)),
    }


def figures(sentences: list[Labelled], read: Callable[[Labelled], Assertion]) -> dict[str, Any]:
    """Each label's figures under one way of reading."""
    said = [read(each) for each in sentences]
    out: dict[str, Any] = {}
    for label in LABELS:
        pairs = [
            (getattr(each.truth, label), getattr(one, label))
            for each, one in zip(sentences, said, strict=True)
        ]
        right = sum(a and b for a, b in pairs)
        true, given = sum(a for a, _ in pairs), sum(b for _, b in pairs)
        precision, recall = right / max(1, given), right / max(1, true)
        f1 = 2 * right / max(1, true + given)
        out[label] = {
            "true": true,
            "given": given,
            "precision": round(precision, 3),
            "precision_95": interval([(a, 1) for a, b in pairs if b]),
            "recall": round(recall, 3),
            "recall_95": interval([(b, 1) for a, b in pairs if a]),
            "f1": round(f1, 3),
        }
    return out
