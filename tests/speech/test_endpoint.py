"""Utterances: no speech is lost, pauses part them, long speech is cut at a pause."""

import csv
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dictate2exam.audio.load import load_recording
from dictate2exam.speech.endpoint import (
    FRAME,
    LONGEST_S,
    PADDING_AFTER_S,
    PADDING_BEFORE_S,
    SPLIT_PAUSE_S,
    Endpointer,
    Span,
    find_utterances,
    frame_levels,
    speech_frames,
)

RATE = 16_000
SAMPLES = Path(__file__).parents[2] / "sample_audio"


def voice(seconds: float, seed: int = 0) -> np.ndarray:
    """Sound that a voice detector takes for speech: a buzz with moving formants."""
    chance = np.random.default_rng(seed)
    count = int(seconds * RATE)
    times = np.arange(count) / RATE
    pitch = 120 + 15 * np.sin(2 * np.pi * 3 * times)
    phase = 2 * np.pi * np.cumsum(pitch) / RATE
    sound = sum(np.sin(k * phase) / k for k in range(1, 25))
    swell = 0.6 + 0.4 * np.sin(2 * np.pi * 4 * times)
    return (0.15 * sound * swell + chance.normal(0, 0.002, count)).astype(np.float32)


def pause(seconds: float, seed: int = 1, level: float = 3e-4) -> np.ndarray:
    return np.random.default_rng(seed).normal(0, level, int(seconds * RATE)).astype(np.float32)


def test_pauses_part_utterances_and_padding_surrounds_them() -> None:
    sound = np.concatenate([pause(1), voice(2), pause(1.5), voice(1), pause(1)])
    spans = find_utterances(sound)
    assert len(spans) == 2
    first, second = spans
    assert 1 - PADDING_BEFORE_S - 0.1 <= first.start / RATE <= 1
    assert 3 <= first.end / RATE <= 3 + PADDING_AFTER_S + 0.1
    assert 4.5 - PADDING_BEFORE_S - 0.1 <= second.start / RATE <= 4.5
    assert second.end / RATE >= 5.5


def test_a_short_hesitation_does_not_part() -> None:
    sound = np.concatenate([pause(1), voice(1), pause(0.3), voice(1), pause(1)])
    assert len(find_utterances(sound)) == 1


def test_long_speech_is_cut_at_its_best_pause() -> None:
    parts = [pause(0.5)]
    for number in range(8):
        parts += [voice(2.5, number), pause(0.45 if number == 2 else 0.2, number)]
    sound = np.concatenate([*parts, pause(0.5)])
    spans = find_utterances(sound)
    assert len(spans) >= 2
    assert all(span.length_s <= LONGEST_S for span in spans)
    best_pause = 0.5 + 3 * 2.5 + 2 * 0.2 + 0.45 / 2
    assert abs(spans[0].end / RATE - best_pause) < 0.3


def test_speech_without_any_pause_is_cut_all_the_same() -> None:
    sound = np.concatenate([pause(0.6), voice(30), pause(0.6)])
    spans = find_utterances(sound)
    assert len(spans) >= 3
    assert all(span.length_s <= LONGEST_S for span in spans)


def test_silence_noise_and_nothing_hold_no_utterance() -> None:
    assert find_utterances(np.zeros(0, np.float32)) == []
    assert find_utterances(np.zeros(5 * RATE, np.float32)) == []
    assert find_utterances(pause(5)) == []


def test_where_a_room_has_become_louder_pauses_are_found_at_once() -> None:
    """Before, the floor of the silence before it held for twenty seconds."""
    louder = [pause(0.5, 2, 0.005)]
    for seed in range(5):
        louder += [voice(2, seed) + pause(2, seed + 10, 0.005), pause(1, seed + 20, 0.005)]
    sound = np.concatenate([pause(20), *louder])
    ends = [span.end / RATE - 20 for span in find_utterances(sound)]
    assert len(ends) >= 4
    assert ends[0] <= 6.5


def test_level_does_not_matter() -> None:
    sound = np.concatenate([pause(1), voice(2), pause(1.5), voice(1), pause(1)])
    quiet = find_utterances((sound * 0.05).astype(np.float32))
    assert len(quiet) == len(find_utterances(sound))


def fed(sound: np.ndarray, cuts: list[int]) -> list[Span]:
    endpointer = Endpointer()
    spans: list[Span] = []
    for piece in np.split(sound, sorted(cuts)):
        spans += endpointer.feed(piece)
    return [*spans, *endpointer.flush()]


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.05, 7.0), st.floats(0.05, 1.0)), min_size=1, max_size=4),
    st.lists(st.integers(0, 5 * RATE), max_size=40),
    st.integers(1, 5000),
)
def test_pieces_of_any_size_give_the_same_utterances(
    parts: list[tuple[float, float]], cuts: list[int], step: int
) -> None:
    pieces = [pause(0.4)]
    for number, (spoken, silent) in enumerate(parts):
        pieces += [voice(spoken, number), pause(silent, number)]
    sound = np.concatenate(pieces)
    whole = find_utterances(sound)
    assert fed(sound, [min(cut, len(sound)) for cut in cuts]) == whole
    assert fed(sound, list(range(step, len(sound), step))) == whole


def test_an_utterance_is_given_out_when_its_pause_is_long_enough() -> None:
    sound = np.concatenate([pause(1), voice(2), pause(3)])
    endpointer = Endpointer()
    likely_at = given_at = 0.0
    for place in range(0, len(sound), 160):
        found = endpointer.feed(sound[place : place + 160])
        now = (place + 160) / RATE
        likely_at = likely_at or (now if endpointer.likely else 0.0)
        if found and not given_at:
            given_at, likely = now, found[0]
            assert likely.end <= place + 160
    assert 3.0 + PADDING_AFTER_S - 0.05 <= likely_at < given_at - 0.1
    assert 3.0 + SPLIT_PAUSE_S - 0.05 <= given_at <= 3 + SPLIT_PAUSE_S + 0.1


def test_what_is_likely_is_what_is_given_out() -> None:
    sound = np.concatenate([pause(1), voice(2), pause(0.3), voice(1, 2), pause(2), voice(2, 3)])
    endpointer = Endpointer()
    last = None
    for place in range(0, len(sound), 160):
        for span in endpointer.feed(sound[place : place + 160]):
            assert span == last
        assert endpointer.pending <= place + 160
        last = endpointer.likely
        assert last is None or last.start >= endpointer.pending


def pink(seconds: float, seed: int = 3) -> np.ndarray:
    count = int(seconds * RATE)
    spectrum = np.fft.rfft(np.random.default_rng(seed).standard_normal(count))
    shape = 1 / np.sqrt(np.maximum(np.fft.rfftfreq(count, 1 / RATE), 20.0))
    noise = np.fft.irfft(spectrum * shape, count)
    return (noise / np.sqrt(np.mean(noise**2))).astype(np.float32)


@pytest.mark.parametrize("level", [0.002, 0.01, 0.05])
@pytest.mark.parametrize("kind", [pause, pink])
def test_steady_noise_alone_holds_no_utterance(
    kind: Callable[[float, int], np.ndarray], level: float
) -> None:
    noise = kind(60, 7)
    assert find_utterances((noise * level / noise.std()).astype(np.float32)) == []


@pytest.mark.parametrize("snr_db", [20, 15, 10])
def test_noise_hides_no_speech_of_a_sample(snr_db: int) -> None:
    """Of the sample's script lines (seconds beside it) at most 1% lies outside, as with quiet."""
    clean = load_recording([SAMPLES / "lower_roots_conversation.flac"]).samples
    with (SAMPLES / "lower_roots_conversation.times.csv").open(encoding="utf-8") as file:
        lines = [(float(row["start_s"]), float(row["end_s"])) for row in csv.DictReader(file)]
    loud = np.zeros(len(clean) // FRAME, dtype=bool)
    levels = frame_levels(clean)
    for start_s, end_s in lines:
        part = slice(int(start_s * RATE / FRAME), int(end_s * RATE / FRAME))
        loud[part] = levels[part] > np.percentile(levels, 10) + 12
    power = np.mean(clean[: len(loud) * FRAME].reshape(-1, FRAME)[loud] ** 2)
    noise = pink(len(clean) / RATE)[: len(clean)] * np.sqrt(power) * 10 ** (-snr_db / 20)
    covered = np.zeros(len(clean), dtype=bool)
    for span in find_utterances(clean + noise.astype(np.float32)):
        covered[span.start : span.end] = True
    frames = covered[: len(loud) * FRAME].reshape(-1, FRAME).all(axis=1)
    assert frames[loud].mean() > 0.99
    assert covered.mean() < 0.93  # and not simply everything


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0.2, 6.0), st.floats(0.05, 2.0)),
        min_size=1,
        max_size=5,
    ),
    st.integers(0, 1000),
)
def test_no_speech_is_lost_or_heard_twice(parts: list[tuple[float, float]], seed: int) -> None:
    pieces = [pause(0.4, seed)]
    for number, (spoken, silent) in enumerate(parts):
        pieces += [voice(spoken, seed + number), pause(silent, seed + number)]
    sound = np.concatenate(pieces)
    spans = find_utterances(sound)
    for span, following in pairwise(spans):
        assert span.end <= following.start
    covered = np.zeros(len(sound), dtype=bool)
    for span in spans:
        assert 0 <= span.start < span.end <= len(sound)
        covered[span.start : span.end] = True
    judged = speech_frames(sound)
    assert judged.any()
    for frame in np.flatnonzero(judged):
        place = int(frame) * FRAME
        alone = judged[max(0, frame - 20) : frame + 20].sum() <= 3
        assert alone or covered[place : place + FRAME].all()
