"""What is said about the sound, on speech worn down in known ways; voices are synthetic."""

import csv
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
import soundfile
from mixes import PAUSES, RATE, VOICES, can_speak, mix, room, said, speech, telephone

from dictate2exam import pipeline
from dictate2exam.audio.load import load_recording
from dictate2exam.lexicon.hearing import read_hearing
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.endpoint import find_utterances
from dictate2exam.speech.model import Signal
from dictate2exam.speech.signal import measure_signal

LIMITS = read_hearing(load_lexicon().folder).signal
LEVELS = (5, 10, 15, 20, 25, 30)
KINDS = ("pink", "babble", "babble of three", "hum")
HUMAN = Path("/usr/share/pocketsphinx/test/data/librivox")
needs_voices = pytest.mark.skipif(not can_speak(), reason="flite or espeak-ng is missing")


def measured(sound: npt.NDArray[np.floating]) -> Signal:  # type: ignore[type-arg]
    samples = np.asarray(sound, dtype=np.float32)
    return measure_signal(samples, find_utterances(samples), LIMITS)


def errors(kind: str, pauses: str) -> dict[int, list[float]]:
    """Estimate less truth in decibels at each level, one for each voice."""
    made: dict[int, list[float]] = {level: [] for level in LEVELS}
    for engine, voice in VOICES:
        sound = speech(engine, voice, PAUSES[pauses])
        for level in LEVELS:
            made[level].append(measured(mix(sound, kind, level)).snr_db - level)
    return made


@needs_voices
@pytest.mark.slow
@pytest.mark.parametrize("pauses", PAUSES)
@pytest.mark.parametrize("kind", KINDS)
def test_noise_is_measured_within_a_few_decibels(kind: str, pauses: str) -> None:
    """With `-s` this prints the error table. Speech without pauses hides noise far below it: there
    the estimate may be too low, where nothing hangs on it.
    """
    table = errors(kind, pauses)
    row = "  ".join(f"{n}: {np.mean(e):+.1f} ±{np.std(e):.1f}" for n, e in table.items())
    print(f"\n{kind}, {pauses}: {row}")
    fluctuating = kind == "babble of three"  # its gaps are as long as those of the speech
    for level, found in table.items():
        highest = 5.0 if fluctuating else 2.6
        lowest = -2.5 if pauses == "with pauses" or level <= 15 else -0.35 * level
        assert lowest < np.mean(found) < highest, (level, found)


@needs_voices
@pytest.mark.parametrize("pauses", PAUSES)
def test_the_verdict_is_right_four_decibels_from_the_limit(pauses: str) -> None:
    sound = speech("flite", "rms", PAUSES[pauses])
    for kind in ("pink", "babble", "hum"):
        assert measured(mix(sound, kind, LIMITS.too_noisy_db - 4)).too_noisy, kind
        assert not measured(mix(sound, kind, LIMITS.too_noisy_db + 4)).too_noisy, kind


@needs_voices
def test_it_says_how_noisy_in_plain_words() -> None:
    found = measured(mix(speech("flite", "slt", PAUSES["with pauses"]), "pink", 5))
    (caution,) = found.cautions
    assert caution.startswith(f"The recording is too noisy to trust: {found.snr_db:.0f} dB")


@needs_voices
@pytest.mark.parametrize(("engine", "voice"), VOICES)
def test_a_telephone_and_a_file_of_8_khz_are_told(engine: str, voice: str, tmp_path: Path) -> None:
    sound = speech(engine, voice, PAUSES["with pauses"])
    hiss = np.random.default_rng(1).normal(size=len(sound)) * 1e-3
    assert measured(sound + hiss).cautions == ()
    (caution,) = measured(telephone(sound) + hiss).cautions
    assert "sounds like a telephone: nothing above 3." in caution
    path = tmp_path / "narrow.wav"
    soundfile.write(path, sound[::2], 8000)  # folded back, as bad recorders do
    narrow = measured(load_recording([path]).samples)
    assert narrow.band_hz is not None and narrow.band_hz < LIMITS.narrow_band_hz
    assert any("telephone" in caution for caution in narrow.cautions)


@needs_voices
def test_a_far_microphone_in_an_echoing_room_is_neither_telephone_nor_noise() -> None:
    sound = speech("flite", "slt", PAUSES["with pauses"])
    far = room(sound, 0.5, 0.15) * 0.01
    found = measured(far)
    assert found.level_db < LIMITS.too_quiet_db
    assert [c.split(" (")[0] for c in found.cautions] == ["The recording is very quiet"]
    assert 8 < found.snr_db < measured(sound).snr_db  # the tail of each word counts against it


@needs_voices
def test_clipping_is_told_and_its_share() -> None:
    sound = speech("flite", "slt", PAUSES["with pauses"])
    found = measured(np.clip(sound * 20, -1, 1))
    assert found.clipped > 0.01
    assert any("clipped" in caution for caution in found.cautions)
    assert measured(sound).clipped == 0


@pytest.mark.skipif(not HUMAN.is_dir(), reason="Debian's pocketsphinx-testdata is not installed")
def test_human_readings_are_neither_noisy_nor_narrow() -> None:
    """Debian's pocketsphinx-testdata: LibriVox readings at 16 kHz, read in quiet rooms."""
    for path in sorted(HUMAN.glob("*.wav")):
        assert measured(load_recording([path]).samples).cautions == (), path.name


@needs_voices
@pytest.mark.slow
def test_below_the_limit_every_finding_of_a_recording_is_asked(tmp_path: Path) -> None:
    """From sound to questions.csv: nothing of it counts as heard clearly."""
    gap = np.zeros(RATE)
    lines = ("right deltoid four", "biceps three", "triceps five", "wrist extension four")
    sound = np.concatenate([gap, *[p for x in lines for p in (said(x, "flite", "slt"), gap)]])
    path = tmp_path / "noisy.wav"
    soundfile.write(path, mix(sound * 0.3, "hum", LIMITS.too_noisy_db - 5), RATE)
    record, places = pipeline.run([path], tmp_path / "out", Settings())
    assert places == []
    assert any("too noisy to trust" in caution for caution in record.cautions)
    with (tmp_path / "out" / "findings.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert rows
    assert {row["state"] for row in rows} == {"to_confirm"}
    asked = {
        i
        for q in record.questions
        if q.kind == "mishearing" and q.state == "open"
        for i in q.finding_ids
    }
    assert asked >= {row["finding_id"] for row in rows}
