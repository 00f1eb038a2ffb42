"""Utterances: no speech is lost, pauses part them, long speech is cut at a pause."""

from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from dictate2exam.speech.endpoint import (
    FRAME,
    LONGEST_S,
    PADDING_S,
    find_utterances,
    speech_frames,
)

RATE = 16_000


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
    assert 1 - PADDING_S - 0.1 <= first.start / RATE <= 1
    assert 3 <= first.end / RATE <= 3 + PADDING_S + 0.1
    assert 4.5 - PADDING_S - 0.1 <= second.start / RATE <= 4.5
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
    assert all(span.length_s <= LONGEST_S + 2 * PADDING_S for span in spans)
    best_pause = 0.5 + 3 * 2.5 + 2 * 0.2 + 0.45 / 2
    assert abs(spans[0].end / RATE - best_pause) < 0.3


def test_speech_without_any_pause_is_cut_all_the_same() -> None:
    sound = np.concatenate([pause(0.6), voice(30), pause(0.6)])
    spans = find_utterances(sound)
    assert len(spans) >= 3
    assert all(span.length_s <= LONGEST_S + 2 * PADDING_S for span in spans)


def test_silence_noise_and_nothing_hold_no_utterance() -> None:
    assert find_utterances(np.zeros(0, np.float32)) == []
    assert find_utterances(np.zeros(5 * RATE, np.float32)) == []
    assert find_utterances(pause(5)) == []


def test_level_does_not_matter() -> None:
    sound = np.concatenate([pause(1), voice(2), pause(1.5), voice(1), pause(1)])
    quiet = find_utterances((sound * 0.05).astype(np.float32))
    assert len(quiet) == len(find_utterances(sound))


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
