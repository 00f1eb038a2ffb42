"""Examiner and patient told apart in the sample recordings (synthetic voices), by their scripts.

The words are the scripts', spread over the seconds of their lines, so that no recogniser is needed;
who speaks is the scripts' own word at the head of each line.
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from dictate2exam.audio.load import load_recording
from dictate2exam.bench.hearing import spoken
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.turns import Turns, read_turns
from dictate2exam.speech.endpoint import find_utterances
from dictate2exam.speech.model import Reading, Utterance, Word
from dictate2exam.speech.speakers import cut_utterance, name_by_words, tell_speakers
from dictate2exam.speech.spread import spread_words
from dictate2exam.speech.voiceprint import log_pitch

RATE = 16_000
SAMPLES = Path(__file__).parents[2] / "sample_audio"


@pytest.fixture(scope="module")
def turns() -> Turns:
    return read_turns(load_lexicon().folder)


def script_of(name: str) -> list[tuple[str, tuple[Word, ...]]]:
    """Speaker and words of each line."""
    lines = (SAMPLES / f"{name}.script.txt").read_text(encoding="utf-8").splitlines()
    with (SAMPLES / f"{name}.times.csv").open(encoding="utf-8") as file:
        rows = [
            (int(r["line"]), float(r["start_s"]), float(r["end_s"])) for r in csv.DictReader(file)
        ]
    made = []
    for number, start_s, end_s in rows:
        speaker, text = lines[number - 1].split(":", 1)
        made.append((speaker, spread_words(spoken(text), start_s, end_s)))
    return made


def heard(name: str, samples: np.ndarray) -> list[Utterance]:
    words = [word for _, line in script_of(name) for word in line]
    made: list[Utterance] = []
    for span in find_utterances(samples):
        own = [w for w in words if span.start <= (w.start_s + w.end_s) / 2 * RATE < span.end]
        if own:
            made.append(
                Utterance(
                    index=len(made),
                    start_s=span.start / RATE,
                    end_s=span.end / RATE,
                    words=tuple(own),
                )
            )
    return made


def test_the_conversation_has_two_speakers(turns: Turns) -> None:
    name = "lower_roots_conversation"
    samples = load_recording([SAMPLES / f"{name}.flac"]).samples
    told = tell_speakers(heard(name, samples), samples, turns)
    truth = {(w.text, w.start_s): speaker for speaker, line in script_of(name) for w in line}
    right = wrong = total = 0
    for utterance in told:
        for word in utterance.words:
            total += 1
            right += truth[(word.text, word.start_s)] == utterance.speaker
            wrong += utterance.speaker not in ("unknown", truth[(word.text, word.start_s)])
    assert total > 0.98 * len(truth)
    assert right / total >= 0.95
    assert wrong / total <= 0.02
    assert [utterance.index for utterance in told] == list(range(len(told)))


@pytest.mark.parametrize("name", ["normal_arm_fragments", "upper_trunk_commentary"])
def test_one_voice_is_not_made_two(name: str, turns: Turns) -> None:
    samples = load_recording([SAMPLES / f"{name}.flac"]).samples
    utterances = heard(name, samples)
    told = tell_speakers(utterances, samples, turns)
    assert told == tuple(utterances)


def test_one_voice_that_says_a_conversation_is_not_made_two(turns: Turns) -> None:
    """The words of a conversation under the sound of one voice."""
    samples = load_recording([SAMPLES / "upper_trunk_commentary.flac"]).samples
    utterances = heard("upper_trunk_commentary", samples)
    said = [
        "tell me if you feel this",
        "ten",
        "push against me",
        "i can't doctor",
        "and here",
        "no",
    ]
    spoken_by_two = [
        u.model_copy(update={"words": spread_words(said[u.index % len(said)], u.start_s, u.end_s)})
        for u in utterances
    ]
    told = tell_speakers(spoken_by_two, samples, turns)
    assert {utterance.speaker for utterance in told} == {"unknown"}


def test_words_alone_name_some(turns: Turns) -> None:
    said = [
        "can you feel this",
        "ten",
        "my thumb hurts doctor",
        "deltoid four plus",
        "lovely",
        "no",
    ]
    assert name_by_words(said, turns) == [
        "examiner", "patient", "patient", "examiner", "unknown", "patient",
    ]  # fmt: skip


def test_a_few_words_are_too_few(turns: Turns) -> None:
    samples = np.random.default_rng(0).normal(0, 0.1, 4 * RATE).astype(np.float32)
    utterances = [
        Utterance(index=n, start_s=n, end_s=n + 0.9, words=spread_words(text, n, n + 0.9))
        for n, text in enumerate(["can you feel this", "ten", "and here", "no"])
    ]
    assert tell_speakers(utterances, samples, turns) == tuple(utterances)
    assert tell_speakers([], samples, turns) == ()


def test_an_utterance_is_cut_with_its_readings() -> None:
    words = spread_words("over the shoulder ten", 1.0, 3.0)
    whole = Utterance(
        index=3,
        start_s=1.0,
        end_s=3.0,
        words=words,
        readings=(Reading(listener="a", text="over the shoulder ten", words=words),),
    )
    first, second = cut_utterance(whole, 1.0, 2.6), cut_utterance(whole, 2.6, 3.0)
    assert (first.text, second.text) == ("over the shoulder", "ten")
    assert [part.readings[0].text for part in (first, second)] == [first.text, second.text]
    assert (first.end_s, second.start_s) == (2.6, 2.6)


@pytest.mark.parametrize("hertz", [95.0, 140.0, 220.0])
def test_pitch_is_that_of_the_tone(hertz: float) -> None:
    times = np.arange(RATE) / RATE
    tone = sum(np.sin(2 * np.pi * k * hertz * times) / k for k in range(1, 12))
    assert np.exp(log_pitch(np.asarray(0.1 * tone, np.float32))) == pytest.approx(hertz, rel=0.02)


def test_noise_has_no_pitch() -> None:
    noise = np.random.default_rng(1).normal(0, 0.1, RATE).astype(np.float32)
    assert np.isnan(log_pitch(noise))
