"""AAC sound, bare or in an MP4 container (M4A), which libsndfile does not read.

The container is taken apart here and each frame of sound gets the header of a bare AAC stream;
the decoder is Symphonia (Mozilla Public License 2.0) in the package sphn (MIT or Apache 2.0).
"""

import struct
import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import numpy.typing as npt

from dictate2exam.errors import AudioError

CONTAINERS = frozenset({b"moov", b"trak", b"mdia", b"minf", b"stbl"})
RATES = (96000, 88200, 64000, 48000, 44100, 32000, 24000, 22050, 16000, 12000, 11025, 8000, 7350)
LOW_COMPLEXITY = 2
LONGEST_FRAME = (1 << 13) - 8


def read_aac(path: Path) -> tuple[npt.NDArray[np.float32], int] | None:
    """Samples by channels and their rate, or None when the file holds no readable AAC sound."""
    data = path.read_bytes()
    if data[4:8] == b"ftyp":
        return _from_container(path, data)
    if data[:1] == b"\xff" and data[1] & 0xF6 == 0xF0:
        return _decode(path)
    return None


def _from_container(path: Path, data: bytes) -> tuple[npt.NDArray[np.float32], int] | None:
    try:
        stream = b"".join(_adts_frames(data))
    except (struct.error, IndexError, ValueError):
        return None
    if not stream:
        return _decode(path)
    with tempfile.TemporaryDirectory(prefix="dictate2exam-") as folder:
        bare = Path(folder) / "sound.aac"
        bare.write_bytes(stream)
        return _decode(bare)


def _decode(path: Path) -> tuple[npt.NDArray[np.float32], int] | None:
    try:
        import sphn
    except ImportError:
        raise AudioError(
            "AAC and M4A cannot be read on this machine, for which the package sphn has no "
            "release; convert the recording to WAV or FLAC."
        ) from None
    try:
        channels, rate = sphn.read(str(path))
    except Exception:  # the decoder raises its own kinds for damaged or unknown sound
        return None
    return np.ascontiguousarray(channels.T, dtype=np.float32), int(rate)


def _boxes(data: bytes, start: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    """Kind, first and last byte of each box between two places."""
    while start + 8 <= end:
        size, kind = struct.unpack(">I4s", data[start : start + 8])
        head = 8
        if size == 1:
            (size,) = struct.unpack(">Q", data[start + 8 : start + 16])
            head = 16
        elif size == 0:
            size = end - start
        if size < head:
            return
        yield kind, start + head, min(start + size, end)
        start += size


def _tracks(data: bytes) -> Iterator[dict[bytes, tuple[int, int]]]:
    """The tables of each track by their kind."""
    for kind, start, end in _boxes(data, 0, len(data)):
        if kind != b"moov":
            continue
        for inner, first, last in _boxes(data, start, end):
            if inner == b"trak":
                tables: dict[bytes, tuple[int, int]] = {}
                _collect(data, first, last, tables)
                yield tables


def _collect(data: bytes, start: int, end: int, tables: dict[bytes, tuple[int, int]]) -> None:
    for kind, first, last in _boxes(data, start, end):
        if kind in CONTAINERS:
            _collect(data, first, last, tables)
        else:
            tables[kind] = (first, last)


def _adts_frames(data: bytes) -> Iterator[bytes]:
    for tables in _tracks(data):
        handler = tables.get(b"hdlr")
        if handler is None or data[handler[0] + 8 : handler[0] + 12] != b"soun":
            continue
        described, last = tables[b"stsd"]
        if data[described + 12 : described + 16] != b"mp4a":
            return
        rate, channels = _configuration(data[described:last])
        for place, size in (*_places(data, tables), *_fragment_places(data)):
            if not 0 < size <= LONGEST_FRAME:
                raise ValueError
            yield _header(rate, channels, size) + data[place : place + size]
        return


def _configuration(description: bytes) -> tuple[int, int]:
    """Index of the rate and number of channels, from the decoder's configuration."""
    place = description.index(b"esds") + 8
    while True:
        tag = description[place]
        place += 1
        while description[place] & 0x80:
            place += 1
        place += 1
        if tag == 3:
            flags = description[place + 2]
            place += 3 + (2 if flags & 0x80 else 0) + (2 if flags & 0x20 else 0)
        elif tag == 4:
            place += 13
        elif tag == 5:
            break
        else:
            raise ValueError
    bits = int.from_bytes(description[place : place + 2].ljust(2, b"\0"), "big")
    rate, channels = (bits >> 7) & 0xF, (bits >> 3) & 0xF
    if rate >= len(RATES) or not 1 <= channels <= 7:
        raise ValueError
    return rate, channels


def _table(data: bytes, span: tuple[int, int], skip: int, form: str) -> list[int]:
    (count,) = struct.unpack(">I", data[span[0] + skip : span[0] + skip + 4])
    start = span[0] + skip + 4
    width = struct.calcsize(form)
    return [
        value
        for entry in struct.iter_unpack(">" + form, data[start : start + count * width])
        for value in entry
    ]


def _places(data: bytes, tables: dict[bytes, tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Place and size in bytes of each frame, chunk after chunk."""
    sizes_at = tables[b"stsz"]
    fixed, count = struct.unpack(">II", data[sizes_at[0] + 4 : sizes_at[0] + 12])
    sizes = [fixed] * count if fixed else _table(data, sizes_at, 8, "I")
    chunks = (
        _table(data, tables[b"stco"], 4, "I")
        if b"stco" in tables
        else _table(data, tables[b"co64"], 4, "Q")
    )
    runs = _table(data, tables[b"stsc"], 4, "III")
    firsts, lengths = runs[0::3], runs[1::3]
    sample = 0
    run = 0
    for number, place in enumerate(chunks, start=1):
        while run + 1 < len(firsts) and firsts[run + 1] <= number:
            run += 1
        for _ in range(lengths[run]):
            if sample >= len(sizes):
                return
            yield place, sizes[sample]
            place += sizes[sample]
            sample += 1


def _fragment_places(data: bytes) -> Iterator[tuple[int, int]]:
    """The same of a file written in fragments, as browsers do; one track of sound is expected."""
    for kind, start, end in _boxes(data, 0, len(data)):
        if kind != b"moof":
            continue
        for inner, first, last in _boxes(data, start, end):
            if inner == b"traf":
                yield from _fragment(data, start - 8, dict(_tables(data, first, last)))


def _tables(data: bytes, start: int, end: int) -> Iterator[tuple[bytes, int]]:
    for kind, first, _ in _boxes(data, start, end):
        yield kind, first


def _fragment(data: bytes, origin: int, tables: dict[bytes, int]) -> Iterator[tuple[int, int]]:
    head, run = tables[b"tfhd"], tables[b"trun"]
    flags = int.from_bytes(data[head + 1 : head + 4], "big")
    place = head + 8
    if flags & 0x1:
        (origin,) = struct.unpack(">Q", data[place : place + 8])
    place += 8 * bool(flags & 0x1) + 4 * bool(flags & 0x2) + 4 * bool(flags & 0x8)
    usual = int.from_bytes(data[place : place + 4], "big") if flags & 0x10 else 0
    flags = int.from_bytes(data[run + 1 : run + 4], "big")
    count, offset = struct.unpack(">Ii", data[run + 4 : run + 12])
    at = origin + (offset if flags & 0x1 else 0)
    place = run + 8 + 4 * bool(flags & 0x1) + 4 * bool(flags & 0x4)
    for _ in range(count):
        place += 4 * bool(flags & 0x100)
        size = int.from_bytes(data[place : place + 4], "big") if flags & 0x200 else usual
        place += 4 * bool(flags & 0x200) + 4 * bool(flags & 0x400) + 4 * bool(flags & 0x800)
        yield at, size
        at += size


def _header(rate: int, channels: int, size: int) -> bytes:
    """The seven bytes before a frame of a bare AAC stream (low complexity, no check sum)."""
    length = size + 7
    return bytes(
        (
            0xFF,
            0xF1,
            (LOW_COMPLEXITY - 1) << 6 | rate << 2 | channels >> 2,
            (channels & 3) << 6 | length >> 11,
            length >> 3 & 0xFF,
            (length & 7) << 5 | 0x1F,
            0xFC,
        )
    )
