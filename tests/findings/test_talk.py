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


@pytest.mark.parametrize(
    "line",
    [
        "The locum over in Barnsley swore blind the deltoid was three.",
        "Every textbook my daughter reads shows the biceps as five.",
        "Those brave climbers always come down with triceps four.",
    ],
)
def test_a_finding_behind_a_story_is_asked_about(line: str) -> None:
    """No list holds all that people tell; what stands behind it is not taken unasked."""
    read = extract(transcript(line), load_lexicon(), Settings(side="right"))
    assert not read.findings or [q.rule for q in read.questions] == ["other_day_or_person"]


@pytest.mark.parametrize(
    "line",
    [
        "Now then, deltoid four.",
        "The biceps on this side is three.",
        "This morning's chest film shows the hemidiaphragm is raised on the right.",
    ],
)
def test_what_is_plainly_said_is_not_asked_about(line: str) -> None:
    read = extract(transcript(line), load_lexicon(), Settings(side="right"))
    assert len(read.findings) == 1 and not read.questions


@pytest.mark.parametrize(
    "line",
    [
        "In Kampala the triceps was one.",
        "Back in Winterswijk they had the grip at two.",
        "Following her second operation the biceps was nought.",
        "After surgery the wrist extensors were one.",
        "The study describes a deltoid of three.",
        "The registrar normally deals with the deltoid.",
    ],
)
def test_another_place_or_day_is_told_by_how_the_sentence_opens(line: str) -> None:
    assert not extract(transcript(line), load_lexicon(), Settings(side="right")).findings


@pytest.mark.parametrize(
    "line",
    [
        "In supine the biceps was four.",
        "In Leeds today the biceps was four.",
        "After a short rest the biceps was four.",
        "After the operation the biceps is four.",
    ],
)
def test_what_is_of_today_behind_such_an_opening_stands(line: str) -> None:
    read = extract(transcript(line), load_lexicon(), Settings(side="right"))
    assert [(f.item, f.value) for f in read.findings] == [("power.biceps_brachii", "4")]
