"""What is heard with doubt is asked: weak words, other listeners, talk, unknown terms."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.findings.model import Extraction
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Look, Reading, Signal, Transcript, Utterance, Word
from dictate2exam.units import Side

LEXICON = load_lexicon()


def run(spoken: Transcript, side: Side = "right") -> Extraction:
    return extract(spoken, LEXICON, Settings(side=side))


def heard(
    text: str, *others: str, domain: str = "examination", confidence: float | None = None
) -> Transcript:
    """One utterance with the readings of other listeners, each word heard as surely as given."""
    spoken = transcript(text)
    first = spoken.utterances[0]
    sure = tuple(w.model_copy(update={"confidence": confidence}) for w in first.words)
    first = first.model_copy(update={"words": sure})
    readings = tuple(
        Reading(listener=f"l{n}", text=other) for n, other in enumerate((text, *others))
    )
    changed = first.model_copy(update={"readings": readings, "domain": domain})
    return spoken.model_copy(update={"utterances": (changed,)})


def test_another_value_heard_by_another_listener_is_asked_and_blocks() -> None:
    result = run(heard("biceps four", "biceps five"))
    (question,) = result.questions
    assert (question.kind, question.blocking) == ("mishearing", True)
    assert question.suggestions == ("4", "5")
    assert question.finding_ids == ("f001",)
    assert result.findings[0].confidence < 0.7


@pytest.mark.parametrize(
    ("mine", "other"),
    [("biceps four", "biceps five"), ("no ptosis", "on ptosis"), ("so rare a five", "biceps five")],
)
def test_what_was_heard_surely_stands_against_another_listener(mine: str, other: str) -> None:
    rules = {"other_value_heard", "other_finding_heard"}
    assert not rules & {q.rule for q in run(heard(mine, other, confidence=0.99)).questions}


def test_a_denial_that_was_not_heard_at_all_is_asked_about_however_sure_the_rest() -> None:
    result = run(heard("there is winging", "there is no winging", confidence=0.99))
    assert [q.rule for q in result.questions] == ["other_value_heard"]


def test_a_listener_that_heard_the_same_raises_nothing() -> None:
    assert run(heard("biceps four", "biceps 4")).questions == ()


def test_another_negation_is_asked() -> None:
    (question,) = run(heard("there is winging", "there is no winging")).questions
    assert question.suggestions == ("present", "absent")


def test_another_side_is_asked_and_blocks() -> None:
    (question,) = run(heard("right biceps four", "left biceps four")).questions
    assert (question.kind, question.blocking) == ("side", True)


def test_a_listener_that_only_lost_words_raises_nothing() -> None:
    # The other listener heard neither a muscle nor a side that this one heard: what it says of
    # the rest is what both heard, in another place.
    assert run(heard("ECRB three, ECU four", "ECU but three, ECU four")).questions == ()
    assert run(heard("C4 ten, C5 nine", "C4 to C5 nine")).questions == ()
    lost = heard("biceps four on the left", "biceps four underlift")
    assert [q.rule for q in run(lost).questions] == ["side_against_run"]


def test_several_other_readings_of_one_finding_are_one_question() -> None:
    (question,) = run(heard("biceps four", "biceps five", "biceps three", "biceps five")).questions
    assert question.suggestions == ("4", "5", "3")


def test_a_hardly_heard_value_is_asked() -> None:
    spoken = transcript("biceps four")
    first = spoken.utterances[0]
    weak = first.words[1].model_copy(update={"confidence": 0.1})
    sure = first.words[0].model_copy(update={"confidence": 0.9})
    changed = first.model_copy(update={"words": (sure, weak)})
    result = run(spoken.model_copy(update={"utterances": (changed,)}))
    assert [q.kind for q in result.questions] == ["mishearing"]
    assert result.findings[0].confidence < 0.8


@pytest.mark.parametrize(
    ("unsure", "other", "asked"),
    [
        ("brachioradialis", "brachioradialis four", False),
        ("brachioradialis", "bray key radialis four", True),
        ("four", "brachioradialis for", True),
        ("four", "bray key radialis four", False),
    ],
)
def test_what_another_listener_heard_too_is_not_asked(unsure: str, other: str, asked: bool) -> None:
    spoken = heard("brachioradialis four", other)
    first = spoken.utterances[0]
    words = tuple(
        word.model_copy(update={"confidence": 0.2 if word.text == unsure else 0.98})
        for word in first.words
    )
    changed = first.model_copy(update={"words": words})
    questions = run(spoken.model_copy(update={"utterances": (changed,)})).questions
    assert any(q.rule == "hardly_heard" for q in questions) is asked


def test_talk_with_a_clear_finding_in_it_is_only_asked_about() -> None:
    result = run(heard("well I never biceps four", domain="talk"))
    assert result.findings == ()
    assert [q.kind for q in result.questions] == ["commentary"]


def test_an_unknown_term_before_a_grade_is_asked() -> None:
    result = run(transcript("gastrocnemius five"))
    assert result.findings == ()
    assert [q.kind for q in result.questions] == ["unknown_term"]


def test_a_grade_outside_its_scale_is_asked_and_is_no_finding() -> None:
    result = run(transcript("deltoid power seven"))
    assert result.findings == ()
    assert [(q.kind, q.item) for q in result.questions] == [("value", "power.deltoid")]


def test_levels_of_unknown_kind_block() -> None:
    result = run(transcript("C5 four, C6 three"))
    assert result.findings == ()
    assert all(q.kind == "value" and q.blocking for q in result.questions)
    assert len(result.questions) == 2


def test_small_scores_without_a_scale_are_asked_once() -> None:
    result = run(transcript("sensation", "thumb two", "middle finger two", "little finger one"))
    assert len(result.findings) == 3
    assert [q.kind for q in result.questions] == ["value"]


def test_one_question_of_side_for_the_whole_examination() -> None:
    result = run(transcript("deltoid four", "biceps three"), side="none")
    (question,) = result.questions
    assert (question.kind, question.blocking) == ("side", True)
    assert len(question.finding_ids) == 2


def test_the_side_of_the_run_needs_no_question() -> None:
    result = run(transcript("deltoid four"), side="left")
    assert result.questions == ()
    assert (result.findings[0].side, result.findings[0].side_spoken) == ("left", False)


def test_speech_against_the_side_of_the_run_wins_and_is_asked() -> None:
    result = run(transcript("left arm", "deltoid four"), side="right")
    assert result.findings[0].side == "left"
    assert [q.kind for q in result.questions] == ["side"]


def test_a_withdrawn_finding_is_named() -> None:
    result = run(transcript("biceps four", "scratch that", "triceps three"))
    assert result.withdrawn == ("f001",)


def test_a_correction_names_what_it_replaces() -> None:
    result = run(transcript("biceps four sorry three"))
    assert [(f.value, f.corrects) for f in result.findings] == [("4", ""), ("3", "f001")]


def test_two_grades_without_a_correction_are_two_findings() -> None:
    result = run(transcript("biceps four", "triceps five", "biceps three"))
    assert [f.value for f in result.findings if f.item == "power.biceps_brachii"] == ["4", "3"]


def test_what_may_be_talk_is_kept_and_asked_about() -> None:
    result = run(heard("biceps I would say is four there", domain="unsure"))
    assert [f.value for f in result.findings] == ["4"]
    assert [q.kind for q in result.questions] == ["commentary"]


def test_names_and_values_alone_are_hardly_talk() -> None:
    assert not run(heard("biceps four", domain="unsure")).questions
    assert [q.kind for q in run(heard("biceps four", domain="talk")).questions] == ["commentary"]


def test_letters_that_name_no_muscle_are_asked_about() -> None:
    (question,) = run(transcript("e d c five e a p five e p l five")).questions
    assert (question.kind, question.suggestions) == ("unknown_term", ("extensor indicis",))


def test_a_denial_taken_for_nought_is_asked_and_blocks() -> None:
    result = run(transcript("biceps is not and triceps five"))
    (question,) = result.questions
    assert (question.kind, question.blocking, question.item) == (
        "value",
        True,
        "power.biceps_brachii",
    )


def test_a_range_of_two_levels_may_be_a_score() -> None:
    (question,) = run(transcript("touch c four to c five nine thumb ten")).questions
    assert (question.item, question.suggestions) == ("sensation.c4", ("9", "2", "10"))


def test_a_grade_given_for_a_movement_comes_before_it() -> None:
    result = run(transcript("make a fist five for finger flexion"))
    assert [(f.item, f.value) for f in result.findings] == [("power.finger_flexion", "5")]


def test_a_word_taken_for_a_muscle_needs_a_grade_beside_it() -> None:
    found = [(f.item, f.value) for f in run(transcript("pecs five let's four plus")).findings]
    assert found[-1] == ("power.latissimus_dorsi", "4+")
    assert [f.item for f in run(transcript("let's test triceps four")).findings] == [
        "power.triceps_brachii"
    ]


def test_a_movement_beyond_the_patient_is_asked_for_its_grade() -> None:
    result = run(transcript("he is unable to extend his wrist"))
    (question,) = result.questions
    assert (question.kind, question.item, question.side) == (
        "value",
        "power.wrist_extension",
        "right",
    )
    assert result.findings == ()
    assert run(transcript("push so that you cannot bend the elbow")).questions == ()


def test_a_site_of_percussion_may_be_named_before_the_sign() -> None:
    found = run(transcript("supraclavicular tinel positive infraclavicular tinel negative"))
    assert [(f.item, f.value) for f in found.findings] == [
        ("sign.percussion.supraclavicular", "present"),
        ("sign.percussion.infraclavicular", "absent"),
    ]


def test_present_belongs_to_the_reflex_before_it() -> None:
    found = run(transcript("biceps reflex present triceps reflex absent")).findings
    assert [(f.item, f.value) for f in found] == [
        ("reflex.biceps", "normal"),
        ("reflex.triceps", "absent"),
    ]


def test_of_a_recording_too_noisy_to_trust_every_finding_is_asked() -> None:
    spoken = transcript("left biceps four deltoid three. there is no winging. triceps zero")
    noisy = Signal(level_db=-25, snr_db=7, clipped=0, too_noisy=True)
    loud, plain = run(spoken.model_copy(update={"signal": noisy})), run(spoken)
    assert [f.item for f in loud.findings] == [f.item for f in plain.findings]
    assert len(plain.findings) == 4
    asked = [q for q in loud.questions if q.kind == "mishearing" and q.blocking]
    assert {i for q in asked for i in q.finding_ids} == {f.finding_id for f in loud.findings}
    assert all(q.suggestions[1] == "reject" for q in asked)
    for less, more in zip(loud.findings, plain.findings, strict=True):
        assert less.confidence < more.confidence
    lost = transcript("appointment four").model_copy(update={"signal": noisy})
    (question,) = run(lost).questions
    assert "nothing was made" in question.question and not question.finding_ids


def test_what_hardly_heard_words_may_have_been_is_offered() -> None:
    said = "right side biceps three plus"
    words = tuple(
        Word(
            text=word,
            start_s=place,
            end_s=place + 1,
            confidence=0.2 if word == "biceps" else 0.97,
        )
        for place, word in enumerate(said.split())
    )
    look = Look(first_word=2, last_word=2, candidates=("triceps", "biceps"))
    spoken = Utterance(index=0, start_s=0, end_s=5, words=words, looks=(look,))
    found = run(Transcript(utterances=(spoken,), duration_s=5, timed=False))
    (question,) = [q for q in found.questions if q.kind == "mishearing"]
    assert question.suggestions == ("3+", "power.triceps_brachii")


def test_an_ordinary_word_in_a_terms_place_meant_itself() -> None:
    assert run(transcript("The entry five")).questions == ()


def test_a_grade_after_a_word_without_value_answers_it() -> None:
    made = run(transcript("Wrist extension, no weakness. Wrist extension five."))
    assert [f.value for f in made.findings] == ["5"] and made.questions == ()
    assert [q.rule for q in run(transcript("Wrist extension, no weakness.")).questions] == [
        "no_value"
    ]


def test_a_grade_after_a_doubtful_word_takes_its_place() -> None:
    doubtful = run(transcript("Palmaris longus absent."))
    assert [q.rule for q in doubtful.questions] == ["doubtful_word"]
    made = run(transcript("Palmaris longus absent. Palmaris longus four."))
    assert [f.value for f in made.findings] == ["4"] and made.questions == ()


def test_a_number_that_repeats_the_word_is_no_second_value() -> None:
    assert run(transcript("Triceps jerk is brisk, four plus.")).questions == ()
    asked = run(transcript("Triceps jerk is brisk, one plus."))
    assert [q.rule for q in asked.questions] == ["second_value"]


def test_an_answer_no_corrects_nothing() -> None:
    made = run(transcript("Can you lift it?", "No. ECRL zero, ECRB zero, and ECU zero."))
    assert len(made.findings) == 3 and made.questions == ()


def test_the_cause_of_an_injury_is_no_sign_of_today() -> None:
    items = {f.item for f in run(transcript("A gunshot wound, sixteen days ago.")).findings}
    assert items == {"context.mechanism", "context.interval_days"}


def test_what_only_another_listener_heard_can_be_played() -> None:
    spoken = heard("serratus push the power to four", "serratus push supported four")
    asked = [q for q in run(spoken).questions if q.item == "power.serratus_anterior"]
    assert asked and all(q.heard for q in asked)
    assert "serratus" in asked[0].heard[0].text and "four" in asked[0].heard[0].text
