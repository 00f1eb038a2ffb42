"""Right, wrong, missed, invented, asked and silent on records made by hand."""

import pytest

from dictate2exam.bench.model import Expected
from dictate2exam.bench.score import Comparison, same_value
from dictate2exam.findings.model import Finding
from dictate2exam.provenance import Heard
from dictate2exam.questions import Question


def heard(utterance: int = 0, first: int = 0, last: int = 1) -> Heard:
    return Heard(
        utterance=utterance, first_word=first, last_word=last, start_s=0, end_s=1, text="words"
    )


def finding(item: str, value: str, side: str = "right", number: int = 1, **more: object) -> Finding:
    return Finding.model_validate(
        {
            "finding_id": f"f{number:03d}",
            "item": item,
            "side": side,
            "value": value,
            "heard": (heard(number),),
            **more,
        }
    )


def row(item: str, value: str, side: str = "right", **more: object) -> Expected:
    return Expected.model_validate({"item": item, "side": side, "value": value, **more})


def question(kind: str = "value", **more: object) -> Question:
    base = {"question_id": "q001", "kind": kind, "blocking": False, "question": "?"}
    return Question.model_validate({**base, **more})


def test_a_record_that_is_true_has_no_errors() -> None:
    score = Comparison(
        [row("power.deltoid", "4"), row("sensation.c5", "10", scale="ten")],
        [finding("power.deltoid", "4"), finding("sensation.c5", "normal", number=2)],
        [],
    ).score()
    assert (score.right, score.errors) == (2, ())


def test_each_kind_of_error_is_counted_once() -> None:
    score = Comparison(
        [
            row("power.deltoid", "4"),
            row("power.triceps_brachii", "5"),
            row("sign.ptosis", "absent"),
        ],
        [
            finding("power.deltoid", "3", number=1),
            finding("power.triceps_brachii", "5", side="left", number=2),
            finding("power.biceps_brachii", "5", number=3),
        ],
        [],
    ).score()
    kinds = sorted(error.kind for error in score.errors)
    assert kinds == ["invented", "missed", "wrong_side", "wrong_value"]
    assert score.silent == 4


def test_the_finding_with_the_right_value_is_paired_first() -> None:
    score = Comparison(
        [row("power.deltoid", "4")],
        [finding("power.deltoid", "3", number=1), finding("power.deltoid", "4", number=2)],
        [],
    ).score()
    assert score.right == 1
    assert [error.kind for error in score.errors] == ["invented"]


@pytest.mark.parametrize(
    "asked",
    [
        question(finding_ids=("f001",)),
        question(item="power.deltoid", side="right"),
        question(item="power.deltoid"),
        question(kind="unknown_term", heard=(heard(1, 1, 4),)),
    ],
)
def test_a_question_about_that_speech_points_at_an_error(asked: Question) -> None:
    score = Comparison(
        [row("power.deltoid", "4")], [finding("power.deltoid", "3")], [asked]
    ).score()
    assert (score.silent, score.needed) == (0, 1)


@pytest.mark.parametrize(
    "asked",
    [
        question(item="power.deltoid", side="left"),
        question(item="power.biceps_brachii"),
        question(kind="gap", item="power.deltoid"),
        question(item="power.deltoid", state="answered"),
        question(kind="unknown_term", heard=(heard(2),)),
    ],
)
def test_other_questions_leave_an_error_silent(asked: Question) -> None:
    score = Comparison(
        [row("power.deltoid", "4")], [finding("power.deltoid", "3")], [asked]
    ).score()
    assert score.silent == 1


def test_a_missed_finding_is_pointed_at_by_a_suggestion_of_its_name() -> None:
    asked = question(kind="mishearing", suggestions=("power.teres_minor", "power.teres_major"))
    score = Comparison([row("power.teres_minor", "4")], [], [asked]).score()
    assert (score.count("missed"), score.silent) == (1, 0)


def test_free_text_of_context_is_left_out() -> None:
    score = Comparison(
        [row("context.mechanism", "fell")], [finding("context.interval_days", "21")], []
    ).score()
    assert (score.expected, score.errors) == (0, ())


def test_touch_and_pin_are_told_apart() -> None:
    touch = row("sensation.c6", "8", detail={"modality": "touch"})
    pin = row("sensation.c6", "5", detail={"modality": "pin"})
    found = [
        finding("sensation.c6", "8", number=1, detail={"modality": "pin"}),
        finding("sensation.c6", "5", number=2, detail={"modality": "touch"}),
    ]
    assert Comparison([touch, pin], found, []).score().count("wrong_value") == 2


def test_values_of_the_skin_that_mean_the_same() -> None:
    assert same_value("sensation.c5", "10", "normal")
    assert same_value("sensation.c5", "absent", "0")
    assert same_value("sensation.c5", "2", "normal", "isncsci", "")
    assert not same_value("sensation.c5", "2", "normal", "ten", "")
    assert not same_value("reflex.biceps", "absent", "0")
