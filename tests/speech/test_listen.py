"""The listening stage on a sample (synthetic voices) and on bad sound."""

from pathlib import Path

import numpy as np
import pytest

from dictate2exam.audio.load import load_recording
from dictate2exam.audio.model import Recording
from dictate2exam.errors import AudioError, RecogniserError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.listen import listen
from dictate2exam.speech.model import Transcript

SAMPLE = Path(__file__).parents[2] / "sample_audio" / "upper_trunk_commentary.flac"
SECONDS = 24.0
# PocketSphinx is named, so that the figures are of the embedded recogniser alone.
SETTINGS = Settings(domain_listener="pocketsphinx")


@pytest.fixture(scope="module")
def heard() -> tuple[Transcript, list[float]]:
    whole = load_recording([SAMPLE])
    told: list[float] = []
    part = Recording(samples=whole.cut(0, SECONDS), source=whole.source)
    return listen(part, load_lexicon(), SETTINGS, told.append), told


def test_terms_are_heard_with_times_and_readings(heard: tuple[Transcript, list[float]]) -> None:
    transcript, _ = heard
    text = " ".join(utterance.text for utterance in transcript.utterances)
    for term in ("wasting of the deltoid", "infraspinat", "wasted", "internal rotation"):
        assert term in text
    last = 0.0
    for utterance in transcript.utterances:
        assert last <= utterance.start_s < utterance.end_s <= SECONDS
        last = utterance.end_s
        assert {reading.listener for reading in utterance.readings} == {
            "pocketsphinx",
            "moonshine",
        }
        for word in utterance.words:
            assert utterance.start_s - 0.02 <= word.start_s < word.end_s <= utterance.end_s + 0.1
            assert word.text == word.text.lower()
        for reading in utterance.readings:
            for word in reading.words:
                assert utterance.start_s - 0.02 <= word.start_s <= utterance.end_s + 0.02
        if utterance.domain != "talk":
            assert all(word.confidence is not None for word in utterance.words)
    assert set(transcript.listeners) == {"pocketsphinx", "moonshine"}
    assert transcript.timed
    assert transcript.signal is not None and transcript.signal.snr_db > 20


def test_progress_runs_from_nothing_to_all(heard: tuple[Transcript, list[float]]) -> None:
    _, told = heard
    assert told[0] == 0.0
    assert told[-1] == pytest.approx(1.0)
    assert told == sorted(told)


def test_silence_and_noise_are_refused() -> None:
    silent = Recording(samples=np.zeros(48_000, np.float32), source=("quiet.wav",))
    with pytest.raises(AudioError, match=r"quiet\.wav is silent"):
        listen(silent, load_lexicon(), SETTINGS)
    noise = np.random.default_rng(0).normal(0, 0.003, 80_000).astype(np.float32)
    with pytest.raises(AudioError, match="No speech"):
        listen(Recording(samples=noise, source=("hiss.wav",)), load_lexicon(), SETTINGS)


def test_an_unknown_recogniser_is_refused_with_the_known_ones() -> None:
    sound = load_recording([SAMPLE]).cut(0, 8)
    with pytest.raises(RecogniserError, match=r"no recogniser called nobody.*pocketsphinx"):
        listen(
            Recording(samples=sound, source=("a.wav",)),
            load_lexicon(),
            Settings(domain_listener="nobody"),
        )
