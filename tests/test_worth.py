"""What an answer is worth for the location decides the order of questions."""

from examples import finding, heard, record

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.questions import Question
from dictate2exam.review.checks.run import check_record
from dictate2exam.worth import AnswersWorth

LEXICON = load_lexicon()


def question(item: str, *suggestions: str, ids: tuple[str, ...] = (), kind: str = "value"):  # type: ignore[no-untyped-def]
    return Question(
        kind=kind,  # type: ignore[arg-type]
        blocking=False,
        item=item,
        side="right",
        question="Which?",
        suggestions=suggestions,
        finding_ids=ids,
        heard=(heard(0),),
    )


def test_worth_follows_what_the_answers_would_change() -> None:
    made = check_record(
        record(
            [
                finding("a", "power.deltoid", "0"),
                finding("b", "power.triceps_brachii", "5", at=1),
                finding("c", "power.infraspinatus", "5", at=2),
                finding("d", "pulse.radial", "present", at=3),
            ]
        ),
        LEXICON,
    )
    worth = AnswersWorth(LEXICON)
    # Axillary nerve or posterior cord: the elbow's extension decides.
    decisive = worth(made, question("power.triceps_brachii", "5", "0", ids=("f002",)))
    fine = worth(made, question("power.triceps_brachii", "5", "5-", ids=("f002",)))
    gone = worth(made, question("power.triceps_brachii", "5", "reject", ids=("f002",)))
    pulse = worth(made, question("pulse.radial", "present", "absent", ids=("f004",)))
    side = worth(made, question("", "right", "left", ids=("f001",), kind="side"))
    assert decisive > 0.3 > 0.1 > fine and gone > 0.05 and pulse < 1e-9 and side > 0.3
    # Of one question's answers: what stands moves nothing, the other does; a word is no answer.
    asked = question("power.triceps_brachii", "5", "0", ids=("f002",))
    moved = [worth.of_answer(made, asked, answer) for answer in ("5", "keep", "0", "banana")]
    assert moved[0] == moved[1] == 0 and 0.3 < (moved[2] or 0) <= 1 and moved[3] is None
    assert worth.of_answer(made, question("", "power.biceps_brachii"), "reject") == 0
    gaps = [q for q in made.questions if q.kind == "gap" and q.item]
    bits = {q.item: worth(made, q) for q in gaps}
    assert max(bits.values()) > 0.05
    # A term that nothing is known of is worth what the most it can say would change.
    assert worth(made, question("", "power.biceps_brachii", kind="unknown_term")) > 0.05
    assert worth(made, question("power.deltoid", "banana", ids=("f001",))) < 1e-9
