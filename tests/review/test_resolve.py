"""Answers change the record as they say, and bad answers change nothing."""

import pytest
from examples import finding, heard, record, transcript

from dictate2exam import pipeline
from dictate2exam.errors import RecordError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.questions import Question, QuestionKind
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.checks.run import check_record
from dictate2exam.review.resolve import answer, answer_all
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def asked(
    kind: QuestionKind, *ids: str, item: str = "", suggestions: tuple[str, ...] = ()
) -> Question:
    return Question(
        kind=kind,
        blocking=True,
        item=item,
        side="right" if item and kind != "side" else "none",
        question="Which?",
        suggestions=suggestions,
        finding_ids=ids,
        heard=(heard(0, "deltoid four"),),
    )


def one_doubt(kind: QuestionKind = "value") -> ExamRecord:
    return check_record(
        record([finding("a", "power.deltoid", "4")], [asked(kind, "a", item="power.deltoid")]),
        LEXICON,
    )


def values(made: ExamRecord) -> list[tuple[str, str, str]]:
    return [(f.item, f.side, f.value) for f in made.standing]


def test_the_same_value_confirms() -> None:
    made = answer(one_doubt(), "q001", "4", LEXICON)
    assert [(e.finding.value, e.state) for e in made.findings] == [("4", "confirmed")]
    assert made.questions[0].state == "answered"
    assert made.blocking == ()


def test_another_value_replaces_and_keeps_the_first() -> None:
    made = answer(one_doubt(), "q001", "4+", LEXICON)
    assert values(made) == [("power.deltoid", "right", "4+")]
    assert [e.state for e in made.findings] == ["superseded", "confirmed"]
    assert made.amendments[0].findings == ("f002",)


@pytest.mark.parametrize("text", ["M4+", "4+/5", " 4+ "])
def test_grades_are_taken_as_they_are_written(text: str) -> None:
    assert values(answer(one_doubt(), "q001", text, LEXICON))[0][2] == "4+"


def test_reject_removes() -> None:
    made = answer(one_doubt("mishearing"), "q001", "reject", LEXICON)
    assert made.standing == ()
    assert made.findings[0].state == "rejected"


def test_rejecting_a_correction_brings_back_what_it_corrected() -> None:
    made = check_record(
        record(
            [
                finding("a", "power.deltoid", "3"),
                finding("b", "power.deltoid", "4", at=1, corrects="a"),
            ],
            [asked("mishearing", "b", item="power.deltoid")],
        ),
        LEXICON,
    )
    assert values(answer(made, "q001", "reject", LEXICON)) == [("power.deltoid", "right", "3")]


def test_skip_leaves_the_doubt_but_not_the_gate() -> None:
    made = answer(one_doubt(), "q001", "skip", LEXICON)
    assert made.questions[0].state == "skipped"
    assert made.findings[0].state == "to_confirm"
    assert made.blocking == ()


def test_keep_confirms() -> None:
    assert answer(one_doubt("commentary"), "q001", "keep", LEXICON).findings[0].state == "confirmed"


def test_another_item_replaces() -> None:
    made = answer(one_doubt("mishearing"), "q001", "power.trapezius", LEXICON)
    assert values(made) == [("power.trapezius", "right", "4")]


def test_item_value_and_side_in_one_answer() -> None:
    made = answer(one_doubt("mishearing"), "q001", "power.trapezius 3 left", LEXICON)
    assert values(made) == [("power.trapezius", "left", "3")]


def test_a_label_is_as_good_as_an_item() -> None:
    made = answer(one_doubt("mishearing"), "q001", "trapezius", LEXICON)
    assert values(made) == [("power.trapezius", "right", "4")]


def test_a_side_moves_everything_that_hangs_on_it() -> None:
    made = check_record(
        record(
            [
                finding("a", "power.deltoid", "4", "none"),
                finding("b", "sensation.c6", "7", "none", at=1),
                finding("c", "power.trapezius", "5", "right", at=2),
            ]
        ),
        LEXICON,
    )
    (question,) = [q for q in made.questions if q.kind == "side"]
    made = answer(made, question.question_id, "left", LEXICON)
    assert set(values(made)) == {
        ("power.deltoid", "left", "4"),
        ("sensation.c6", "left", "7"),
        ("power.trapezius", "right", "5"),
    }
    assert made.blocking == ()
    assert all(f.side_spoken for f in made.standing)


def test_a_side_that_makes_two_values_meet_opens_a_conflict() -> None:
    made = check_record(
        record(
            [
                finding("a", "power.deltoid", "4", "none"),
                finding("b", "power.deltoid", "2", "left", at=1),
            ]
        ),
        LEXICON,
    )
    (question,) = [q for q in made.questions if q.kind == "side"]
    made = answer(made, question.question_id, "left", LEXICON)
    assert [q.kind for q in made.blocking] == ["conflict"]


def test_open_questions_follow_the_finding_they_are_about() -> None:
    made = check_record(
        record(
            [finding("a", "power.deltoid", "4", "none")],
            [asked("side", "a"), asked("value", "a", item="power.deltoid")],
        ),
        LEXICON,
    )
    made = answer_all(made, [("q001", "left"), ("q002", "3")], LEXICON)
    assert values(made) == [("power.deltoid", "left", "3")]


@pytest.mark.parametrize(("text", "kept"), [("3", "3"), ("4", "4"), ("5", "5")])
def test_a_conflict_is_settled_by_value(text: str, kept: str) -> None:
    made = check_record(
        record([finding("a", "power.deltoid", "4"), finding("b", "power.deltoid", "3", at=1)]),
        LEXICON,
    )
    made = answer(made, "q001", text, LEXICON)
    assert values(made) == [("power.deltoid", "right", kept)]
    assert made.blocking == ()
    assert [e.state for e in made.findings if e.stands] == ["confirmed"]


def test_a_conflict_of_two_items_takes_the_named_one() -> None:
    made = check_record(
        record(
            [finding("a", "power.deltoid", "5"), finding("b", "wasting.deltoid", "present", at=1)]
        ),
        LEXICON,
    )
    made = answer(made, "q001", "wasting.deltoid absent", LEXICON)
    assert ("wasting.deltoid", "right", "absent") in values(made)
    assert ("power.deltoid", "right", "5") in values(made)


def test_a_gap_is_filled_by_a_value() -> None:
    made = one_doubt()
    gap = next(q for q in made.questions if q.item == "power.trapezius")
    made = answer(made, gap.question_id, "5", LEXICON)
    assert ("power.trapezius", "right", "5") in values(made)


def test_a_filled_gap_closes_what_it_covers() -> None:
    made = one_doubt()
    gap = next(q for q in made.questions if q.item == "power.elbow_flexion")
    made = answer(made, gap.question_id, "power.biceps_brachii 4", LEXICON)
    assert ("power.biceps_brachii", "right", "4") in values(made)


def test_sensation_gets_its_scale() -> None:
    made = one_doubt()
    gap = next(q for q in made.questions if q.item == "sensation.c6")
    assert answer(made, gap.question_id, "7", LEXICON).standing[-1].scale == "ten"
    assert answer(made, gap.question_id, "1/2", LEXICON).standing[-1].scale == "isncsci"


def test_a_term_made_out_becomes_a_finding() -> None:
    made = check_record(
        record(
            [finding("a", "power.deltoid", "4")],
            [asked("unknown_term", item="power.trapezius", suggestions=("power.trapezius 4",))],
        ),
        LEXICON,
    )
    made = answer(made, "q001", "4", LEXICON)
    assert ("power.trapezius", "right", "4") in values(made)
    assert made.standing[-1].heard


@pytest.mark.parametrize(
    ("question_id", "text"),
    [
        ("q999", "4"),
        ("", "4"),
        ("q001", "7"),
        ("q001", "banana"),
        ("q001", ""),
        ("q001", "4 power.nothing"),
        ("q001", "7/10"),
        ("q001", "present"),
    ],
)
def test_bad_answers_are_one_sentence(question_id: str, text: str) -> None:
    made = one_doubt()
    with pytest.raises(RecordError) as caught:
        answer(made, question_id, text, LEXICON)
    assert "\n" not in str(caught.value)
    assert made == one_doubt()


def test_an_answer_given_twice_is_once() -> None:
    made = answer(one_doubt(), "q001", "3", LEXICON)
    assert answer(made, "q001", "3", LEXICON) == made
    with pytest.raises(RecordError, match="already"):
        answer(made, "q001", "4", LEXICON)


def test_every_gap_can_be_answered_in_one_file() -> None:
    """Also those that another answer of the same file has covered."""
    made = one_doubt()
    gaps = [q for q in made.questions if q.kind == "gap"]
    given = [
        (
            q.question_id,
            next(
                v
                for v in ("5", "10", "normal", "absent", "present")
                if v in LEXICON.items[q.item].values
            ),
        )
        for q in gaps
    ]
    done = answer_all(made, [("q001", "4"), *given], LEXICON)
    assert [q for q in done.questions if q.state == "open"] == []
    assert {q.item for q in gaps} <= {f.item for f in done.standing}


def heard_so(text: str, *more: str) -> ExamRecord:
    """The record that these words alone give."""
    said = transcript(text, *more, timed=False)
    return pipeline.read(said, LEXICON, Settings())


def test_naming_the_term_takes_the_value_that_was_said_there() -> None:
    made = heard_so("right wrist extension five", "wrist yeh ocean four plus", "deltoid five")
    (question,) = [q for q in made.questions if q.kind == "unknown_term"]
    assert "wrist flexion" in question.suggestions and not question.finding_ids
    done = answer(made, question.question_id, "wrist flexion", LEXICON)
    assert ("power.wrist_flexion", "right", "4+") in values(done)
    # What stood before stands as it did.
    assert set(values(made)) < set(values(done))


def test_naming_a_term_where_no_value_was_said_needs_one() -> None:
    made = check_record(
        record([finding("a", "power.deltoid", "4")], [asked("unknown_term")]), LEXICON
    )
    with pytest.raises(RecordError, match="value"):
        answer(made, "q001", "wrist flexion", LEXICON)
    done = answer(made, "q001", "wrist flexion 3", LEXICON)
    assert ("power.wrist_flexion", "right", "3") in values(done)


def test_answers_to_what_was_settled_along_are_still_taken() -> None:
    both = [
        asked("value", "a", item="power.deltoid", suggestions=("4", "3")),
        asked("commentary", "a", item="power.deltoid", suggestions=("4", "reject")),
    ]
    made = check_record(record([finding("a", "power.deltoid", "4")], both), LEXICON)
    first = answer(made, "q001", "3", LEXICON)
    assert first.questions[1].answer == "answered along with q001"
    assert answer(first, "q002", "keep", LEXICON) == first
    assert values(answer(first, "q002", "reject", LEXICON)) == []
