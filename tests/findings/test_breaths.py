"""Where unpunctuated speech begins a new sentence; the sentences are invented."""

import pytest

from dictate2exam.findings.breaths import breaths
from dictate2exam.findings.marking import sentences
from dictate2exam.findings.nlp import pipeline_for
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.model import Utterance, Word


def parts(text: str) -> list[str]:
    pipeline = pipeline_for(load_lexicon())
    words = tuple(Word(text=w, start_s=i, end_s=i + 1) for i, w in enumerate(text.split()))
    heard = Utterance(index=0, start_s=0, end_s=len(words), words=words)
    written = pipeline.vocabulary.normaliser.write(heard)
    found = sentences(pipeline.mark(written), written, pipeline.vocabulary)
    return [" ".join(mark.text for mark in sentence.marks) for sentence in found]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("deltoid four biceps three", ["deltoid 4", "biceps 3"]),
        (
            "triceps is five the biceps jerk is absent",
            ["triceps is 5", "the biceps jerk is absent"],
        ),
        ("deltoid four reflexes biceps absent", ["deltoid 4", "reflexes biceps absent"]),
        ("c eight is one on the right its two", ["c8 is 1", "on the right its 2"]),
        (
            "if it were the cord id expect more biceps three triceps four",
            ["if it were the cord id expect more biceps 3 triceps 4"],
        ),
        ("push as hard as you can deltoid three", ["push as hard as you can", "deltoid 3"]),
        (
            "absent biceps jerk triceps jerk is normal",
            ["absent biceps jerk", "triceps jerk is normal"],
        ),
        ("triceps five on both sides biceps four", ["triceps 5 on both sides biceps 4"]),
    ],
)
def test_a_complete_finding_ends_its_sentence(text: str, expected: list[str]) -> None:
    assert parts(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "deltoid biceps and triceps are all four",
        "he had grade two elbow flexion and grade four elbow extension",
        "there was grade one power in the deltoid",
        "if the deltoid is weak the scapula wings",
        "in march there was a swelling",
        "sensation is reduced over the thumb",
    ],
)
def test_what_belongs_together_stays_together(text: str) -> None:
    assert len(parts(text)) == 1


def test_typed_stops_are_left_alone() -> None:
    assert parts("deltoid four, biceps three. triceps five") == [
        "deltoid 4 , biceps 3",
        "triceps 5",
    ]


def test_nothing_begins_in_nothing() -> None:
    assert breaths([], pipeline_for(load_lexicon()).vocabulary) == set()


CHAT = "so then you just sit back there while my student goes off and finds us a chair and a towel "
LIST = " ".join(f"{name} five" for name in ("deltoid", "biceps", "triceps", "ecrl", "fcr") * 6)
MORE = (
    "and the rest of the morning we have the whole list to get through before our lunch so hurry "
)


@pytest.mark.parametrize(
    ("text", "opening"),
    [
        (
            "teres major four bring it forward and twist it to the window triceps two fcr four",
            "triceps 2",
        ),
        (
            "with the healthy left arm taken as ten light touch at the thumb is six",
            "light touch at the thumb is 6",
        ),
        ("the lad lost his grip last week on inspection the deltoid is flat", "on inspection the"),
        ("wrist extension five on that one back to the left biceps two", "back to the left"),
        ("no ptosis there is some miosis", "there is some miosis"),
        (
            "there is a pouch at c six t one is quite clearly avulsed",
            "t1 is quite clearly avulsed",
        ),
    ],
)
def test_long_speech_without_stops_turns_to_the_next_thing(text: str, opening: str) -> None:
    found = parts(CHAT + MORE + text)
    assert any(part.startswith(opening) for part in found), found


def test_long_lines_with_few_commas_are_split() -> None:
    found = parts(CHAT + CHAT + "mind the step. and up you go right arm now, " + LIST)
    assert any(part == "biceps 5" for part in found), found


def test_a_grade_by_five_is_one_grade() -> None:
    assert parts("deltoid three by five triceps two by five") == ["deltoid 3", "triceps 2"]
