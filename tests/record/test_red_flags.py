"""Red flags: from findings and from words, denied ones not."""

import pytest
from examples import finding, heard, record, transcript, utterance

from dictate2exam.questions import Question
from dictate2exam.speech.model import Transcript


def flags(*texts: str) -> list[str]:
    return [flag.flag for flag in record(said=transcript(*texts)).red_flags]


@pytest.mark.parametrize(
    ("item", "value", "flag"),
    [
        ("pulse.radial", "absent", "pulse_deficit"),
        ("pulse.radial", "reduced", "pulse_deficit"),
        ("sign.open_wound", "present", "open_wound"),
        ("sign.hoffmann", "present", "upper_motor_neurone"),
        ("sign.clonus", "present", "upper_motor_neurone"),
        ("sign.plantar_extensor", "present", "upper_motor_neurone"),
        ("reflex.knee", "brisk", "upper_motor_neurone"),
        ("sign.hemidiaphragm", "present", "breathing"),
    ],
)
def test_findings_raise_flags(item: str, value: str, flag: str) -> None:
    made = record([finding("a", item, value)])
    assert [(f.flag, f.confirmed) for f in made.red_flags] == [(flag, True)]


@pytest.mark.parametrize("value", ["absent", "uncertain", "not_tested"])
def test_signs_that_are_not_present_raise_none(value: str) -> None:
    assert record([finding("a", "sign.open_wound", value)]).red_flags == ()


@pytest.mark.parametrize(
    ("text", "flag"),
    [
        ("I can't find a radial pulse on this side", "pulse_deficit"),
        ("there is no pulse at the wrist", "pulse_deficit"),
        ("the radial pulse is weak", "pulse_deficit"),
        ("and the hand is cold", "pulse_deficit"),
        ("the swelling above the clavicle is getting bigger", "expanding_swelling"),
        ("an expanding haematoma", "expanding_swelling"),
        ("he was stabbed with an open wound in the axilla", "open_wound"),
        ("there are three beats of clonus", "upper_motor_neurone"),
        ("the plantar is upgoing", "upper_motor_neurone"),
        ("patient: I get short of breath when I lie flat", "breathing"),
        ("the right hemidiaphragm is raised on the film", "breathing"),
        ("patient: my legs have been weak since the crash", "spinal_injury"),
        ("he has a fracture of the cervical spine", "spinal_injury"),
        ("patient: I couldn't move my hand after they put it back", "new_deficit"),
        ("there is new weakness since the operation", "new_deficit"),
        ("the pain is out of all proportion", "pain_out_of_proportion"),
        ("severe pain on passive stretch", "pain_out_of_proportion"),
        ("patient: I can't feel anything in my legs", "spinal_injury"),
        (
            "There was no weakness before the manipulation, the palsy is new since the reduction.",
            "new_deficit",
        ),
    ],
)
def test_words_raise_flags_unconfirmed(text: str, flag: str) -> None:
    made = record(said=transcript("good morning", text))
    assert [(f.flag, f.confirmed) for f in made.red_flags] == [(flag, False)]
    assert made.red_flags[0].heard[0].start_s == 3.0


@pytest.mark.parametrize(
    "text",
    [
        "no open wound and no scar",
        "there is no bruising, swelling or open wound",
        "the pulse is not weak",
        "no pulse deficit",
        "he denies any breathlessness",
        "swelling is not getting bigger",
        "if the pulse were absent you would call the vascular surgeon",
        "always check for clonus and an upgoing plantar",
        "the laceration has healed",
        "I looked for an open wound",
        "the radial pulse is good",
        "no pain out of proportion",
        "power of the legs is normal",
    ],
)
def test_denied_supposed_and_normal_words_raise_none(text: str) -> None:
    assert flags(text) == []


def test_a_denial_ends_where_speech_ends_it() -> None:
    assert flags("no swelling but there is an open wound") == ["open_wound"]
    assert flags("No swelling. There is an open wound.") == ["open_wound"]


@pytest.mark.parametrize(
    ("answer", "expected"),
    [("patient: yes at night", ["breathing"]), ("patient: no not at all", []), ("thumb five", [])],
)
def test_a_question_counts_by_its_answer(answer: str, expected: list[str]) -> None:
    assert flags("examiner: do you get short of breath", answer) == expected


def test_an_answer_is_shown_with_its_question() -> None:
    said = transcript("examiner: any trouble breathing?", "patient: a bit at night")
    (flag,) = record(said=said).red_flags
    assert flag.heard[0].text == "any trouble breathing? … a bit at night"


def test_a_finding_is_shown_with_the_words_around_it() -> None:
    said = transcript("we see no swelling or open wound here")
    made = record(
        [finding("a", "sign.open_wound", "present", heard=(heard(0, "wound", 6, 6),))], said=said
    )
    assert "no swelling or open wound here" in made.red_flags[0].heard[0].text


def test_another_reading_of_the_same_sound_counts() -> None:
    said = Transcript(
        utterances=(
            utterance(0, "pectoralis five", [("free", "my legs are weak"), ("x", "pectoralis")]),
        )
    )
    assert [f.flag for f in record(said=said).red_flags] == ["spinal_injury"]


def test_a_flag_stays_while_its_finding_is_in_conflict() -> None:
    made = record(
        [finding("a", "pulse.radial", "absent"), finding("b", "pulse.radial", "present", at=1)]
    )
    assert [(f.flag, f.confirmed) for f in made.red_flags] == [("pulse_deficit", False)]


def test_a_finding_to_confirm_flags_unconfirmed() -> None:
    asked = Question(
        kind="mishearing",
        blocking=True,
        item="sign.clonus",
        question="Clonus?",
        finding_ids=("a",),
        heard=(heard(0),),
    )
    made = record([finding("a", "sign.clonus", "present")], [asked])
    assert [(f.flag, f.confirmed) for f in made.red_flags] == [("upper_motor_neurone", False)]


def test_words_of_two_sentences_make_no_flag() -> None:
    said = transcript("supinator jerk diminished. Pulses are good.")
    assert not [f for f in record(said=said).red_flags if f.flag == "pulse_deficit"]
