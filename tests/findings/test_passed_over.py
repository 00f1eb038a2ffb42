"""Muscles looked at and sites tapped that gave nothing are asked about; invented sentences."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.questions import Question
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def asked(text: str) -> list[Question]:
    found = extract(transcript(text), LEXICON, Settings(side="left")).questions
    return [question for question in found if question.rule == "passed_over"]


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Deltoid is wasted. Triceps, ja.", "wasting.triceps_brachii"),
        ("Supraspinatus wasted, infraspinatus somewhat up and down.", "wasting.infraspinatus"),
        ("The deltoid is wasted and the biceps holds its own.", "wasting.biceps_brachii"),
        (
            "Tinel at the elbow nothing. Tapping at the axilla made her jump a mile.",
            "sign.percussion.axilla",
        ),
    ],
)
def test_what_was_looked_at_or_tapped_and_gave_nothing_is_asked_about(text: str, item: str) -> None:
    (question,) = asked(text)
    assert (question.kind, question.item, question.blocking) == ("value", item, False)


def test_nerves_with_results_that_gave_nothing_are_asked_about_once() -> None:
    (question,) = asked(
        "Biceps five. The tracings from upstairs: sensory median reduced, ulnar normal."
    )
    assert (question.kind, question.item) == ("unknown_term", "")


def test_a_site_with_a_name_is_asked_about_before_another() -> None:
    (question,) = asked("Tapping on the scar below the collarbone gave fireworks to the elbow.")
    assert question.item == "sign.percussion.infraclavicular"


@pytest.mark.parametrize(
    "text",
    [
        "Deltoid is wasted, triceps is not.",
        "Deltoid is wasted. Triceps five.",
        "Tapping above the clavicle, negative.",
        "The scar runs to the axilla. Deltoid five.",
        "Deltoid is wasted. She had her carpal tunnel done last year.",
    ],
)
def test_what_was_read_or_is_no_look_is_not_asked_about(text: str) -> None:
    assert not asked(text)
