"""The neural listener: its weights are checked, its spectrogram is right, it hears and is timed."""

import shutil
import subprocess
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
import soundfile

from dictate2exam.errors import RecogniserError
from dictate2exam.registry import load_recogniser
from dictate2exam.speech import neural_listener
from dictate2exam.speech.mel import RATE, log_mel, mel_filters
from dictate2exam.speech.neural_listener import WEIGHTS, NeuralListener, check_weights, pad


@lru_cache(maxsize=1)
def listener() -> NeuralListener:
    return NeuralListener()


def spoken(tmp_path: Path, text: str) -> np.ndarray:
    if shutil.which("flite") is None:
        pytest.skip("flite is not installed")
    target = tmp_path / "spoken.wav"
    subprocess.run(["flite", "-voice", "rms", "-t", text, "-o", str(target)], check=True)
    sound, rate = soundfile.read(target, dtype="float32")
    assert rate == RATE
    return np.pad(sound, 4800) + np.random.default_rng(1).normal(0, 3e-4, len(sound) + 9600).astype(
        np.float32
    )


def test_it_is_registered_by_name() -> None:
    assert load_recogniser("neural") is NeuralListener


def test_a_tone_sits_in_its_band() -> None:
    time = np.arange(RATE) / RATE
    mel = log_mel((0.3 * np.sin(2 * np.pi * 1000 * time)).astype(np.float32))
    # On Slaney's scale 1000 Hz is mel 15 of 45.25 at 8000 Hz; 80 bands have their centres evenly.
    assert mel.shape == (80, 100)
    assert abs(int(mel.mean(axis=1).argmax()) - round(15 / 45.245 * 81 - 1)) <= 1
    assert mel.max() - mel.min() <= 2.0 + 1e-6  # 80 dB in units of 40 dB


def test_filters_have_unit_area() -> None:
    area = mel_filters().sum(axis=1) * (RATE / 2 / 200)
    assert np.allclose(area[20:], 1, atol=0.1)


def test_words_have_times_and_probabilities(tmp_path: Path) -> None:
    sound = spoken(tmp_path, "infraspinatus four plus")
    reading = listener().hear(sound)
    # Processors round differently, so that a term may come in two words.
    assert reading.text.replace(" ", "") == "infraspinatusfourplus"
    assert [word.text for word in reading.words] == reading.text.split()
    starts = [word.start_s for word in reading.words]
    assert starts == sorted(starts)
    assert 0.1 <= starts[0] <= 0.6 and reading.words[-1].end_s <= len(sound) / RATE
    assert all(word.end_s >= word.start_s for word in reading.words)
    assert all(0.3 < (word.confidence or 0) <= 1 for word in reading.words)


def test_speech_after_a_pause_is_heard(tmp_path: Path) -> None:
    first, second = (spoken(tmp_path, t) for t in ("biceps five", "wrist extension two"))
    heard = listener().hear(np.concatenate([first, second])).text
    assert heard == "biceps five wrist extension two"


def test_one_word_is_not_repeated(tmp_path: Path) -> None:
    assert listener().hear(spoken(tmp_path, "ten")).text == "ten"


@pytest.mark.parametrize("level", [0.0, 1e-4, 0.05])
def test_nothing_is_heard_where_nobody_speaks(level: float) -> None:
    sound = np.random.default_rng(2).normal(0, 1, 3 * RATE).astype(np.float32) * np.float32(level)
    assert listener().hear(sound).text == ""


def test_very_short_and_very_long_sound_is_taken() -> None:
    assert listener().hear(np.zeros(10, np.float32)).words == ()
    assert listener().hear(np.zeros(0, np.float32)).words == ()
    listener().hear(np.random.default_rng(3).normal(0, 0.01, 40 * RATE).astype(np.float32))


def test_short_sound_is_filled_up_with_its_own_noise() -> None:
    sound = np.random.default_rng(4).normal(0, 0.01, RATE).astype(np.float32)
    filled = pad(sound)
    assert len(filled) == int(neural_listener.LEAST_S * RATE)
    assert np.array_equal(filled[:RATE], sound)
    assert 0.005 < filled[RATE:].std() < 0.02


def test_altered_or_missing_weights_are_refused(tmp_path: Path) -> None:
    folder = tmp_path / "weights"
    folder.mkdir()
    with pytest.raises(RecogniserError, match="missing"):
        check_weights(folder)
    for name in ("SHA256SUMS", *neural_listener.FILES):
        shutil.copy(WEIGHTS / name, folder / name)
    assert len(check_weights(folder)) == 12
    with (folder / "vocabulary.json").open("a", encoding="utf-8") as handle:
        handle.write(" ")
    with pytest.raises(RecogniserError, match=r"vocabulary\.json is not the file"):
        NeuralListener(folder)


def test_a_text_is_scored_against_its_own_sound(tmp_path: Path) -> None:
    ears = listener()
    first = spoken(tmp_path, "infraspinatus four plus")
    other = spoken(tmp_path, "biceps five")
    ears.hear(other)  # heard last, and not what is asked about
    right, wrong = ears.forced(first, ["infraspinatus four plus", "biceps five"])
    assert right > wrong
    assert ears.forced(np.zeros(10, np.float32), ["biceps five"]) == [float("-inf")]
