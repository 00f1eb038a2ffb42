"""Conditions of sound: stated levels hold, bands are cut, the same seed gives the same sound."""

import numpy as np
import pytest

from dictate2exam.bench.conditions import CONDITIONS, add_noise, check_condition, worsen
from dictate2exam.errors import InputError
from dictate2exam.synthesis.rooms import pink, speech_level

RATE = 16_000


def speech(seed: int = 1) -> np.ndarray:
    """Bursts of a tone with overtones, like syllables, with pauses between them."""
    time = np.arange(6 * RATE) / RATE
    tone = sum(np.sin(2 * np.pi * (170 + 20 * seed) * k * time) / k for k in range(1, 30))
    gate = (np.sin(2 * np.pi * 2.5 * time) > -0.3) & (time % 2 < 1.4)
    return np.asarray(0.1 * tone * gate, np.float32)


@pytest.mark.parametrize("snr_db", [20.0, 10.0, 0.0])
def test_noise_lies_as_far_below_the_speech_as_is_said(snr_db: float) -> None:
    sound = speech().astype(np.float64)
    noise = pink(len(sound), np.random.default_rng(1))
    mixed = add_noise(sound, noise, snr_db)
    scale = np.dot(mixed, sound) / np.dot(sound, sound)  # it may have been made softer
    left = mixed / scale - sound
    measured = 20 * np.log10(speech_level(sound) / np.sqrt(np.mean(left**2)))
    assert measured == pytest.approx(snr_db, abs=0.3)


def test_a_telephone_keeps_its_band_alone() -> None:
    made = worsen(speech(), "telephone", [], "x")
    power = np.abs(np.fft.rfft(made)) ** 2
    hertz = np.fft.rfftfreq(len(made), 1 / RATE)
    inside = power[(hertz > 300) & (hertz < 3400)].sum()
    assert power[(hertz < 200) | (hertz > 3900)].sum() < 0.01 * inside


def test_reverberation_fills_the_pauses() -> None:
    sound = speech()
    pause = slice(int(1.45 * RATE), int(1.6 * RATE))
    dry, wet = sound[pause], worsen(sound, "reverberation", [], "x")[pause]
    assert np.abs(dry).max() == 0
    assert np.sqrt(np.mean(wet**2)) > 0.03 * speech_level(sound)


@pytest.mark.parametrize("name", [*CONDITIONS, "white5", "babble10"])
def test_each_condition_keeps_the_length_and_is_the_same_again(name: str) -> None:
    sound, others = speech(), [speech(2), speech(3)]
    once, again = (worsen(sound, name, others, "key") for _ in range(2))
    assert len(once) == len(sound) and once.dtype == np.float32
    assert np.array_equal(once, again)
    assert (name == "clean") == np.array_equal(once, sound)
    assert np.abs(once).max() <= 1


def test_an_unknown_condition_is_named() -> None:
    with pytest.raises(InputError, match="moonlight"):
        check_condition("moonlight")
