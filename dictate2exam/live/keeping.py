"""The one place where the sound of a live examination becomes a file, and what it gave a record."""

import os
import wave
from io import BytesIO
from pathlib import Path

import numpy as np

from dictate2exam import pipeline
from dictate2exam.audio.model import SAMPLE_RATE
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.live.ears import READINGS_FILE
from dictate2exam.live.journal import JOURNAL_FILE, SoundJournal
from dictate2exam.live.ledger import Ledger
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.sound import AUDIO_FOLDER, sound_of
from dictate2exam.speech.base import Samples

# The sound as the page sent it; and that of a file given after clinic, decoded to be played.
SOUND_FILE = f"{AUDIO_FOLDER}/live.wav"
PLAYED_FILE = "playback.wav"


def sign(
    folder: Path,
    record: ExamRecord,
    ledger: Ledger,
    journal: SoundJournal,
    by: str,
    lexicon: Lexicon,
) -> None:
    """Adds sound and record to the examination's events, signs them and writes all files.

    Raises OpenQuestionsError while a blocking question is open; OSError or InputError where
    something cannot be written. What was kept then stays, and signing again goes on from there.
    """
    try:
        if journal.samples:
            _store(folder / SOUND_FILE, journal)
            if not any(event.kind == "audio_added" for event in ledger.log.events):
                sound = sound_of(folder / SOUND_FILE) | {"stored": SOUND_FILE}
                ledger.log.append("audio_added", record.examiner, sound)
        pipeline.save_unlocated(record, folder, lexicon)
        pipeline.sign(folder, by, lexicon)
    finally:
        ledger.reload()


def _store(path: Path, journal: SoundJournal) -> None:
    """Writes the journal's sound as a WAV file, whole or not at all."""
    path.parent.mkdir(exist_ok=True)
    waiting = path.with_name(f".{path.name}")
    with waiting.open("wb") as handle:
        with wave.open(handle, "wb") as written:
            _as_played(written)
            for block in journal.blocks():
                written.writeframes(block.tobytes())
        handle.flush()
        os.fsync(handle.fileno())
    os.replace(waiting, path)


def store_decoded(folder: Path, samples: Samples) -> None:
    """Keeps the decoded sound of a file, so that stretches of it can be played."""
    pcm = (np.clip(samples, -1, 1) * 32_767).astype("<i2").tobytes()
    waiting = folder / f".{PLAYED_FILE}"
    waiting.write_bytes(as_wav(pcm))
    os.replace(waiting, folder / PLAYED_FILE)


def put_journal_away(folder: Path, journal: SoundJournal) -> None:
    """Removes what the WAV file has replaced, once it holds the same sound."""
    journal.close()
    if (folder / SOUND_FILE).exists():
        (folder / JOURNAL_FILE).unlink(missing_ok=True)
    (folder / READINGS_FILE).unlink(missing_ok=True)


def stored_sound(folder: Path, journal: SoundJournal, start: int, end: int) -> bytes:
    """The stored samples from `start` to before `end`, signed 16 bit; empty without sound."""
    for name in (SOUND_FILE, PLAYED_FILE):
        if (folder / name).exists():
            with wave.open(str(folder / name), "rb") as stored:
                start = min(max(0, start), stored.getnframes())
                stored.setpos(start)
                return stored.readframes(max(0, end - start))
    return journal.read(start, end).tobytes()


def as_wav(pcm: bytes) -> bytes:
    """Signed 16 bit mono samples as a WAV file."""
    made = BytesIO()
    with wave.open(made, "wb") as written:
        _as_played(written)
        written.writeframes(pcm)
    return made.getvalue()


def _as_played(written: wave.Wave_write) -> None:
    written.setnchannels(1)
    written.setsampwidth(2)
    written.setframerate(SAMPLE_RATE)
