"""From findings as they were read to findings that stand."""

import pytest
from examples import finding, heard, record, transcript

from dictate2exam.findings.model import Extraction
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.questions import Question
from dictate2exam.record.assemble import assemble
from dictate2exam.record.model import ExamRecord
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Signal


def standing(made: ExamRecord) -> list[tuple[str, str, str]]:
    return [(f.item, f.side, f.value) for f in made.standing]


def test_ids_follow_the_speech_and_are_the_same_again() -> None:
    said = [finding("b", "power.deltoid", "4", at=2), finding("a", "power.trapezius", "5", at=1)]
    made = record(said)
    assert [(e.finding.finding_id, e.finding.item) for e in made.findings] == [
        ("f001", "power.trapezius"),
        ("f002", "power.deltoid"),
    ]
    assert record(said) == made


def test_a_correction_replaces_and_keeps_what_it_corrects() -> None:
    made = record(
        [
            finding("a", "power.deltoid", "3", at=0),
            finding("b", "power.deltoid", "4", at=1, corrects="a"),
        ]
    )
    assert standing(made) == [("power.deltoid", "right", "4")]
    assert made.findings[0].state == "superseded"
    assert made.findings[0].superseded_by == "f002"
    assert made.questions == ()


def test_a_correction_of_the_side_leaves_nothing_on_the_wrong_side() -> None:
    made = record(
        [
            finding("a", "power.deltoid", "3", "right"),
            finding("b", "power.deltoid", "3", "left", at=1, corrects="a"),
        ]
    )
    assert standing(made) == [("power.deltoid", "left", "3")]


def test_a_correction_also_replaces_an_earlier_repeat() -> None:
    made = record(
        [
            finding("a", "power.deltoid", "3", at=0),
            finding("b", "power.deltoid", "3", at=1),
            finding("c", "power.deltoid", "4", at=2, corrects="b"),
        ]
    )
    assert standing(made) == [("power.deltoid", "right", "4")]
    assert made.questions == ()


def test_what_is_withdrawn_is_rejected_with_its_repeats() -> None:
    made = record(
        [finding("a", "sign.scar", "present"), finding("b", "sign.scar", "present", at=1)],
        withdrawn=["b"],
    )
    assert made.standing == ()
    assert {e.state for e in made.findings} == {"rejected"}


def test_equal_values_are_one_finding_heard_twice() -> None:
    made = record([finding("a", "power.deltoid", "4"), finding("b", "power.deltoid", "4", at=5)])
    (only,) = made.standing
    assert [stretch.utterance for stretch in only.heard] == [0, 5]
    assert made.questions == ()


def test_two_values_without_correction_block() -> None:
    made = record([finding("a", "power.deltoid", "4"), finding("b", "power.deltoid", "3", at=5)])
    assert standing(made) == [("power.deltoid", "right", "3")]
    (question,) = made.questions
    assert (question.kind, question.blocking) == ("conflict", True)
    assert question.suggestions == ("3", "4")
    assert set(question.finding_ids) == {"f001", "f002"}
    assert [e.state for e in made.findings] == ["superseded", "to_confirm"]


def test_a_conflict_after_a_correction_is_still_asked() -> None:
    made = record(
        [
            finding("a", "power.deltoid", "3", at=0),
            finding("b", "power.deltoid", "4", at=1, corrects="a"),
            finding("c", "power.deltoid", "2", at=2),
        ]
    )
    assert [q.suggestions for q in made.questions] == [("2", "4")]


@pytest.mark.parametrize(
    ("first", "second", "stands"),
    [("normal", "10", "10"), ("0", "absent", "0"), ("reduced", "6", "6"), ("8", "reduced", "8")],
)
def test_words_and_scores_of_touch_agree(first: str, second: str, stands: str) -> None:
    made = record([finding("a", "sensation.c6", first), finding("b", "sensation.c6", second, at=1)])
    assert standing(made) == [("sensation.c6", "right", stands)]
    assert made.questions == ()


@pytest.mark.parametrize(("first", "second"), [("normal", "4"), ("10", "8"), ("absent", "reduced")])
def test_words_and_scores_of_touch_that_differ_are_asked(first: str, second: str) -> None:
    made = record([finding("a", "sensation.c6", first), finding("b", "sensation.c6", second, at=1)])
    assert [q.kind for q in made.questions] == ["conflict"]


def test_touch_and_pin_are_two_findings() -> None:
    made = record(
        [
            finding("a", "sensation.c6", "8", detail={"modality": "touch"}),
            finding("b", "sensation.c6", "5", at=1, detail={"modality": "pin"}),
        ]
    )
    assert len(made.standing) == 2
    assert made.questions == ()


def test_the_sides_are_two_findings() -> None:
    made = record(
        [finding("a", "power.deltoid", "4"), finding("b", "power.deltoid", "5", "left", at=1)]
    )
    assert len(made.standing) == 2


def test_not_tested_gives_way_to_a_grade() -> None:
    made = record(
        [finding("a", "power.deltoid", "not_tested"), finding("b", "power.deltoid", "4", at=3)]
    )
    assert standing(made) == [("power.deltoid", "right", "4")]
    assert made.questions == ()


def test_several_facts_of_the_history_stand_together() -> None:
    made = record(
        [
            finding("a", "context.associated_injury", "clavicle fracture", "none"),
            finding("b", "context.associated_injury", "first rib fracture", "none", at=1),
        ]
    )
    assert len(made.standing) == 2


def test_an_open_question_makes_a_finding_one_to_confirm() -> None:
    asked = Question(
        kind="value",
        blocking=False,
        item="power.deltoid",
        side="right",
        question="Four or three?",
        finding_ids=("b",),
        heard=(heard(1),),
    )
    made = record(
        [finding("a", "power.trapezius", "5"), finding("b", "power.deltoid", "4", at=1)], [asked]
    )
    assert [e.state for e in made.findings] == ["accepted", "to_confirm"]
    assert made.questions[0].question_id == "q001"
    assert made.questions[0].finding_ids == ("f002",)


def test_a_question_on_what_was_corrected_is_dropped() -> None:
    asked = Question(
        kind="value", blocking=True, item="power.deltoid", question="Seven?", finding_ids=("a",)
    )
    made = record(
        [
            finding("a", "power.deltoid", "3"),
            finding("b", "power.deltoid", "4", at=1, corrects="a"),
        ],
        [asked],
    )
    assert made.questions == ()


def test_findings_without_a_side_share_one_blocking_question() -> None:
    made = record(
        [
            finding("a", "power.deltoid", "4", "none"),
            finding("b", "power.trapezius", "5", "none", at=1),
            finding("c", "sign.scar", "absent", "none", at=2),
        ]
    )
    (question,) = made.questions
    assert (question.kind, question.blocking) == ("side", True)
    assert question.finding_ids == ("f001", "f002")


def test_an_assumed_side_is_a_caution() -> None:
    assumed = record([finding("a", "power.deltoid", "4", side_spoken=False)], side="right")
    spoken = record([finding("a", "power.deltoid", "4")])
    assert len(assumed.cautions) == len(spoken.cautions) + 1


def test_the_record_names_what_made_it() -> None:
    made = record([finding("a", "power.deltoid", "4")])
    assert made.versions.lexicon == load_lexicon().hash
    assert made.versions.package


def test_what_is_wrong_with_the_sound_is_a_caution_of_the_record() -> None:
    noisy = Signal(level_db=-20, snr_db=6, clipped=0, cautions=("The recording is noisy.",))
    spoken = transcript("right arm, biceps four").model_copy(update={"signal": noisy})
    made = assemble(spoken, Extraction(findings=()), load_lexicon(), Settings(), "now")
    assert made.cautions[0] == "The recording is noisy."
    assert len(made.cautions) > 1
