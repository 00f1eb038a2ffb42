"""One session of decisions: order, what one answer settles, nothing preselected, undo."""

import pytest
from examples import finding, heard, record

from dictate2exam.errors import RecordError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.questions import Question, QuestionKind
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.checks.run import check_record
from dictate2exam.review.decisions import Decisions
from dictate2exam.review.topics import TAKEN_BACK

LEXICON = load_lexicon()


def asked(
    kind: QuestionKind,
    *ids: str,
    item: str = "",
    blocking: bool = False,
    suggestions: tuple[str, ...] = (),
    at: int = 0,
) -> Question:
    return Question(
        kind=kind,
        blocking=blocking,
        item=item,
        side="right" if item else "none",
        question=f"{kind} of {item} {ids}?",
        suggestions=suggestions,
        finding_ids=ids,
        heard=(heard(at, "something"),),
    )


def two_muscles(*questions: Question) -> ExamRecord:
    found = [
        finding("a", "power.deltoid", "4"),
        finding("b", "power.biceps_brachii", "3", at=1),
        finding("c", "sensation.c6", "7", at=2),
    ]
    return check_record(record(found, questions), LEXICON)


DELTOID = asked("value", "a", item="power.deltoid", suggestions=("4", "5"))
BICEPS = asked("value", "b", item="power.biceps_brachii", suggestions=("3", "0"), at=1)


class Weighed:
    """Worth as given, by item; every answer but the first letter's moves the location by half."""

    def __init__(self, bits: dict[str, float]) -> None:
        self.bits, self.asked = bits, 0

    def __call__(self, record: ExamRecord, question: Question) -> float:
        return self.bits.get(question.item, 0.0)

    def of_answer(self, record: ExamRecord, question: Question, answer: str) -> float | None:
        self.asked += 1
        return 0.0 if answer == question.suggestions[0] else 0.5


def started(*questions: Question, **more: object) -> Decisions:
    return Decisions(two_muscles(*questions), LEXICON, **more)  # type: ignore[arg-type]


def values(made: ExamRecord) -> dict[str, str]:
    return {f.item: f.value for f in made.standing}


def test_what_blocks_comes_first_then_what_is_worth_most_then_gaps() -> None:
    blocks = asked("side", "c", item="sensation.c6", blocking=True, suggestions=("right", "left"))
    bits = {"power.deltoid": 0.1, "power.biceps_brachii": 0.7, "power.trapezius": 0.3}
    session = started(DELTOID, BICEPS, blocks, worth=Weighed(bits))
    kinds = [(t.lead.kind, t.lead.item) for t in session.waiting]
    assert kinds[:3] == [
        ("side", "sensation.c6"),
        ("value", "power.biceps_brachii"),
        ("value", "power.deltoid"),
    ]
    # Of gaps the one that would tell most is first, too.
    assert session.gaps[0].lead.item == "power.trapezius"
    assert all(kind == "gap" for kind, _ in kinds[3:])
    assert [t.lead.kind for t in session.doubts] == ["side", "value", "value"]


def test_what_an_answer_moves_is_reckoned_once_until_something_changes() -> None:
    worth = Weighed({"power.deltoid": 0.1})
    session = started(DELTOID, BICEPS, worth=worth)
    topic = session.topic_of("q001")
    assert session.weighs and [session.moves(topic, a) for a in ("4", "0", "0")] == [0.0, 0.5, 0.5]
    assert worth.asked == 2
    session.shown(topic)
    session.answer(topic, "0")
    assert session.moves(session.topic_of("q002"), "0") == 0.5 and worth.asked == 3
    unweighed = started(DELTOID)
    assert not unweighed.weighs and unweighed.moves(unweighed.topic_of("q001"), "0") is None


def test_one_answer_settles_all_that_asks_the_same() -> None:
    talk = asked("commentary", "a", item="power.deltoid", suggestions=("4", "reject"))
    session = started(DELTOID, talk, BICEPS)
    (topic, _) = session.doubts
    assert [q.kind for q in topic.questions] == ["value", "commentary"]
    assert topic.suggestions == ("4", "5", "reject")
    made = session.answer(topic, "5")
    assert values(made)["power.deltoid"] == "5"
    states = {q.kind + q.item: q.state for q in made.questions if q.kind != "gap"}
    assert states == {
        "valuepower.deltoid": "answered",
        "commentarypower.deltoid": "answered",
        "valuepower.biceps_brachii": "open",
    }


def test_a_side_and_a_value_are_two_decisions() -> None:
    side = asked("side", "a", item="power.deltoid", suggestions=("right", "left"))
    session = started(DELTOID, side)
    assert len(session.doubts) == 2
    made = session.answer(session.topic_of("q001"), "5")
    assert next(q for q in made.questions if q.kind == "side").state == "open"


def test_what_is_asked_of_a_rejected_finding_is_settled() -> None:
    side = asked("side", "a", item="power.deltoid", blocking=True, suggestions=("right", "left"))
    session = started(DELTOID, side)
    made = session.answer(session.topic_of("q001"), "reject")
    assert [q for q in made.questions if q.state == "open" and q.kind != "gap"] == []
    assert "power.deltoid" not in values(made)


def test_a_doubt_about_another_finding_stays() -> None:
    both = asked("conflict", "a", "b", item="power.deltoid", suggestions=("keep",))
    session = started(DELTOID, both)
    made = session.answer(session.topic_of("q001"), "4")
    assert [q.kind for q in made.questions if q.state == "open" and q.kind != "gap"] == ["conflict"]


def test_nothing_is_suggested_and_nothing_agreed_to_before_the_words_were_shown() -> None:
    session = started(DELTOID)
    topic = session.top
    assert topic is not None and session.suggestions(topic) == ()
    with pytest.raises(RecordError, match="before agreeing"):
        session.answer(topic, "keep")
    session.shown(topic)
    assert session.suggestions(topic) == ("4", "5")
    assert session.answer(topic, "keep").findings[0].state == "confirmed"


def test_a_bad_answer_changes_nothing() -> None:
    saved: list[ExamRecord] = []
    session = started(DELTOID, save=saved.append)
    before, topic = session.record, session.top
    assert topic is not None
    with pytest.raises(RecordError):
        session.answer(topic, "17")
    assert session.record is before and saved == [] and session.given == 0


def test_undo_opens_the_question_again_and_forgets_nothing() -> None:
    saved: list[ExamRecord] = []
    session = started(DELTOID, BICEPS, save=saved.append)
    first = session.top
    assert first is not None
    before = session.record
    session.answer(first, "5")
    topic = session.undo()
    assert topic is not None and topic.lead.question_id == first.lead.question_id
    made = session.record
    assert values(made) == values(before)
    assert made.questions == before.questions
    assert [n.answer for n in made.amendments] == ["5", TAKEN_BACK]
    # The finding that the answer had made is still there, and its id is not given again.
    assert [e.state for e in made.findings if e.finding.value == "5"] == ["rejected"]
    again = session.answer(topic, "3")
    assert values(again)["power.deltoid"] == "3"
    assert len({e.finding.finding_id for e in again.findings}) == len(again.findings)
    assert saved[-1] is session.record and len(saved) == 3


def test_undo_goes_back_step_by_step_and_ends() -> None:
    session = started(DELTOID, BICEPS)
    for text in ("5", "0"):
        topic = session.top
        assert topic is not None
        session.answer(topic, text)
    assert session.given == 2
    session.undo()
    session.undo()
    assert values(session.record) == values(two_muscles(DELTOID, BICEPS))
    assert session.undo() is None


def test_a_conflict_that_an_answer_raised_is_raised_again_after_undo() -> None:
    found = [
        finding("a", "power.deltoid", "4", "none"),
        finding("b", "power.deltoid", "2", "left", at=1),
    ]
    session = Decisions(check_record(record(found), LEXICON), LEXICON)
    for _ in range(2):
        topic = session.top
        assert topic is not None and topic.lead.kind == "side"
        session.answer(topic, "left")
        assert [q.kind for q in session.record.blocking] == ["conflict"]
        session.undo()
    assert [q.kind for q in session.record.blocking] == ["side"]


def test_what_is_put_off_comes_last_and_stays_open() -> None:
    session = started(DELTOID, BICEPS)
    first = session.top
    assert first is not None
    session.put_off(first)
    assert session.top is not None and session.top.lead.question_id == "q002"
    assert {q.question_id for q in session.record.questions if q.state == "open"} >= {
        "q001",
        "q002",
    }


def test_skipping_leaves_the_finding_to_confirm() -> None:
    session = started(DELTOID)
    topic = session.top
    assert topic is not None
    made = session.answer(topic, "skip")
    assert made.findings[0].state == "to_confirm" and session.top is None


def test_an_answer_to_a_question_that_was_closed_is_refused() -> None:
    session = started(DELTOID)
    topic = session.top
    assert topic is not None
    session.answer(topic, "4")
    with pytest.raises(RecordError, match="not open"):
        session.answer(topic, "5")
