"""Whether the microphone serves: too low, clipped, silent, noisy, told while it can be mended."""

from collections.abc import Sequence

import numpy as np

from dictate2exam.audio.model import SAMPLE_RATE
from dictate2exam.lexicon.hearing import SignalLimits
from dictate2exam.live.messages.kinds import LevelState
from dictate2exam.live.messages.to_page import Level
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import QUIETEST_DB, Span, frame_levels
from dictate2exam.speech.signal import measure_signal

WINDOW = 15 * SAMPLE_RATE  # samples
EVERY = SAMPLE_RATE // 2
SILENT_DB = QUIETEST_DB - 15  # below what any open microphone gives in a room

SAYS: dict[LevelState, str] = {
    "good": "",
    "silent": "Nothing is heard: the wrong microphone may be chosen, or it is switched off.",
    "low": "The sound is very quiet: move the microphone closer or turn it up.",
    "clipped": "The sound is too loud and clipped: turn the microphone down.",
    "noisy": "The room is too loud: everything heard like this will be asked about.",
}


def judge(samples: Samples, spans: Sequence[Span], limits: SignalLimits) -> Level:
    """The level of the last seconds; `spans` are the utterances in them, in samples of them."""
    levels = frame_levels(samples)
    loud = float(np.percentile(levels, 95)) if len(levels) else -120.0
    if not spans:
        clipped = float((np.abs(samples) >= 0.985).mean()) if len(samples) else 0.0
        state: LevelState = "silent" if loud < SILENT_DB else "good"
        if clipped > limits.clipped:
            state = "clipped"
        return Level(
            state=state,
            level_db=round(loud, 1),
            snr_db=None,
            clipped=round(clipped, 5),
            say=SAYS[state],
        )
    signal = measure_signal(samples, list(spans), limits)
    state = "good"
    if signal.clipped > limits.clipped:
        state = "clipped"
    elif signal.level_db < limits.too_quiet_db:
        state = "low"
    elif signal.too_noisy:
        state = "noisy"
    return Level(
        state=state,
        level_db=signal.level_db,
        snr_db=signal.snr_db,
        clipped=signal.clipped,
        say=SAYS[state],
    )


def spans_within(spans: Sequence[Span], start: int, end: int) -> list[Span]:
    """The spans as far as they lie in these samples, counted from `start`."""
    return [
        Span(max(span.start, start) - start, min(span.end, end) - start)
        for span in spans
        if span.end > start and span.start < end
    ]
