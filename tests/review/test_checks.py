"""Gaps against a protocol, and findings that are implausible together."""

import shutil
from pathlib import Path

import pytest
from examples import finding, heard, record

from dictate2exam.lexicon.conflicts import read_conflicts
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.checks.run import check_record
from dictate2exam.review.resolve import answer

LEXICON = load_lexicon()


def checked(*findings: tuple[str, str], questions: tuple[Question, ...] = ()) -> ExamRecord:
    made = [finding(str(n), item, value, at=n) for n, (item, value) in enumerate(findings)]
    return check_record(record(made, questions), load_lexicon())


def gaps(made: ExamRecord) -> set[str]:
    return {q.item for q in made.questions if q.kind == "gap" and q.state == "open"}


def test_what_was_not_examined_is_a_gap_and_does_not_block() -> None:
    made = checked(("power.deltoid", "4"))
    assert "power.trapezius" in gaps(made)
    assert "power.deltoid" not in gaps(made)
    assert made.blocking == ()
    assert all(q.side == "right" for q in made.questions)


def test_nothing_graded_blocks() -> None:
    made = checked(("sign.scar", "absent"))
    assert [q.kind for q in made.blocking] == ["gap"]


@pytest.mark.parametrize(
    ("examined", "covered"),
    [
        ("power.biceps_brachii", "power.elbow_flexion"),
        ("power.c5", "power.elbow_flexion"),
        ("power.deltoid_middle", "power.deltoid"),
        ("power.intrinsics", "power.dorsal_interosseous_1"),
        ("wasting.thenar", "wasting.deltoid"),
        ("sign.ptosis", "sign.horner"),
    ],
)
def test_alternatives_parts_and_wholes_count(examined: str, covered: str) -> None:
    assert covered in gaps(checked(("power.triceps_brachii", "5")))
    value = "absent" if examined.startswith(("sign", "wasting")) else "5"
    assert covered not in gaps(checked(("power.triceps_brachii", "5"), (examined, value)))


def test_not_tested_was_said_and_is_no_gap() -> None:
    assert "power.trapezius" not in gaps(
        checked(("power.deltoid", "4"), ("power.trapezius", "not_tested"))
    )


def test_speech_that_was_not_understood_is_no_gap() -> None:
    asked = Question(
        kind="unknown_term",
        blocking=False,
        item="power.trapezius",
        side="right",
        question="Trapezius?",
        heard=(heard(0),),
    )
    assert "power.trapezius" not in gaps(checked(("power.deltoid", "4"), questions=(asked,)))


def test_gaps_are_those_of_the_side_with_deficits() -> None:
    made = check_record(
        record(
            [
                finding("a", "power.deltoid", "2", "left"),
                finding("b", "power.deltoid", "5", "right", at=1),
                finding("c", "power.biceps_brachii", "5", "right", at=2),
            ]
        ),
        load_lexicon(),
    )
    assert {q.side for q in made.questions} == {"left"}


def test_possible_donors_are_named() -> None:
    made = checked(("power.deltoid", "4"))
    (question,) = [q for q in made.questions if q.item == "power.trapezius"]
    assert "donor" in question.question and "accessory nerve" in question.donor
    (plain,) = [q for q in made.questions if q.item == "power.rhomboids"]
    assert not plain.donor and "donor" not in plain.question


def test_a_protocol_may_say_what_blocks(tmp_path: Path) -> None:
    copy = tmp_path / "lexicon"
    shutil.copytree(LEXICON.folder, copy)
    path = copy / "protocols" / "screen.toml"
    path.write_text(
        path.read_text().replace(
            'item = "power.trapezius",', 'item = "power.trapezius", blocks = true,'
        )
    )
    made = record([finding("a", "power.deltoid", "4")], protocol="screen")
    asked = check_record(made, load_lexicon(copy)).blocking
    assert [(q.kind, q.item) for q in asked] == [("gap", "power.trapezius")]


@pytest.mark.parametrize(
    "findings",
    [
        (("sign.horner", "absent"), ("sign.ptosis", "present"), ("sign.miosis", "present")),
        (("power.deltoid", "5"), ("wasting.deltoid", "present")),
        (("power.biceps_brachii", "0"), ("contraction.biceps_brachii", "present")),
        (("power.brachioradialis", "4"), ("contraction.brachioradialis", "absent")),
        (("power.deltoid", "5"), ("wasting.deltoid_middle", "present")),
        (
            ("power.deltoid_anterior", "5"),
            ("power.deltoid_middle", "5"),
            ("power.deltoid_posterior", "5-"),
            ("wasting.deltoid", "present"),
        ),
        (
            ("power.grip", "5"),
            ("power.flexor_digitorum_superficialis", "0"),
            ("power.flexor_digitorum_profundus_radial", "0"),
            ("power.flexor_digitorum_profundus_ulnar", "0"),
        ),
        (("power.shoulder_abduction", "4"), ("power.deltoid", "1"), ("power.supraspinatus", "2")),
        (("power.elbow_extension", "4"), ("power.triceps_brachii", "2")),
        (("power.elbow_extension", "0"), ("power.triceps_brachii", "4")),
        (("power.c7", "5"), ("power.triceps_brachii", "0")),
        (
            ("power.trapezius", "5"),
            ("power.trapezius_upper", "2"),
            ("power.trapezius_middle_lower", "3"),
        ),
    ],
)
def test_implausible_findings_are_asked_about(findings: tuple[tuple[str, str], ...]) -> None:
    made = checked(*findings)
    (question,) = [q for q in made.questions if q.kind == "conflict"]
    assert not question.blocking
    assert len(question.finding_ids) == len(findings)
    assert {e.state for e in made.findings} == {"to_confirm"}


def test_plausible_findings_are_not() -> None:
    made = checked(
        ("power.deltoid", "4"),
        ("wasting.deltoid", "present"),
        ("sign.horner", "absent"),
        ("sign.ptosis", "absent"),
        ("contraction.biceps_brachii", "present"),
        ("power.biceps_brachii", "1"),
    )
    assert [q for q in made.questions if q.kind == "conflict"] == []


@pytest.mark.parametrize(
    "findings",
    [
        # One grade is no more than two examiners differ (common practice, no source).
        (("power.elbow_extension", "4"), ("power.triceps_brachii", "3")),
        # A muscle that makes the movement was not graded, so that it may be the strong one.
        (("power.shoulder_abduction", "4"), ("power.deltoid", "0")),
        (("power.elbow_flexion", "3"), ("power.biceps_brachii", "0")),
        (("power.trapezius", "5"), ("power.trapezius_upper", "2")),
        (("power.elbow_extension", "not_tested"), ("power.triceps_brachii", "4")),
        (("reflex.brachioradialis", "normal"), ("power.brachioradialis", "0")),
    ],
)
def test_what_may_well_be_is_not_asked(findings: tuple[tuple[str, str], ...]) -> None:
    assert [q for q in checked(*findings).questions if q.kind == "conflict"] == []


def test_a_finding_that_waits_for_an_answer_is_not_yet_weighed() -> None:
    """Two values for the triceps: which stands decides whether the extension is strange."""
    made = checked(
        ("power.triceps_brachii", "4"),
        ("power.triceps_brachii", "0"),
        ("power.elbow_extension", "4"),
    )
    assert [q.blocking for q in made.questions if q.kind == "conflict"] == [True]
    for value, strange in (("4", 0), ("0", 1)):
        after = answer(made, made.blocking[0].question_id, value, LEXICON)
        asked = [q for q in after.questions if q.kind == "conflict" and q.state == "open"]
        assert len(asked) == strange


def test_slight_wasting_goes_with_full_power() -> None:
    said = {"heard": (heard(1, "slight wasting of the deltoid"),)}
    made = [finding("a", "power.deltoid", "5"), finding("b", "wasting.deltoid", "present", **said)]
    asked = check_record(record(made), LEXICON).questions
    assert [q for q in asked if q.kind == "conflict"] == []
    said = {"heard": (heard(1, "marked wasting of the deltoid"),)}
    made = [made[0], finding("b", "wasting.deltoid", "present", **said)]
    asked = check_record(record(made), LEXICON).questions
    assert [q.kind for q in asked if q.kind == "conflict"] == ["conflict"]


def test_every_rule_can_be_fulfilled() -> None:
    """Each rule of the lexicon that names values raises its own question on its own findings."""
    for rule in read_conflicts(LEXICON.folder):
        rows = [
            (condition.item.replace("{muscle}", "brachioradialis"), condition.values[-1])
            for condition in rule.all
        ]
        asked = [q.question for q in checked(*rows).questions if q.kind == "conflict"]
        assert any(rule.reason in question for question in asked), rule.name


def test_checking_again_asks_nothing_new() -> None:
    made = checked(("power.deltoid", "5"), ("wasting.deltoid", "present"))
    assert check_record(made, load_lexicon()) == made
