"""Speech as an answer: what is clear answers, what is not is asked again.

The utterances are invented; which of them a listener should take for an answer is common practice,
no source.
"""

import pytest
from examples import finding, heard, record, utterance

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.spoken_answers import read_spoken_answers
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.answers import read_answer
from dictate2exam.review.checks.run import check_record
from dictate2exam.review.decisions import Decisions
from dictate2exam.review.spoken_answer import SpokenAnswer

LEXICON = load_lexicon()


def question(kind: str, item: str, *suggestions: str, ids: tuple[str, ...] = ("a",)) -> Question:
    return Question(
        kind=kind,  # type: ignore[arg-type]
        blocking=True,
        item=item,
        side="none" if kind == "side" else "right",
        question="Which?",
        suggestions=suggestions,
        finding_ids=ids,
        heard=(heard(0, "something"),),
    )


HEDGE = question("value", "power.deltoid", "4", "reject")
EITHER = question("value", "power.deltoid", "4", "5")
SKIN = question("value", "sensation.c6", "7", ids=("c",))
SIDE = question("side", "power.deltoid", "right", "left")
TERM = question("mishearing", "power.deltoid", "power.deltoid", "power.trapezius")


def session(*asked: Question) -> Decisions:
    made = check_record(
        record(
            [
                finding("a", "power.deltoid", "4"),
                finding("b", "power.biceps_brachii", "3", at=1),
                finding("c", "sensation.c6", "7", at=2),
            ],
            asked,
        ),
        LEXICON,
    )
    begun = Decisions(made, LEXICON)
    for topic in begun.waiting:
        begun.shown(topic)
    return begun


def said(asked: Question, text: str, **more: object) -> SpokenAnswer:
    return session(asked).hear(utterance(9, text, **more))


@pytest.mark.parametrize(
    ("asked", "text", "answer"),
    [
        (HEDGE, "yes", "keep"),
        (HEDGE, "that's right", "keep"),
        (HEDGE, "no", "reject"),
        (HEDGE, "reject it", "reject"),
        (HEDGE, "no, four plus", "4+"),
        (HEDGE, "um it was a four minus", "4-"),
        (HEDGE, "deltoid four plus", "4+"),
        (HEDGE, "three out of five", "3"),
        (HEDGE, "flicker", "1"),
        (HEDGE, "not tested", "not_tested"),
        (HEDGE, "skip", "skip"),
        (HEDGE, "right, five", "5"),
        (EITHER, "the second one", "5"),
        (EITHER, "five", "5"),
        (SKIN, "six out of ten", "6/10"),
        (SKIN, "normal", "normal"),
        (SKIN, "ten", "10"),
        (SIDE, "the left", "left"),
        (SIDE, "right", "right"),
        (SIDE, "on both sides", "both"),
        (TERM, "trapezius", "power.trapezius"),
        (TERM, "no, trapezius", "power.trapezius"),
        (TERM, "rhomboids four", "power.rhomboids 4"),
        (TERM, "yes", "keep"),
    ],
)
def test_a_clear_answer_is_taken(asked: Question, text: str, answer: str) -> None:
    found = said(asked, text)
    assert (found.act, found.answer) == ("answer", answer), found
    assert read_answer(asked, answer, LEXICON)


@pytest.mark.parametrize(
    ("asked", "text"),
    [
        (EITHER, "yes"),  # to "four or five?"
        (EITHER, "no"),  # nothing to reject is offered
        (HEDGE, "right"),  # the side, or "correct"?
        (HEDGE, "left, five"),  # another side than the question's, in passing
        (HEDGE, "yes no"),
        (HEDGE, "four, no, five"),
        (HEDGE, "for"),  # heard for four
        (HEDGE, "skip four"),
        (HEDGE, "the third one"),  # there are two
        (SIDE, "yes"),
        (SIDE, "that's right"),
        (SIDE, "left or right"),
        (SIDE, "four"),
        (HEDGE, ""),
        (HEDGE, "deltoid probably four"),
    ],
)
def test_unclear_speech_is_no_answer(asked: Question, text: str) -> None:
    begun = session(asked)
    before = begun.record
    found = begun.hear(utterance(9, text))
    if text == "left or right":  # means both only where it is said so
        assert found.answer != "left" and found.answer != "right"
        return
    assert found.act in ("unclear", "other") and begun.record is before, found


@pytest.mark.parametrize("text", ["did you come by car", "push against me", "biceps is"])
def test_talk_is_no_answer(text: str) -> None:
    begun = session(HEDGE)
    assert begun.hear(utterance(9, text)).act in ("other", "unclear")
    assert begun.given == 0


def test_words_that_were_hardly_heard_are_asked_again() -> None:
    spoken = utterance(9, "four plus")
    weak = spoken.model_copy(
        update={"words": tuple(w.model_copy(update={"confidence": 0.2}) for w in spoken.words)}
    )
    begun = session(HEDGE)
    assert begun.hear(weak).act == "unclear" and begun.hear(spoken).act == "answer"


def values(made: ExamRecord) -> dict[str, str]:
    return {f.item: f.value for f in made.standing}


def test_a_finding_stated_anew_answers_the_question_about_it() -> None:
    """Also where another question is on top."""
    biceps = question("value", "power.biceps_brachii", "3", "5", ids=("b",))
    begun = session(HEDGE, biceps)
    assert begun.top is not None and begun.top.lead.item == "power.deltoid"
    found = begun.hear(utterance(9, "right biceps is four minus"))
    assert found.act == "answer" and values(begun.record)["power.biceps_brachii"] == "4-"
    assert values(begun.record)["power.deltoid"] == "4" and begun.given == 1
    # The other arm is another finding.
    assert begun.hear(utterance(10, "left deltoid is two")).act == "unclear"
    assert begun.hear(utterance(11, "right deltoid is two")).act == "answer"
    assert values(begun.record)["power.deltoid"] == "2"


def test_one_finding_tells_the_side_of_no_other() -> None:
    both = question("side", "", "right", "left", ids=("a", "b"))
    begun = session(both)
    assert begun.hear(utterance(9, "left deltoid is four")).act == "other"
    assert session(SIDE).hear(utterance(9, "left deltoid is four")).answer == "power.deltoid 4 left"


def test_undo_later_and_again() -> None:
    begun = session(HEDGE, question("value", "power.biceps_brachii", "3", "5", ids=("b",)))
    assert begun.hear(utterance(9, "play it again")).act == "again" and begun.given == 0
    assert begun.hear(utterance(9, "later")).act == "later"
    assert begun.top is not None and begun.top.lead.item == "power.biceps_brachii"
    begun.hear(utterance(9, "five"))
    assert values(begun.record)["power.biceps_brachii"] == "5"
    assert begun.hear(utterance(10, "undo that")).act == "undo"
    assert values(begun.record)["power.biceps_brachii"] == "3"


def test_nothing_is_agreed_to_unheard() -> None:
    begun = Decisions(session(HEDGE).record, LEXICON)
    found = begun.hear(utterance(9, "yes"))
    assert found.act == "unclear" and "before agreeing" in found.why
    assert begun.hear(utterance(9, "four plus")).act == "answer"


def test_a_phrase_of_two_meanings_is_refused(tmp_path) -> None:  # type: ignore[no-untyped-def]
    (tmp_path / "phrases").mkdir()
    text = (LEXICON.folder / "phrases" / "answers.toml").read_text()
    path = tmp_path / "phrases" / "answers.toml"
    path.write_text(text.replace('skip = ["skip",', 'skip = ["skip", "yes",'))
    with pytest.raises(LexiconError, match="'yes' means both"):
        read_spoken_answers(tmp_path)
    path.write_text(text.replace("[filler]", "[filled]"))
    with pytest.raises(LexiconError, match="filler"):
        read_spoken_answers(tmp_path)
