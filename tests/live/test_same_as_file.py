"""What is spoken in live gives the record that the same sound gives as a file."""

import wave
from pathlib import Path
from typing import Any, cast

from dictate2exam import pipeline
from dictate2exam.audio.load import load_recording
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.live.messages.from_page import Consent, GiveOrder
from dictate2exam.live.messages.to_page import PhaseIs
from dictate2exam.settings import Settings
from dictate2exam.speech.listen import Stage, listen
from tests.live.spoken import RATE, Scripted, Tab, clinic_of, frames_of, sound_of

TEXTS = (
    "on the right deltoid is four plus",
    "biceps three sorry biceps two",
    "triceps four maybe four minus",
    "c five seven out of ten",
    "and on the left deltoid five",
    "i had my dinner at five",
    "no horners",
)


def without_source(record: Any) -> Any:
    return record.model_copy(
        update={
            "created": "",
            "transcript": record.transcript.model_copy(update={"source": ()}),
        }
    )


def test_live_and_file_give_the_same_record(tmp_path: Path) -> None:
    frames = frames_of(sound_of(len(TEXTS)))
    path = tmp_path / "the same.wav"
    with wave.open(str(path), "wb") as written:
        written.setnchannels(1)
        written.setsampwidth(2)
        written.setframerate(RATE)
        written.writeframes(b"".join(pcm for _, pcm in frames))
    lexicon, settings = load_lexicon(), Settings()
    heard = listen(load_recording([path]), lexicon, settings, stage=cast(Stage, Scripted(TEXTS)))
    expected = pipeline.read(heard, lexicon, settings)

    tab = Tab(clinic_of(tmp_path / "examinations", Scripted(TEXTS)))
    tab.send(Consent(agreed=True, version="1"))
    tab.until(lambda: any(m.phase == "ready" for m in tab.all(PhaseIs)))
    tab.sound(frames)
    tab.heard(len(TEXTS))
    tab.send(GiveOrder(order="finish"))
    tab.until(lambda: tab.exam.ears is not None and tab.exam.ears.ended)
    assert tab.exam.settled()
    assert without_source(tab.exam.record) == without_source(expected)
    tab.clinic.close()
