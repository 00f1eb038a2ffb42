"""Sound on disk before anybody hears it: one file that only grows, cut back to what is whole."""

import os
import struct
import zlib
from array import array
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import IO

import numpy as np
import numpy.typing as npt

from dictate2exam.audio.model import SAMPLE_RATE
from dictate2exam.errors import RecordError
from dictate2exam.units import Seconds

Pcm = npt.NDArray[np.int16]

# Of each frame: its sequence number, how many samples follow (none: it came while paused and is
# not kept), and the CRC-32 of both numbers and the samples.
_HEADER = struct.Struct("<III")
JOURNAL_FILE = "sound.journal"
BLOCK = 10 * SAMPLE_RATE


class SoundJournal:
    """Frames of mono 16 kHz sound (signed 16 bit) in the order of their numbers.

    Opening it finds where it ends: a frame that was being written when the process was killed is
    cut off. A frame is on disk for good once `append` has returned.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.next_sequence = 0
        self.samples = 0
        self._firsts, self._offsets = array("Q"), array("Q")
        self._end = 0
        self._file: IO[bytes] | None = None
        try:
            if path.exists():
                self._scan()
        except OSError as error:
            raise RecordError(f"{path} cannot be read: {error.strerror}.") from None

    @property
    def seconds(self) -> Seconds:
        """How much sound is kept."""
        return self.samples / SAMPLE_RATE

    def append(self, frames: Sequence[tuple[int, bytes]]) -> None:
        """Puts the frames on disk; on OSError none of them is kept and what was there stays.

        The first must be numbered `next_sequence`, the others follow; empty ones keep no sound.
        """
        made = bytearray()
        places: list[tuple[int, int]] = []
        for sequence, pcm in frames:
            assert sequence == self.next_sequence + len(places)
            places.append((self._end + len(made), len(pcm) // 2))
            made += _HEADER.pack(sequence, len(pcm) // 2, _check(sequence, pcm)) + pcm
        try:
            file = self._opened()
            file.seek(self._end)
            _write(file, bytes(made))
            os.fsync(file.fileno())
        except OSError:
            self._cut_back()
            raise
        for offset, count in places:
            if count:
                self._firsts.append(self.samples)
                self._offsets.append(offset + _HEADER.size)
                self.samples += count
        self._end += len(made)
        self.next_sequence += len(frames)

    def read(self, start: int, end: int) -> Pcm:
        """The samples from `start` to before `end`, as far as they are there."""
        start, end = max(0, start), min(end, self.samples)
        if start >= end:
            return np.zeros(0, dtype="<i2")
        first, last = bisect_right(self._firsts, start) - 1, bisect_right(self._firsts, end - 1) - 1
        parts = []
        with self.path.open("rb") as handle:
            for n in range(first, last + 1):
                begins = self._firsts[n]
                stops = self._firsts[n + 1] if n + 1 < len(self._firsts) else self.samples
                handle.seek(self._offsets[n])
                parts.append(handle.read(2 * (stops - begins)))
        pcm = np.frombuffer(b"".join(parts), dtype="<i2")
        skipped = start - self._firsts[first]
        return pcm[skipped : skipped + end - start]

    def blocks(self) -> Iterator[Pcm]:
        """All sound from the beginning, ten seconds at a time."""
        for start in range(0, self.samples, BLOCK):
            yield self.read(start, start + BLOCK)

    def close(self) -> None:
        """Closes the file."""
        if self._file:
            self._file.close()
            self._file = None

    def _opened(self) -> IO[bytes]:
        if self._file is None:
            self.path.touch()
            self._file = self.path.open("r+b", buffering=0)
            self._file.truncate(self._end)
        return self._file

    def _cut_back(self) -> None:
        # What stays beyond the end is written over, or cut off when the journal is opened again.
        with suppress(OSError):
            if self._file:
                self._file.truncate(self._end)

    def _scan(self) -> None:
        with self.path.open("rb") as handle:
            while True:
                head = handle.read(_HEADER.size)
                if len(head) < _HEADER.size:
                    return
                sequence, count, check = _HEADER.unpack(head)
                pcm = handle.read(2 * count)
                whole = len(pcm) == 2 * count and check == _check(sequence, pcm)
                if not whole or sequence != self.next_sequence:
                    return
                if count:
                    self._firsts.append(self.samples)
                    self._offsets.append(self._end + _HEADER.size)
                    self.samples += count
                self._end += len(head) + len(pcm)
                self.next_sequence += 1


def _check(sequence: int, pcm: bytes) -> int:
    return zlib.crc32(pcm, zlib.crc32(struct.pack("<II", sequence, len(pcm) // 2)))


def _write(file: IO[bytes], content: bytes) -> None:
    """All of it: an unbuffered write may take less than it was given."""
    view = memoryview(content)
    while view:
        view = view[file.write(view) :]
