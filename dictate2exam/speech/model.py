"""What was heard: words with times, utterances with every listener's reading, transcripts."""

from pathlib import Path
from typing import Literal

from dictate2exam.frozen import Frozen
from dictate2exam.units import Probability, Seconds

Speaker = Literal["examiner", "patient", "unknown"]

TRANSCRIPTS = (".txt", ".vtt", ".srt")


class Word(Frozen):
    """One heard word with its seconds; `confidence` is None where the listener gives none."""

    text: str
    start_s: Seconds
    end_s: Seconds
    confidence: Probability | None = None


class Reading(Frozen):
    """What one listener heard in an utterance; words may lack exact times (spread evenly then)."""

    listener: str
    text: str
    words: tuple[Word, ...] = ()


class Look(Frozen):
    """Terms, in spoken form and best first, that the sound of doubtful words speaks for."""

    first_word: int
    last_word: int
    candidates: tuple[str, ...]


class Utterance(Frozen):
    """One stretch of speech between pauses.

    `words` is the reading that later rooms work on; `readings` holds each listener's own;
    `domain_score` is how much better the domain language explains the sound than general English
    (natural log per frame x 1000; None where it was not measured, as for typed text);
    `domain` is the gate's verdict: examination language, talk, or too close to tell.
    """

    index: int
    start_s: Seconds
    end_s: Seconds
    speaker: Speaker = "unknown"
    words: tuple[Word, ...]
    readings: tuple[Reading, ...] = ()
    looks: tuple[Look, ...] = ()
    domain_score: float | None = None
    domain: Literal["examination", "talk", "unsure"] = "examination"

    @property
    def text(self) -> str:
        """The words joined by single spaces."""
        return " ".join(word.text for word in self.words)


class Signal(Frozen):
    """How good the sound is: decibels of full scale, of speech over noise, share clipped.

    `band_hz` is the frequency above which nothing was recorded, None where it is not known;
    `too_noisy` tells that no finding of it counts as heard clearly; `cautions` say in plain
    sentences what is wrong.
    """

    level_db: float
    snr_db: float
    clipped: float
    band_hz: float | None = None
    too_noisy: bool = False
    cautions: tuple[str, ...] = ()


class Transcript(Frozen):
    """All utterances of one examination in order; `timed` is False where a text gave no times.

    Without times, `start_s` and `end_s` of words count words from 0 over the whole transcript.
    `signal` is None for typed text.
    """

    utterances: tuple[Utterance, ...]
    source: tuple[str, ...] = ()
    duration_s: Seconds = 0.0
    timed: bool = True
    listeners: dict[str, str] = {}
    signal: Signal | None = None


def is_transcript(path: Path) -> bool:
    """Whether a file's name says that it is a transcript."""
    return path.suffix.lower() in TRANSCRIPTS
