"""Sound files of every kind come in as mono 16 kHz; bad ones give one clear sentence."""

import struct
from pathlib import Path

import numpy as np
import pytest
import soundfile

from dictate2exam.audio.load import load_recording
from dictate2exam.audio.mp4 import read_aac
from dictate2exam.errors import AudioError

RATE = 44_100


def tone(seconds: float = 1.0, hertz: float = 440.0, rate: int = RATE) -> np.ndarray:
    times = np.arange(int(seconds * rate)) / rate
    return (0.4 * np.sin(2 * np.pi * hertz * times)).astype(np.float32)


def strongest(samples: np.ndarray, rate: int = 16_000) -> float:
    spectrum = np.abs(np.fft.rfft(samples))
    return float(np.argmax(spectrum) * rate / len(samples))


@pytest.mark.parametrize(
    ("name", "form", "subtype", "rate"),
    [
        ("a.wav", "WAV", "PCM_16", 44_100),
        ("a.wav", "WAV", "FLOAT", 8_000),
        ("a.wav", "WAV", "PCM_24", 48_000),
        ("a.flac", "FLAC", "PCM_16", 44_100),
        ("a.ogg", "OGG", "VORBIS", 44_100),
        ("a.opus", "OGG", "OPUS", 48_000),
        ("a.mp3", "MP3", "MPEG_LAYER_III", 44_100),
    ],
)
def test_every_format_becomes_mono_16k(
    tmp_path: Path, name: str, form: str, subtype: str, rate: int
) -> None:
    path = tmp_path / name
    both = np.stack([tone(rate=rate)] * 2, axis=1)
    soundfile.write(path, both, rate, format=form, subtype=subtype)
    recording = load_recording([path])
    assert recording.sample_rate == 16_000
    assert recording.duration_s == pytest.approx(1.0, abs=0.1)
    assert recording.samples.dtype == np.float32
    assert recording.samples.ndim == 1
    assert strongest(recording.samples) == pytest.approx(440, abs=5)


def test_a_dead_channel_does_not_halve_the_level(tmp_path: Path) -> None:
    path = tmp_path / "one_ear.wav"
    soundfile.write(path, np.stack([tone(), np.zeros(RATE, np.float32)], axis=1), RATE)
    assert np.abs(load_recording([path]).samples).max() == pytest.approx(0.4, abs=0.02)


def test_several_files_are_joined_in_order(tmp_path: Path) -> None:
    low, high = tmp_path / "b.wav", tmp_path / "a.wav"
    soundfile.write(low, tone(1, 300), RATE)
    soundfile.write(high, tone(2, 900), RATE)
    recording = load_recording([low, high])
    assert recording.duration_s == pytest.approx(3, abs=0.01)
    assert strongest(recording.cut(0, 1)) == pytest.approx(300, abs=5)
    assert strongest(recording.cut(1, 3)) == pytest.approx(900, abs=5)
    assert len(recording.sha256) == 2


def test_what_is_no_sound_is_refused_in_one_sentence(tmp_path: Path) -> None:
    text = tmp_path / "notes.wav"
    text.write_text("deltoid four plus\n")
    empty = tmp_path / "empty.flac"
    empty.touch()
    silent = tmp_path / "silent.wav"
    soundfile.write(silent, np.zeros(32_000, np.float32), 16_000)
    offset = tmp_path / "offset.wav"
    soundfile.write(offset, np.full(32_000, 0.3, np.float32), 16_000)
    short = tmp_path / "short.wav"
    soundfile.write(short, np.full(10, 0.3, np.float32), 16_000)
    cut = tmp_path / "cut.m4a"
    cut.write_bytes(b"\0\0\0\x18ftypM4A " + bytes(range(256)) * 8)
    cases = {
        text: "no sound file",
        empty: "empty",
        silent: "silent",
        offset: "silent",
        short: "no sound",
        cut: "no sound file",
        tmp_path / "missing.wav": "does not exist",
        tmp_path: "folder",
    }
    for path, reason in cases.items():
        with pytest.raises(AudioError, match=reason) as caught:
            load_recording([path])
        message = str(caught.value)
        assert str(path) in message
        assert "\n" not in message and message.endswith(".")
    with pytest.raises(AudioError):
        load_recording([])


def test_one_bad_file_among_good_ones_is_named(tmp_path: Path) -> None:
    good, bad = tmp_path / "good.wav", tmp_path / "bad.wav"
    soundfile.write(good, tone(), RATE)
    bad.write_bytes(b"RIFF")
    with pytest.raises(AudioError, match=r"bad\.wav"):
        load_recording([good, bad])


def tone_frames() -> list[bytes]:
    """The frames of tone.aac (one second of 440 Hz, FFmpeg's encoder) without their headers."""
    data = (Path(__file__).parent / "tone.aac").read_bytes()
    frames, place = [], 0
    while place < len(data):
        length = (data[place + 3] & 3) << 11 | data[place + 4] << 3 | data[place + 5] >> 5
        frames.append(data[place + 7 : place + length])
        place += length
    return frames


def box(kind: bytes, *parts: bytes) -> bytes:
    body = b"".join(parts)
    return struct.pack(">I4s", len(body) + 8, kind) + body


def m4a(frames: list[bytes], wide: bool) -> bytes:
    """The smallest M4A file with the given frames, two to a chunk."""
    # 16 kHz (index 8), one channel, low complexity
    configuration = struct.pack(">H", 2 << 11 | 8 << 7 | 1 << 3)
    five = b"\x05\x80\x80\x80\x02" + configuration
    four = b"\x04\x80\x80\x80" + bytes([13 + len(five)]) + b"\x40\x15" + bytes(11) + five
    three = b"\x03\x80\x80\x80" + bytes([3 + len(four)]) + b"\0\x01\0" + four
    entry = box(b"mp4a", bytes(28), box(b"esds", bytes(4), three))
    start = box(b"ftyp", b"M4A \0\0\0\0")
    data = box(b"mdat", *frames)
    chunks, place = [], len(start) + 8
    for first in range(0, len(frames), 2):
        chunks.append(place)
        place += sum(len(frame) for frame in frames[first : first + 2])
    offsets = (
        box(b"co64", struct.pack(f">II{len(chunks)}Q", 0, len(chunks), *chunks))
        if wide
        else box(b"stco", struct.pack(f">II{len(chunks)}I", 0, len(chunks), *chunks))
    )
    sizes = [len(frame) for frame in frames]
    table = box(
        b"stbl",
        box(b"stsd", struct.pack(">II", 0, 1), entry),
        box(b"stsc", struct.pack(">IIIII", 0, 1, 1, 2, 1)),
        box(b"stsz", struct.pack(f">III{len(sizes)}I", 0, 0, len(sizes), *sizes)),
        offsets,
    )
    handler = box(b"hdlr", bytes(8), b"soun", bytes(12))
    track = box(b"trak", box(b"mdia", handler, box(b"minf", table)))
    return start + data + box(b"moov", track)


@pytest.mark.parametrize("wide", [False, True])
def test_an_m4a_container_is_taken_apart(tmp_path: Path, wide: bool) -> None:
    path = tmp_path / "memo.m4a"
    path.write_bytes(m4a(tone_frames(), wide))
    recording = load_recording([path])
    assert recording.duration_s == pytest.approx(1.0, abs=0.15)
    assert strongest(recording.samples) == pytest.approx(440, abs=5)


def test_an_m4a_written_in_fragments_is_read(tmp_path: Path) -> None:
    frames = tone_frames()
    start = m4a([], False)  # what comes first knows of no sound
    sizes = [len(frame) for frame in frames]
    header = box(b"tfhd", struct.pack(">II", 0x020000, 1))

    def moof(offset: int) -> bytes:
        run = box(b"trun", struct.pack(f">IIi{len(sizes)}I", 0x201, len(sizes), offset, *sizes))
        return box(b"moof", box(b"mfhd", bytes(8)), box(b"traf", header, run))

    path = tmp_path / "browser.m4a"
    path.write_bytes(start + moof(len(moof(0)) + 8) + box(b"mdat", *frames))
    recording = load_recording([path])
    assert recording.duration_s == pytest.approx(1.0, abs=0.15)
    assert strongest(recording.samples) == pytest.approx(440, abs=5)


def test_bare_aac_is_read() -> None:
    recording = load_recording([Path(__file__).parent / "tone.aac"])
    assert strongest(recording.samples) == pytest.approx(440, abs=5)


def test_a_cut_off_m4a_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "cut.m4a"
    path.write_bytes(m4a(tone_frames(), False)[:900])
    assert read_aac(path) is None
