"""Where two ways of cutting sentences give other findings, it is asked."""

from examples import finding, heard

from dictate2exam.findings.cut_otherwise import ask_differences
from dictate2exam.findings.model import Extraction, Finding
from dictate2exam.questions import Question

LABELS = {"power.deltoid": "deltoid", "power.biceps_brachii": "biceps"}


def read(*findings: Finding, questions: tuple[Question, ...] = ()) -> Extraction:
    return Extraction(findings=findings, questions=questions)


def at(name: str, item: str, value: str, side: str = "right", index: int = 0) -> Finding:
    return finding(name, item, value, side, heard=(heard(index, "four", 0, 0),))


def test_alike_readings_are_not_asked_about() -> None:
    one = read(at("a", "power.deltoid", "4"), at("b", "sensation.c6", "10"))
    other = read(at("x", "power.deltoid", "4"), at("y", "sensation.c6", "normal"))
    assert ask_differences(one, other, LABELS) == one


def test_another_value_is_asked_and_blocks() -> None:
    asked = ask_differences(
        read(at("a", "power.deltoid", "4")), read(at("x", "power.deltoid", "2")), LABELS
    )
    (question,) = asked.questions
    assert (question.kind, question.blocking) == ("value", True)
    assert question.question == "deltoid: 4 or 2?"
    assert (question.suggestions, question.finding_ids) == (("4", "2"), ("a",))
    assert asked.findings[0].confidence < 1


def test_one_question_of_side_for_what_was_said_together() -> None:
    items = ("power.deltoid", "power.biceps_brachii")
    asked = ask_differences(
        read(*(at(i[-3:], i, "4") for i in items)),
        read(*(at(i, i, "4", side="left") for i in items)),
        LABELS,
    )
    (question,) = asked.questions
    assert (question.kind, question.suggestions) == ("side", ("right", "left"))
    assert question.question == "deltoid 4 and 1 more: which side?"
    assert len(question.finding_ids) == 2


def test_one_question_of_value_for_what_was_said_together() -> None:
    items = ("power.deltoid", "power.biceps_brachii", "power.triceps_brachii")
    asked = ask_differences(
        read(*(at(i, i, "5") for i in items)), read(*(at(i, i, "1") for i in items)), LABELS
    )
    (question,) = asked.questions
    assert question.question == "deltoid and 2 more: 5 or 1?"
    assert (question.finding_ids, question.suggestions) == (items, ("5", "1"))


def test_sides_that_leave_findings_astray_give_way() -> None:
    items = [f"power.muscle_{n}" for n in range(12)]
    astray = read(*(at(i, i, "4", "left" if n < 6 else "right") for n, i in enumerate(items)))
    asked = ask_differences(astray, read(*(at(i, i, "4", "left") for i in items)), LABELS)
    assert {f.side for f in asked.findings} == {"left"}
    (question,) = asked.questions
    assert question.suggestions == ("left", "right") and len(question.finding_ids) == 6


def test_a_finding_of_the_other_reading_alone_is_asked_about() -> None:
    asked = ask_differences(read(), read(at("x", "power.deltoid", "4")), LABELS)
    (question,) = asked.questions
    assert (question.question, question.finding_ids) == ("Is deltoid 4?", ())
    assert question.suggestions == ("4", "reject")


def test_a_finding_that_the_other_took_for_talk_is_asked_about() -> None:
    mine = read(at("a", "power.deltoid", "4", index=3))
    assert ask_differences(mine, read(), LABELS) == mine
    (question,) = ask_differences(mine, read(), LABELS, {(3, 0)}).questions
    assert (question.kind, question.suggestions) == ("commentary", ("4", "reject"))


def test_what_is_asked_about_is_not_asked_again() -> None:
    known = Question(
        kind="value", blocking=False, item="power.deltoid", side="right", question="deltoid?"
    )
    mine = read(at("a", "power.deltoid", "4"), questions=(known,))
    other = read(at("x", "power.deltoid", "2"))
    assert ask_differences(mine, other, LABELS) == mine


def test_what_was_taken_back_is_not_compared() -> None:
    mine = Extraction(findings=(at("a", "power.deltoid", "4"),), withdrawn=("a",))
    assert ask_differences(mine, read(), LABELS) == mine
