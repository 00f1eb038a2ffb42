"""What another listener heard, and what is taken for talk, changes no finding by itself."""

import pytest

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.gate import Verdict
from dictate2exam.speech.model import Reading, Transcript, Utterance, Word

LEXICON = load_lexicon()


def spoken(*parts: tuple[str, str, Verdict]) -> Transcript:
    """Utterances as heard, as another listener heard them, and the gate's verdict on each."""
    made = []
    for index, (text, other, domain) in enumerate(parts):
        words = tuple(
            Word(text=word, start_s=10.0 * index + at, end_s=10.0 * index + at + 1, confidence=0.98)
            for at, word in enumerate(text.split())
        )
        readings = tuple(
            Reading(listener=f"listener{n}", text=said) for n, said in enumerate((text, other))
        )
        made.append(
            Utterance(
                index=index, start_s=10.0 * index, end_s=words[-1].end_s, words=words,
                readings=readings if other else (), domain=domain,
            )
        )  # fmt: skip
    return Transcript(utterances=tuple(made), duration_s=10.0 * len(made), timed=False)


@pytest.mark.parametrize("other", ["scratch that", "sorry two", "no make that two", "delete that"])
def test_a_correction_that_only_another_listener_heard_withdraws_nothing(other: str) -> None:
    said = spoken(("right biceps four", "", "examination"), ("so then", other, "examination"))
    made = extract(said, LEXICON, Settings())
    assert [(f.item, f.side, f.value) for f in made.findings] == [
        ("power.biceps_brachii", "right", "4")
    ]
    assert made.withdrawn == ()


def test_a_withdrawal_in_talk_takes_nothing_back() -> None:
    said = spoken(("right biceps four", "", "examination"), ("scratch that", "", "talk"))
    made = extract(said, LEXICON, Settings())
    assert [(f.item, f.value) for f in made.findings] == [("power.biceps_brachii", "4")]
    assert made.withdrawn == ()


@pytest.mark.parametrize(
    ("text", "item", "value"),
    [
        ("triceps five", "power.triceps_brachii", "5"),
        ("radial pulse weak", "pulse.radial", "reduced"),
        ("deltoid was four limited by pain", "power.deltoid", "4"),
    ],
)
def test_names_and_values_alone_are_read_and_asked_about_where_the_gate_says_talk(
    text: str, item: str, value: str
) -> None:
    made = extract(spoken((text, "", "talk")), LEXICON, Settings(side="left"))
    assert [(f.item, f.value) for f in made.findings] == [(item, value)]
    assert [(q.kind, q.rule) for q in made.questions] == [("commentary", "may_be_talk")]


@pytest.mark.parametrize(
    "text",
    ["biceps curls three sets of five", "are you free at four for triceps", "the five of them",
     "how was the deltoid", "the deltoid's a lazy muscle at four"],
)  # fmt: skip
def test_what_else_sounds_like_talk_gives_nothing(text: str) -> None:
    assert extract(spoken((text, "", "talk")), LEXICON, Settings(side="left")).findings == ()


def test_names_alone_go_on_with_a_denial() -> None:
    said = spoken(("there was no wasting of deltoid", "", "examination"),
                  ("supraspinatus or infraspinatus", "", "examination"))  # fmt: skip
    near = said.utterances[1].model_copy(update={"start_s": said.utterances[0].end_s + 1})
    said = said.model_copy(update={"utterances": (said.utterances[0], near)})
    made = extract(said, LEXICON, Settings(side="left"))
    assert [(f.item, f.value) for f in made.findings] == [
        (f"wasting.{muscle}", "absent") for muscle in ("deltoid", "supraspinatus", "infraspinatus")
    ]


@pytest.mark.parametrize(
    "text",
    ["biceps was not brachialis was nought", "biceps is not and brachialis is nought",
     "biceps and brachialis were both not"],
)  # fmt: skip
def test_a_nought_heard_as_not_is_taken_and_asked(text: str) -> None:
    made = extract(spoken((text, "", "examination")), LEXICON, Settings(side="left"))
    assert [(f.item, f.value) for f in made.findings] == [
        ("power.biceps_brachii", "0"), ("power.brachialis", "0"),
    ]  # fmt: skip
    assert [q.rule for q in made.questions] == ["doubtful_word"]
