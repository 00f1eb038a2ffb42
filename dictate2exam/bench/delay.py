"""How long after the end of speech its words are there, live."""

import time
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from dictate2exam.audio.model import SAMPLE_RATE
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import AFTER, FRAME, Endpointer, Span
from dictate2exam.speech.stream import FOLLOW_STEP, Follower, Reader, noise_window, read_span

PIECE = 320  # samples, 20 ms: what a live source sends at once
NEAR_S = 0.5  # a known end of speech belongs to the utterance that ends so near


def measure_delay(
    samples: Samples,
    reader: Reader,
    ends_s: Sequence[float] = (),
    clock: Callable[[], float] = time.perf_counter,
) -> dict[str, Any]:
    """Seconds from the end of speech to the words of its utterance: median, 95th percentile.

    The clock of the sound is followed piece by piece and the time that each reading really takes
    is added, readings thrown away because speech went on and what is heard while one speaks
    included; nothing waits in real time.
    The words may stand before it is sure that speech does not go on: `final_` is when both are
    true, `endpoint_` when the end is sure, reading left out. `ends_s` are seconds at which speech
    is known to end; without them the last frame that was judged to be speech counts.
    """
    endpointer = Endpointer()
    free_s = 0.0  # when the reader is free again
    early: tuple[Span, float] | None = None
    ended: list[tuple[Span, float, float]] = []  # span, when it was sure, when it was read
    spans: list[Span] = []

    def read(span: Span, now_s: float) -> float:
        nonlocal free_s
        started = clock()
        first, near = noise_window([*spans, span])
        read_span(reader, samples[first : span.end], near, first)
        free_s = max(now_s, free_s) + clock() - started
        return free_s

    def follow(span: Span, now_s: float) -> None:
        nonlocal free_s
        if isinstance(reader, Follower):
            started = clock()
            reader.follow(samples[span.start : span.end], endpointer.pauses)
            free_s = now_s + clock() - started

    followed: Span | None = None
    paused = False
    for place in range(0, len(samples), PIECE):
        piece = samples[place : place + PIECE]
        now_s = (place + len(piece)) / SAMPLE_RATE
        found = endpointer.feed(piece)
        if place + PIECE >= len(samples):
            found += endpointer.flush()
        for span in found:
            done_s = early[1] if early and early[0] == span else read(span, now_s)
            ended.append((span, now_s, done_s))
            spans.append(span)
            early = followed = None
        sure = endpointer.sure
        if sure and not early and free_s <= now_s:
            again = followed is None or followed.start != sure.start
            grown = followed is None or sure.end - followed.end >= FOLLOW_STEP
            if again or grown or (endpointer.pauses and not paused):
                follow(sure, now_s)
                followed, paused = sure, endpointer.pauses
        likely = endpointer.likely
        if likely and (early is None or early[0] != likely):
            early = (likely, read(likely, now_s))
    delays, finals, waits = [], [], []
    for span, sure_s, done_s in ended:
        end_s = (span.end - AFTER * FRAME) / SAMPLE_RATE
        if ends_s:
            nearest = min(ends_s, key=lambda known: abs(known - end_s))
            if abs(nearest - end_s) > NEAR_S:
                continue
            end_s = nearest
        delays.append(done_s - end_s)
        finals.append(max(sure_s, done_s) - end_s)
        waits.append(sure_s - end_s)
    figures: dict[str, Any] = {"utterances": len(delays)}
    for name, values in (("", delays), ("final_", finals), ("endpoint_", waits)):
        if values:
            figures[f"{name}median_s"] = round(float(np.median(values)), 3)
            figures[f"{name}p95_s"] = round(float(np.percentile(values, 95)), 3)
    return figures
