"""Sound to utterances, live and after a restart alike: what was read once is not read again."""

import json
import threading
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import numpy.typing as npt

from dictate2exam.audio.model import SAMPLE_RATE
from dictate2exam.lexicon.hearing import Hearing
from dictate2exam.live.journal import SoundJournal
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import Span
from dictate2exam.speech.listen import Stage
from dictate2exam.speech.model import Signal, Utterance
from dictate2exam.speech.stream import Follower, Reader, Stream

READINGS_FILE = "readings.jsonl"
FULL_SCALE = 32_768
NOTHING: Samples = np.zeros(0, dtype=np.float32)


def as_samples(pcm: npt.NDArray[np.int16]) -> Samples:
    """Signed 16 bit samples as the listeners take them: the same as those of a WAV file."""
    made: Samples = pcm.astype(np.float32) / np.float32(FULL_SCALE)
    return made


class Shared:
    """Listeners that several streams share: they wait for each other."""

    def __init__(self, stage: Stage) -> None:
        self._stage = stage
        self._lock = threading.Lock()

    @property
    def hearing(self) -> Hearing:
        """The listeners' thresholds."""
        return self._stage.hearing

    @property
    def listeners(self) -> dict[str, str]:
        """Name and version of everything that hears."""
        return self._stage.listeners

    def follow(self, samples: Samples, pauses: bool) -> str:
        """An utterance that is being spoken, once nobody else is read."""
        with self._lock:
            return self._stage.follow(samples, pauses)

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        """One utterance, once nobody else is read."""
        with self._lock:
            return self._stage.read(samples, index, start_s, snr_db)

    def remember(self, name: str, signal: Signal) -> None:
        """Keeps how the sound of this examiner is."""
        self._stage.remember(name, signal)


class Remembering:
    """A reader that keeps every reading in a file, and gives it again for the same sound.

    The file is no part of the record: without it everything is read again, which takes time.
    """

    def __init__(self, reader: Reader, path: Path) -> None:
        self._reader = reader
        self._path = path
        self._known: dict[tuple[int, int], Utterance | None] = {}
        if path.exists():
            for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
                try:
                    start, count, found = json.loads(line)
                    self._known[start, count] = Utterance.model_validate(found) if found else None
                except ValueError:
                    continue  # the line that was being written when the process was killed

    @property
    def hearing(self) -> Hearing:
        """The reader's thresholds."""
        return self._reader.hearing

    def knows(self, span: Span) -> bool:
        """Whether this stretch was read."""
        return (span.start, span.end - span.start) in self._known

    def follow(self, samples: Samples, pauses: bool) -> str:
        """The words so far of an utterance that is being spoken; none from readers that wait."""
        return self._reader.follow(samples, pauses) if isinstance(self._reader, Follower) else ""

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        """What was read of this sound before, else what the reader reads now."""
        key = (round(start_s * SAMPLE_RATE), len(samples))
        if key not in self._known:
            found = self._reader.read(samples, index, start_s, snr_db)
            self._known[key] = found
            made = found.model_dump(mode="json") if found else None
            try:
                with self._path.open("a", encoding="utf-8") as handle:
                    handle.write(f"\n{json.dumps([*key, made])}")
            except OSError:
                pass  # it is read again after a restart
        return self._known[key]


class Ears:
    """A stream over the journal's sound, from its beginning; `fed` samples of it so far."""

    def __init__(self, reader: Remembering, journal: SoundJournal) -> None:
        self._reader = reader
        self._journal = journal
        self._stream = Stream(reader)
        self.fed = 0
        self.ended = False

    @property
    def early(self) -> Utterance | None:
        """The utterance read ahead, once it is."""
        return None if self.ended else self._stream.early

    @property
    def words(self) -> str:
        """What was heard so far of speech whose reading is still to come."""
        return "" if self.ended else self._stream.words

    @property
    def spans(self) -> list[Span]:
        """All utterances found so far, wordless ones included."""
        return self._stream.spans

    @property
    def caught_up(self) -> bool:
        """Whether every utterance that has ended was read."""
        return self.fed == self._journal.samples and all(map(self._reader.knows, self.spans))

    def hear(self, end: int) -> Iterator[Utterance]:
        """Feeds the journal's sound up to sample `end`; gives what has been read by now."""
        if self.ended and end > self.fed:
            self._again()
        while self.fed < end:
            pcm = self._journal.read(self.fed, min(end, self.fed + 10 * SAMPLE_RATE))
            self.fed += len(pcm)
            yield from self._stream.feed(as_samples(pcm))
        if not self.ended:
            yield from self._stream.feed(NOTHING)

    def end(self) -> Iterator[Utterance]:
        """Ends the sound for now; gives what was still to come."""
        if not self.ended:
            self.ended = True
            yield from self._stream.flush()

    def close(self) -> None:
        """Ends the thread that reads."""
        self._stream.close()

    def _again(self) -> None:
        """Sound goes on after its end: from the beginning, with everything remembered."""
        self._stream.close()
        self._stream, self.fed, self.ended = Stream(self._reader), 0, False
