"""The simulated examiner answers as somebody would who knows what was said."""

from pathlib import Path

import pytest

from dictate2exam.bench.examiner import truthful_answer
from dictate2exam.bench.lines import LineFinder
from dictate2exam.bench.model import Expected, Sample
from dictate2exam.findings.model import Finding
from dictate2exam.provenance import Heard, Versions
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord, RecordedFinding
from dictate2exam.speech.model import Transcript, Utterance, Word

SCRIPT = "examiner: Deltoid four on the right.\nexaminer: Teres minor three.\n"
EXPECTED = (
    Expected(item="power.deltoid", side="right", value="4", line=1),
    Expected(item="power.teres_minor", side="right", value="3", line=2),
)


def _heard(utterance: int) -> Heard:
    return Heard(
        utterance=utterance, first_word=0, last_word=2, start_s=utterance, end_s=utterance, text=""
    )


def _transcript() -> Transcript:
    utterances = []
    for index, line in enumerate(SCRIPT.lower().replace(".", "").splitlines()):
        words = line.split()[1:]
        utterances.append(
            Utterance(
                index=index,
                start_s=0,
                end_s=0,
                words=tuple(Word(text=word, start_s=0, end_s=0) for word in words),
            )
        )
    return Transcript(utterances=tuple(utterances), timed=False)


def _answer(tmp_path: Path, question: dict[str, object], **found: str) -> str:
    script = tmp_path / "a.script.txt"
    script.write_text(SCRIPT)
    sample = Sample(name="a", style="", side="right", script=script, expected=EXPECTED)
    findings = []
    if found:
        values = {"finding_id": "f001", "side": "right", "heard": (_heard(0),), **found}
        findings = [RecordedFinding(finding=Finding.model_validate(values), state="to_confirm")]
    record = ExamRecord(
        created="",
        protocol="full",
        default_side="none",
        versions=Versions(package="0", lexicon="0", listeners={}),
        cautions=(),
        red_flags=(),
        transcript=_transcript(),
        findings=tuple(findings),
        questions=(),
    )
    base = {"question_id": "q001", "kind": "value", "blocking": False, "question": "?"}
    asked = Question.model_validate({**base, **question})
    finder = LineFinder(sample, record.transcript)
    labels = {"power.teres_minor": "teres minor"}
    return truthful_answer(asked, record, sample, finder, labels)


ABOUT = {"finding_ids": ("f001",)}


@pytest.mark.parametrize(
    ("question", "found", "answer"),
    [
        (ABOUT, {"item": "power.deltoid", "value": "3"}, "4"),
        (ABOUT, {"item": "power.deltoid", "value": "4"}, "4"),
        (ABOUT, {"item": "power.deltoid", "value": "4", "side": "left"}, "right"),
        (ABOUT, {"item": "power.triceps_brachii", "value": "4"}, "reject"),
        ({**ABOUT, "kind": "side"}, {"item": "power.deltoid", "value": "4"}, "right"),
        ({"kind": "gap", "item": "power.teres_minor", "side": "right"}, {}, "3"),
        ({"kind": "gap", "item": "power.teres_major", "side": "right"}, {}, "skip"),
        (
            {
                "kind": "mishearing",
                "heard": (_heard(1),),
                "suggestions": ("teres major", "teres minor"),
            },
            {},
            "teres minor",
        ),
        ({"kind": "unknown_term", "heard": (_heard(0),)}, {}, "reject"),
        (
            {
                "kind": "unknown_term",
                "heard": (_heard(1),),
                "question": '"terry\'s minor three": of what was that said?',
            },
            {},
            "power.teres_minor 3 right",
        ),
        (
            {
                "kind": "unknown_term",
                "heard": (_heard(1),),
                "question": '"terry\'s minor four": of what was that said, three?',
            },
            {},
            "reject",
        ),
    ],
)
def test_answers(
    tmp_path: Path, question: dict[str, object], found: dict[str, str], answer: str
) -> None:
    assert _answer(tmp_path, question, **found) == answer
