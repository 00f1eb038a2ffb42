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
    return Transcript(utterances=tuple(made), duration_s=10.0 * len(made))


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
