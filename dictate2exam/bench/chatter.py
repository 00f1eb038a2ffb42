"""Sentences that must give no finding: alone, and in the middle of an examination."""

import re
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.record.model import ExamRecord
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript

LEAD = "On the right side, biceps is five."
# A line may name its speaker itself.
TAGGED = re.compile(r"(examiner|patient):", re.IGNORECASE)
LED_TO = ("power.biceps_brachii", "right", "5")


def _read(
    text: str,
    lexicon: Lexicon,
    settings: Settings,
    heard: Callable[[Transcript, list[str]], Transcript] | None,
) -> ExamRecord:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.txt"
        path.write_text(text, encoding="utf-8")
        typed = pipeline.hear([path], lexicon, settings)
        said = heard(typed, text.splitlines()) if heard else typed
        return pipeline.read(said, lexicon, settings)


def phantoms_of(record: ExamRecord, led: bool) -> tuple[list[str], bool, int]:
    """What was found that nobody said, whether some of it is silent, and how many questions.

    With `led` the finding of LEAD is none of them.
    """
    found = [f for f in record.standing if not f.item.startswith("context.")]
    if led:
        found = [f for f in found if (f.item, f.side, f.value) != LED_TO]
    pointed = {i for q in record.questions for i in q.finding_ids if q.kind != "side"}
    return (
        [f"{f.item} {f.side} {f.value}" for f in found],
        not all(f.finding_id in pointed for f in found),
        sum(q.kind not in ("gap", "side") for q in record.questions),
    )


def phantoms(
    sentences: list[str],
    lexicon: Lexicon,
    settings: Settings,
    heard: Callable[[Transcript, list[str]], Transcript] | None = None,
) -> dict[str, Any]:
    """Which sentences gave a finding, and which of them did so with no question about it.

    `heard` makes of typed lines what a recogniser would write.
    """
    gave: dict[str, list[str]] = {}
    silent: list[str] = []
    asked = 0
    for sentence in sentences:
        for lead in ("", f"examiner: {LEAD}\n"):
            said = sentence if TAGGED.match(sentence) else f"examiner: {sentence}"
            record = _read(f"{lead}{said}\n", lexicon, settings, heard)
            found, quietly, questions = phantoms_of(record, led=bool(lead))
            asked += questions
            if found:
                gave.setdefault(sentence, []).extend(found)
            if quietly and sentence not in silent:
                silent.append(sentence)
    return {
        "sentences": len(sentences),
        "phantoms": len(gave),
        "silent_phantoms": len(silent),
        "questions": asked,
        "gave": gave,
        "silent": silent,
    }
