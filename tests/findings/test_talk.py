"""Sentences of the examination room that hold no finding give none."""

from pathlib import Path

import pytest
from builders import as_heard, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

TALK = [
    line.strip()
    for line in (Path(__file__).parent / "talk.txt").read_text(encoding="utf-8").splitlines()
    if line.strip()
]


@pytest.mark.parametrize("line", TALK)
def test_talk_gives_no_finding(line: str) -> None:
    for form in (line, as_heard(line)):
        found = extract(transcript(form), load_lexicon(), Settings(side="right")).findings
        assert [f for f in found if not f.item.startswith("context.")] == []
