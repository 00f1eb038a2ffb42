"""Another value behind a finding and words that correct is asked about; invented sentences."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.questions import Question
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def asked(text: str) -> list[Question]:
    found = extract(transcript(text), LEXICON, Settings(side="left")).questions
    return [question for question in found if question.rule == "said_anew"]


@pytest.mark.parametrize(
    ("text", "item", "values"),
    [
        (
            "Triceps four. No, I misread that. It comes with three for the triceps.",
            "power.triceps_brachii",
            ("3", "4"),
        ),
        (
            "C6 seven. Again with your eyes shut. Well, that makes it nine to my mind.",
            "sensation.c6",
            ("9", "7"),
        ),
        (
            "Triceps jerk normal, supinator jerk I can't get at it at all, absent.",
            "reflex.brachioradialis",
            ("absent", "not_tested"),
        ),
        (
            "FCR four. Please change that, my colleague's pen slipped, FCR is two.",
            "power.flexor_carpi_radialis",
            ("2", "4"),
        ),
    ],
)
def test_a_value_said_anew_is_asked_about(text: str, item: str, values: tuple[str, str]) -> None:
    (question,) = asked(text)
    assert (question.kind, question.item, question.blocking) == ("value", item, False)
    assert question.suggestions == values
    assert question.finding_ids


@pytest.mark.parametrize(
    "text",
    [
        "Triceps four. Biceps, no, not today. Deltoid three.",
        "No wasting of the deltoid, no wasting at all.",
        "Triceps four, no, three.",
        "Triceps four. Well done. Deltoid three.",
    ],
)
def test_a_value_of_something_else_or_one_that_was_understood_is_not(text: str) -> None:
    assert not asked(text)
