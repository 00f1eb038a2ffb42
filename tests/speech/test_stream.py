"""A stream: the same utterances however the sound comes, readings beside it, in order."""

import threading
import time

import numpy as np
import pytest

from dictate2exam.bench.delay import measure_delay
from dictate2exam.lexicon.hearing import Hearing, read_hearing
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import SPLIT_PAUSE_S
from dictate2exam.speech.model import Utterance, Word
from dictate2exam.speech.stream import Stream
from tests.speech.test_endpoint import RATE, pause, voice

SOUND = np.concatenate(
    [pause(1), voice(2), pause(1), voice(1, 3), pause(0.3), voice(1, 4), pause(0.9), voice(3, 5)]
)


class Counting:
    """A reader that tells how much sound it got and how noisy that was."""

    def __init__(self, deaf_to: int = -1) -> None:
        self.hearing: Hearing = read_hearing(load_lexicon().folder)
        self.reads = 0
        self.together = 0
        self._deaf_to = deaf_to
        self._lock = threading.Lock()

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        assert self._lock.acquire(blocking=False), "two utterances read at once"
        self.reads += 1
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
    class Waiting(Counting):
        go = threading.Event()

        def read(
            self, samples: Samples, index: int, start_s: float, snr_db: float
        ) -> Utterance | None:
            assert self.go.wait(60)
            return super().read(samples, index, start_s, snr_db)

    reader = Waiting()
    stream = Stream(reader)
    for place in range(0, len(SOUND), 320):
        assert stream.feed(SOUND[place : place + 320]) == []
    assert len(stream.spans) == 2  # the third has no pause after it
    reader.go.set()
    assert [utterance.index for utterance in stream.flush()] == [0, 1, 2]
    stream.close()
    assert reader.reads == 3  # those thrown away had not begun


def test_words_stand_early_and_are_withdrawn_when_speech_goes_on() -> None:
    sound = np.concatenate([pause(1), voice(2), pause(0.5), voice(1, 2), pause(2)])
    stream = Stream(Counting())
    seen: list[Utterance] = []
    given: list[Utterance] = []
    for place in range(0, len(sound), 320):
        given += stream.feed(sound[place : place + 320])
        time.sleep(0.001)
        if stream.early and (not seen or seen[-1].end_s != stream.early.end_s):
            seen.append(stream.early)
    given += stream.flush()
    stream.close()
    assert len(given) == 1
    assert [early.start_s for early in seen] == [given[0].start_s] * 2
    assert seen[0].end_s < 3.5 < seen[1].end_s == given[0].end_s


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
    # Ends as the test put them; the clock is the reader's own, so that load does not matter.
    def figures(takes_s: float) -> dict[str, float]:
        reader = Counting()
        return measure_delay(SOUND, reader, (3.0, 6.3), clock=lambda: reader.reads * takes_s)

    quick = figures(0.1)
    assert quick["utterances"] == 2
    assert 0.35 <= quick["median_s"] <= quick["p95_s"] <= 0.5
    assert quick["endpoint_p95_s"] <= SPLIT_PAUSE_S + 0.08
    assert quick["final_p95_s"] == quick["endpoint_p95_s"]
    slow = figures(0.8)
    assert slow["final_median_s"] == slow["median_s"] > 0.9


class Following(Counting):
    """A reader that notes what it is given of an utterance that is being spoken."""

    def __init__(self) -> None:
        super().__init__()
        self.given: list[tuple[int, bool]] = []
        self.whole: list[int] = []

    def follow(self, samples: Samples, pauses: bool) -> str:
        self.given.append((len(samples), pauses))
        return f"{len(samples)} so far"

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        self.whole.append(len(samples))
        return super().read(samples, index, start_s, snr_db)


def test_an_utterance_is_followed_while_it_is_spoken_and_its_words_go_at_its_end() -> None:
    reader = Following()
    stream = Stream(reader)
    sound = np.concatenate([pause(1), voice(2), pause(1.5)])
    words: list[str] = []
    for place in range(0, len(sound), 800):
        stream.feed(sound[place : place + 800])
        time.sleep(0.005)  # as long as the reader takes
        words.append(stream.words)
    stream.close()
    sizes = [size for size, _ in reader.given]
    assert len(sizes) > 5 and sizes == sorted(sizes) and sizes[0] < RATE
    assert reader.given[-1][1] and not reader.given[0][1]  # it is told that it may have ended
    assert sizes[-1] <= reader.whole[-1]
    shown = [text for text in words if text]
    assert shown and words[0] == "" and words[-1] == ""
    assert not any(words[: words.index(shown[0])])


def test_a_file_is_read_utterance_by_utterance_and_followed_by_nobody() -> None:
    reader = Following()
    stream = Stream(reader, ahead=False)
    stream.feed(SOUND)
    assert len(list(stream.flush())) > 0 and reader.given == [] and stream.words == ""
    stream.close()


def test_what_fails_while_one_speaks_costs_no_utterance() -> None:
    class Failing(Following):
        def follow(self, samples: Samples, pauses: bool) -> str:
            raise RuntimeError("nothing could be heard ahead")

    stream = Stream(Failing())
    found: list[Utterance] = []
    for place in range(0, len(SOUND), 800):
        found += stream.feed(SOUND[place : place + 800])
    found += stream.flush()
    stream.close()
    assert [u.index for u in found] == [0, 1, 2] and stream.words == ""
