"""What was heard, looks like a finding and gave none is asked about; what people only say is not.

The sentences are invented; how such words are misheard was seen on the project's own synthetic
recordings.
"""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.unread import read_unread
from dictate2exam.questions import Question
from dictate2exam.record.assemble import assemble
from dictate2exam.review.resolve import answer
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Reading, Transcript, Utterance, Word

LEXICON = load_lexicon()
SETTINGS = Settings(side="left")
RULES = {
    "overheard_finding",
    "item_without_value",
    "finding_in_passing",
    "value_without_item",
    "denial_of_nothing",
    "answer_not_understood",
}


def asked(spoken: Transcript) -> list[Question]:
    questions = extract(spoken, LEXICON, SETTINGS).questions
    return [question for question in questions if question.rule in RULES]


def heard(text: str, *others: str, unsure: str = "") -> Transcript:
    """One utterance, what others heard, and the word that was hardly heard."""
    words = tuple(
        Word(text=word, start_s=at, end_s=at + 1, confidence=0.3 if word == unsure else 0.98)
        for at, word in enumerate(text.split())
    )
    readings = tuple(
        Reading(listener=f"other{n}", text=said) for n, said in enumerate((text, *others))
    )
    whole = Utterance(index=0, start_s=0, end_s=len(words), words=words, readings=readings)
    return Transcript(utterances=(whole,), duration_s=len(words), timed=False)


@pytest.mark.parametrize(
    ("text", "item", "first"),
    [
        ("deltoid five triceps tree of", "power.triceps_brachii", "3"),
        ("biceps brachialis and triceps. next please", "power.brachialis", ""),
        ("latissimus dorsi when he coughs and pulse four plus", "power.latissimus_dorsi", "4+"),
        ("biceps four plus. triceps fine", "power.triceps_brachii", "5"),
    ],
)
def test_an_item_without_a_value_is_asked_about(text: str, item: str, first: str) -> None:
    (question,) = [q for q in asked(transcript(text)) if q.item == item]
    assert (question.kind, question.rule, question.blocking) == (
        "value",
        "item_without_value",
        False,
    )
    assert not first or first in question.suggestions


LOST = "triceps five both first movements extension and flexion five"
FOUND = "triceps five both wrist movements extension and flexion five"


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Biceps five. OK sign, equal.", "sign.ok_sign"),
        ("Triceps three. Hoffmann, equal.", "sign.hoffmann"),
    ],
)
def test_a_sign_and_a_value_that_came_to_nothing_are_asked_about(text: str, item: str) -> None:
    assert item in {question.item for question in asked(transcript(text))}


def test_what_only_another_listener_heard_is_asked_about_in_its_place() -> None:
    found = {question.item: question for question in asked(heard(LOST, FOUND))}
    assert set(found) == {"power.wrist_extension", "power.wrist_flexion"}
    question = found["power.wrist_flexion"]
    assert (question.kind, question.rule) == ("mishearing", "overheard_finding")
    assert question.suggestions == ("5", "reject")
    assert "flexion" in question.heard[0].text


@pytest.mark.parametrize("said", ["5", "yes"])
def test_an_answer_gives_the_finding(said: str) -> None:
    spoken = heard(LOST, FOUND)
    record = assemble(spoken, extract(spoken, LEXICON, SETTINGS), LEXICON, SETTINGS, "2025-01-02")
    question = next(q for q in record.questions if q.item == "power.wrist_flexion")
    told = answer(record, question.question_id, said, LEXICON).standing
    assert ("power.wrist_flexion", "5", "left") in {(f.item, f.value, f.side) for f in told}


def test_a_name_that_was_not_understood_is_read_with_its_value_once_it_is_told() -> None:
    spoken = heard("passively full", unsure="passively")
    record = assemble(spoken, extract(spoken, LEXICON, SETTINGS), LEXICON, SETTINGS, "2025-01-02")
    (question,) = [q for q in record.questions if q.kind == "unknown_term"]
    told = answer(record, question.question_id, "range.elbow_flexion full", LEXICON)
    (finding,) = told.standing
    assert (finding.item, finding.value, finding.side) == ("range.elbow_flexion", "full", "left")


def test_another_name_for_what_was_read_is_not_asked_about_here() -> None:
    assert not asked(heard("shoulder abduction three", "shoulder adduction three"))


def test_a_value_after_words_hardly_heard_is_asked_about() -> None:
    (question,) = asked(heard("passively are full", unsure="passively"))
    assert (question.kind, question.rule) == ("unknown_term", "value_without_item")
    assert question.heard[0].text == "passively"
    assert not asked(heard("passively are full"))


@pytest.mark.parametrize(
    "said", ["Flexion is two.", "Abduction, I'm giving it a one.", "That one he keeps, two."]
)
def test_numbers_that_nothing_claimed_are_asked_about(said: str) -> None:
    (question,) = asked(transcript(f"Left arm. Deltoid four. {said}"))
    assert (question.kind, question.rule) == ("unknown_term", "value_without_item")


@pytest.mark.parametrize(
    "said",
    [
        "One, two, three, relax.",
        "Hold the two arms out.",
        "He broke three ribs.",
        "Okay, four.",
        "Two is normal, one is altered.",
    ],
)
def test_numbers_of_things_and_what_is_said_again_are_not(said: str) -> None:
    questions = asked(transcript(f"Left arm. Deltoid four. {said}"))
    assert "value_without_item" not in {q.rule for q in questions}


def test_a_denial_of_what_sounds_like_a_sign_is_asked_about() -> None:
    (question,) = asked(transcript("on the left no ptosis, no bruising"))
    assert question.rule == "denial_of_nothing"
    assert question.suggestions[0] == "sign.supraclavicular_bruising"


@pytest.mark.parametrize(
    ("text", "item", "value"),
    [
        (
            "now look up at me no miosis if he'd had a horner's we would be moving up to the root",
            "sign.miosis",
            "absent",
        ),
        (
            "this is the unpleasant one bottom of the foot the left plantar is extensor",
            "sign.plantar_extensor",
            "present",
        ),
        ("lats four minus coffee m pulse good", "power.latissimus_dorsi", "4-"),
    ],
)
def test_a_finding_amid_words_that_sound_like_talk_is_asked_about(
    text: str, item: str, value: str
) -> None:
    (question,) = asked(transcript(text))
    assert (question.kind, question.item) == ("commentary", item)
    assert question.suggestions == (value, "reject")


@pytest.mark.parametrize(
    "text",
    [
        "patient: my deltoid was always the weak one",
        "the deltoid is supplied by the axillary nerve",
        "support the elbow and now ask him for the triceps",
        "i haven't got to the triceps yet",
        "if the triceps is zero think of the radial nerve",
        "let me think about the triceps for a minute",
        "there is no rush. not friday. no, the other arm",
        "deltoid five, biceps four plus, and triceps is three",
        "everything else is five",
    ],
)
def test_what_is_only_said_and_what_was_read_is_not_asked_about(text: str) -> None:
    assert not asked(transcript(text))


def test_an_item_is_asked_about_once_and_not_where_it_was_graded_at_another_time() -> None:
    twice = asked(transcript("triceps tree of", "triceps tree of"))
    assert len([q for q in twice if q.item == "power.triceps_brachii"]) <= 1
    assert not asked(transcript("triceps tree of", "triceps four"))


def test_a_score_is_never_above_one_nor_a_question_below_the_threshold() -> None:
    least = read_unread(LEXICON.folder).ask
    said = "biceps brachialis and triceps. latissimus dorsi when he coughs and pulse four plus"
    assert all(least <= question.score <= 1 for question in asked(transcript(said)))


def conversation(*lines: str) -> Transcript:
    """What examiner and patient say in turn."""
    said = tuple(
        Utterance(
            index=at,
            start_s=at,
            end_s=at + 1,
            speaker="patient" if at % 2 else "examiner",
            words=tuple(Word(text=word, start_s=at, end_s=at + 1) for word in line.split()),
        )
        for at, line in enumerate(lines)
    )
    return Transcript(utterances=said, duration_s=len(lines), timed=False)


@pytest.mark.parametrize("answer_heard", ["buffing there", "whale not much", "its on the weigh"])
def test_an_answer_at_the_skin_that_was_not_understood_is_asked_about(answer_heard: str) -> None:
    said = conversation(
        "the skin out of ten thumb", "eight", "and the middle finger", answer_heard,
        "now the little finger", "three",
    )  # fmt: skip
    (question,) = asked(said)
    assert (question.rule, question.item) == ("answer_not_understood", "sensation.c7")


@pytest.mark.parametrize(
    "lines",
    [
        # Asked again, and answered then.
        ("the skin out of ten thumb", "eight", "middle finger", "say again", "middle finger", "six",
         "little finger", "three"),
        # An instruction between two areas that were scored.
        ("the skin out of ten thumb", "eight", "rest your little finger on the cushion for me",
         "like this", "inner side of the elbow", "three"),
        # Nothing was scored after it.
        ("the skin out of ten thumb", "eight", "middle finger", "is it raining still"),
    ],
)  # fmt: skip
def test_talk_about_a_finger_is_no_answer_at_the_skin(lines: tuple[str, ...]) -> None:
    assert not asked(conversation(*lines))
