"""A live examination without a recogniser: endpointed sound, and words that are scripted."""

import json
import struct
import threading
import time
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.lexicon.hearing import Hearing, read_hearing
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.live.clinic import Clinic
from dictate2exam.live.messages.http import NewExamination
from dictate2exam.live.messages.to_page import ToPage
from dictate2exam.settings import Settings
from dictate2exam.speech.base import Samples
from dictate2exam.speech.model import Utterance, Word
from tests.speech.test_endpoint import RATE, pause, voice

FRAME = 1_600  # samples
GAP_S = 1.0


class Scripted:
    """Listeners that hear the n-th text in the n-th stretch of speech, whoever speaks."""

    listeners = {"scripted": "1"}

    def __init__(self, texts: Sequence[str]) -> None:
        self.hearing: Hearing = read_hearing(load_lexicon().folder)
        self.texts = list(texts)
        self.read_count = 0
        self.may_read = threading.Event()
        self.may_read.set()

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        self.may_read.wait(30)
        self.read_count += 1
        text = self.text_at(start_s)
        if not text:
            return None
        end_s = start_s + len(samples) / RATE
        words = text.split()
        step = (end_s - start_s) / len(words)
        return Utterance(
            index=index,
            start_s=round(start_s, 3),
            end_s=round(end_s, 3),
            words=tuple(
                Word(
                    text=word,
                    start_s=round(start_s + n * step, 3),
                    end_s=round(start_s + (n + 1) * step, 3),
                )
                for n, word in enumerate(words)
            ),
        )

    def text_at(self, start_s: float) -> str:
        """The text spoken there: the n-th stretch begins `TURN_S` after the one before."""
        n = round((start_s + 0.3 - GAP_S) / TURN_S)
        return self.texts[n] if 0 <= n < len(self.texts) else ""


SPEECH_S = 1.0
TURN_S = SPEECH_S + GAP_S


def sound_of(count: int) -> bytes:
    """Signed 16 bit sound of so many stretches of speech, each after a pause."""
    parts = [pause(GAP_S)]
    for n in range(count):
        parts += [voice(SPEECH_S, n), pause(GAP_S, n + 2)]
    made = (np.clip(np.concatenate(parts), -1, 1) * 32_767).astype("<i2")
    return bytes(made.tobytes())


def frames_of(pcm: bytes, first: int = 0) -> list[tuple[int, bytes]]:
    """Sound in numbered frames; what is left at the end makes no frame."""
    size = 2 * FRAME
    count = len(pcm) // size
    return [(first + n, pcm[n * size : (n + 1) * size]) for n in range(count)]


def packed(frame: tuple[int, bytes]) -> bytes:
    """A frame as it goes over the socket."""
    return struct.pack("<I", frame[0]) + frame[1]


def done(value: Any) -> "Future[Any]":
    """A future that has come."""
    future: Future[Any] = Future()
    future.set_result(value)
    return future


def clinic_of(folder: Path, hearer: Any, **settings: Any) -> Clinic:
    """A clinic with these listeners, ready."""
    clinic = Clinic(folder, load_lexicon(), Settings(**settings), lambda: hearer)
    clinic.hearer.result(10)
    return clinic


class Tab:
    """A tab without a browser: keeps what it was told."""

    def __init__(self, clinic: Clinic, exam: str = "", name: str = "tab-number-one") -> None:
        self.clinic, self.name = clinic, name
        self.exam = clinic.open(exam) if exam else clinic.begin(NewExamination())
        self.told: list[ToPage] = []
        self.exam.join(name, self.told.append)

    def send(self, message: Any) -> None:
        self.exam.message(self.name, message)

    def sound(self, frames: Sequence[tuple[int, bytes]]) -> None:
        for sequence, pcm in frames:
            self.exam.sound(self.name, sequence, pcm)

    def all(self, kind: type) -> list[Any]:
        return [message for message in list(self.told) if isinstance(message, kind)]

    def last(self, kind: type) -> Any:
        return self.all(kind)[-1]

    def until(self, what: Callable[[], bool], timeout_s: float = 20.0) -> None:
        """Waits until something has come true."""
        end = time.monotonic() + timeout_s
        while time.monotonic() < end:
            if what():
                return
            time.sleep(0.01)
        raise AssertionError(f"it never came true; last told: {self.told[-5:]}")

    def heard(self, count: int) -> None:
        """Waits until so many utterances have been dealt with."""
        from dictate2exam.live.messages.to_page import Heard

        self.until(lambda: len(self.all(Heard)) >= count)
        assert self.exam.settled()

    @property
    def values(self) -> dict[str, str]:
        """What stands in the record: value by item and side."""
        return {f"{f.item} {f.side}": f.value for f in self.exam.record.standing}


def as_json(text: str) -> Any:
    return json.loads(text)
