"""A stream: the same utterances however the sound comes, readings beside it, in order."""

import threading
import time

import numpy as np
import pytest

from dictate2exam.bench.delay import measure_delay
from dictate2exam.lexicon.hearing import Hearing, read_hearing
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import SPLIT_PAUSE_S, find_utterances
from dictate2exam.speech.model import Utterance, Word
from dictate2exam.speech.stream import Stream
from tests.speech.test_endpoint import RATE, pause, voice

SOUND = np.concatenate(
    [pause(1), voice(2), pause(1), voice(1, 3), pause(0.3), voice(1, 4), pause(0.9), voice(3, 5)]
)


class Counting:
    """A reader that tells how much sound it got and how noisy that was."""

    def __init__(self, takes_s: float = 0.0, deaf_to: int = -1) -> None:
        self.hearing: Hearing = read_hearing(load_lexicon().folder)
        self.reads = 0
        self.together = 0
        self._takes_s, self._deaf_to = takes_s, deaf_to
        self._lock = threading.Lock()

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        assert self._lock.acquire(blocking=False), "two utterances read at once"
        self.reads += 1
        time.sleep(self._takes_s)
        self._lock.release()
        if self.reads - 1 == self._deaf_to:
            return None
        end_s = start_s + len(samples) / RATE
        word = Word(
            text=f"{snr_db} {float(np.abs(samples).sum()):.3f}", start_s=start_s, end_s=end_s
        )
        return Utterance(index=index, start_s=start_s, end_s=end_s, words=(word,))


def hear(piece: int, ahead: bool = True, deaf_to: int = -1) -> list[Utterance]:
    stream = Stream(Counting(deaf_to=deaf_to), ahead=ahead)
    found: list[Utterance] = []
    for place in range(0, len(SOUND), piece):
        found += stream.feed(SOUND[place : place + piece])
    found += stream.flush()
    stream.close()
    return found


def test_pieces_of_any_size_and_reading_ahead_give_the_same_utterances() -> None:
    whole = hear(len(SOUND), ahead=False)
    assert len(whole) == 3
    assert [u.index for u in whole] == [0, 1, 2]
    for piece in (160, 320, 4801, 16_000):
        assert hear(piece) == whole
        assert hear(piece, ahead=False) == whole


def test_an_utterance_without_words_leaves_no_gap_in_the_numbers() -> None:
    assert [u.index for u in hear(len(SOUND), ahead=False, deaf_to=1)] == [0, 1]


def test_feeding_does_not_wait_for_the_reader_and_early_readings_are_used() -> None:
    reader = Counting(takes_s=0.4)
    stream = Stream(reader)
    longest = 0.0
    for place in range(0, len(SOUND), 320):
        started = time.perf_counter()
        stream.feed(SOUND[place : place + 320])
        longest = max(longest, time.perf_counter() - started)
    assert longest < 0.3
    assert len(stream.spans) == 2  # the third has no pause after it
    assert list(stream.flush())[-1].index == 2
    stream.close()
    assert reader.reads <= 5  # three, and at most one thrown away for each pause


def test_what_breaks_in_the_reader_is_raised_to_who_feeds() -> None:
    class Broken(Counting):
        def read(
            self, samples: Samples, index: int, start_s: float, snr_db: float
        ) -> Utterance | None:
            raise RuntimeError("no model")

    stream = Stream(Broken())
    with pytest.raises(RuntimeError, match="no model"):
        stream.feed(SOUND)
        list(stream.flush())
    stream.close()


def test_the_words_are_there_half_a_second_after_speech_with_a_quick_reader() -> None:
    # issue: final words at most 0.5 s after the end of speech; ends as the test put them.
    figures = measure_delay(SOUND, Counting(takes_s=0.1), ends_s=(3.0, 5.0 + 0.3 + 1.0))
    assert figures["utterances"] == 2
    assert figures["endpoint_p95_s"] <= SPLIT_PAUSE_S + 0.08
    assert figures["p95_s"] <= 0.5
    slow = measure_delay(SOUND, Counting(takes_s=0.8), ends_s=(3.0, 6.3))
    assert slow["median_s"] > 0.9
    assert len(find_utterances(SOUND)) == 3
