"""From sound to transcript: utterances, every reading of them, the gate, one set of words."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from itertools import chain
from typing import Any

from dictate2exam.audio.load import SILENCE, loudest
from dictate2exam.audio.model import SAMPLE_RATE, Recording
from dictate2exam.errors import AudioError
from dictate2exam.lexicon.hearing import Hearing, read_hearing
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.turns import read_turns
from dictate2exam.registry import load_recogniser
from dictate2exam.settings import Settings
from dictate2exam.speech.added_terms import AddedTerms
from dictate2exam.speech.base import Listener, Samples
from dictate2exam.speech.combine import combine
from dictate2exam.speech.examiner import keep_examiner, read_examiner
from dictate2exam.speech.following import Following
from dictate2exam.speech.gate import Gate, verdict
from dictate2exam.speech.language import build_language
from dictate2exam.speech.model import Reading, Signal, Transcript, Utterance, Word
from dictate2exam.speech.pronounce import Pronouncer
from dictate2exam.speech.second_look import SecondLook
from dictate2exam.speech.signal import measure_signal
from dictate2exam.speech.speakers import tell_speakers
from dictate2exam.speech.stream import Stream

SECOND_READER = "pocketsphinx"
NOBODY = "none"
START_SHARE = 0.05  # of the progress, for making ready


class Stage:
    """Everything that hears, made ready once; reads one utterance at a time.

    The domain listener gives the words; PocketSphinx (as second reader where the domain listener
    is another) and the free listener say how far to believe them; the gate parts examination from
    talk.
    """

    def __init__(self, lexicon: Lexicon, settings: Settings) -> None:
        language = build_language(lexicon)
        self.hearing: Hearing = read_hearing(lexicon.folder)
        self._threads = ThreadPoolExecutor(max_workers=3)
        start = self._threads.submit
        domain, free = settings.domain_listener, settings.free_listener
        domain_waits = start(build_listener, domain, lexicon, settings)
        free_waits = (
            start(build_listener, free, lexicon, settings, True) if free != NOBODY else None
        )
        self._pronouncer = Pronouncer.of_lexicon(lexicon)
        self._added = AddedTerms(lexicon, self._pronouncer)
        self._second_look = SecondLook(lexicon)
        self.second: Listener | None = None
        if domain != SECOND_READER:
            self.second = build_listener(SECOND_READER, lexicon, settings)
        self.gate = Gate(language, self.hearing.gate)
        self.domain = domain_waits.result()
        self.free: Listener | None = free_waits.result() if free_waits else None
        # The one that hears while one speaks.
        self._follower: Any = next((h for h in (self.second, self.domain) if _follows(h)), None)
        self._following: Following | None = None
        self._ahead: Future[Any] = self._threads.submit(lambda: None)

    @property
    def listeners(self) -> dict[str, str]:
        """Name and version of everything that hears."""
        used = [self.domain, self.second, self.free]
        return {listener.name: listener.version for listener in used if listener is not None}

    def follow(self, samples: Samples, pauses: bool) -> str:
        """Hears an utterance as far as it goes, so that less is left to do at its end.

        Where it `pauses` it is read already by a listener that needs no pause after it. Its words
        so far, which may change; none where they are surely talk.
        """
        if pauses and getattr(self.free, "needs_no_pause", False) and self._ahead.done():
            assert self.free is not None
            self._ahead = self._threads.submit(self.free.hear, samples)
        following = self._followed(samples)
        if following is None:
            following = Following(self.gate, self._follower.begin() if self._follower else None)
            self._following = following
        return following.hear(samples)

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        """One utterance of sound read by all; None when nobody heard a word.

        What was heard of it while it was spoken changes nothing but the time that it takes.
        """
        following = self._followed(samples)
        self._following = None
        # All at once: none of them holds the interpreter while it computes.
        hearers = [hearer for hearer in (self.domain, self.second, self.free) if hearer]
        waits = [
            self._threads.submit(following.end_reading, samples)
            if following and hearer is self._follower
            else self._threads.submit(hearer.hear, samples)
            for hearer in hearers
        ]
        score = following.end_score(samples) if following else self.gate.score(samples)
        readings = [wait.result() for wait in waits]
        readings = [shift(reading, start_s) for reading in readings]
        judged = verdict(score, self.hearing.gate, snr_db)
        free = readings[-1] if self.free else None
        words = combine(
            readings[0],
            readings[1:],
            score,
            snr_db,
            self.hearing.weights(self.domain.name),
            self._pronouncer,
            too_noisy=snr_db < self.hearing.signal.too_noisy_db,
        )
        words = self._added.restore(words, readings[1:])
        scored = judged != "talk" and hasattr(self.domain, "forced")
        looks = self._second_look.looks(words, self.domain, samples) if scored else ()
        bent = getattr(self.domain, "bends_talk", False)
        if judged == "talk" and bent and free is not None and free.words:
            words = free.words  # what was really said
        if not words:
            return None
        return Utterance(
            index=index,
            start_s=round(start_s, 3),
            end_s=round(start_s + len(samples) / SAMPLE_RATE, 3),
            words=words,
            readings=tuple(readings),
            looks=looks,
            domain_score=None if score is None else round(score, 4),
            domain=judged,
        )

    def _followed(self, samples: Samples) -> Following | None:
        """What is being heard of this utterance; another's is given up."""
        if self._following is not None and not self._following.begins(samples):
            self._following.abandon()
            self._following = None
        return self._following

    def remember(self, name: str, signal: Signal) -> None:
        """Keeps how the sound of this examiner is, unless it was too noisy to tell."""
        reader = self.second or self.domain
        means = getattr(reader, "cepstral_means", "")
        if means and not signal.too_noisy:
            keep_examiner(read_examiner(name).model_copy(update={"cepstral_means": means}))

    def close(self) -> None:
        """Ends the threads."""
        self._threads.shutdown(wait=True)


def _follows(listener: Listener | None) -> bool:
    return hasattr(listener, "begin")


def build_listener(name: str, lexicon: Lexicon, settings: Settings, free: bool = False) -> Any:
    """A registered recogniser made ready; as free listener through `build_free` if it has one."""
    kind = load_recogniser(name)
    build = getattr(kind, "build_free", kind.build) if free else kind.build
    return build(lexicon, settings)


def shift(reading: Reading, by_s: float) -> Reading:
    """The same reading with its times counted from the start of the recording."""
    words = tuple(
        Word(
            text=word.text,
            start_s=round(word.start_s + by_s, 3),
            end_s=round(word.end_s + by_s, 3),
            confidence=word.confidence,
        )
        for word in reading.words
    )
    return reading.model_copy(update={"words": words})


def listen(
    recording: Recording,
    lexicon: Lexicon,
    settings: Settings,
    progress: Callable[[float], None] | None = None,
    stage: Stage | None = None,
) -> Transcript:
    """Hears a whole recording; `progress` is told the share done, from 0 to 1.

    A `stage` made ready before is used, and left open, in place of one of the settings' listeners.

    Speakers are told apart where two are surely there. Raises AudioError when the recording is
    silent or holds no speech, RecogniserError when a listener is unknown or lacks its model.
    """
    tell = progress or (lambda share: None)
    tell(0.0)
    if loudest(recording.samples) < SILENCE:
        raise AudioError(
            f"{_name(recording)} is silent; check that the microphone was on and chosen."
        )
    given, stage = stage, stage or Stage(lexicon, settings)
    tell(START_SHARE)
    stream = Stream(stage, ahead=False)
    utterances: list[Utterance] = []
    try:
        found = chain(stream.feed(recording.samples), stream.flush())
        for utterance in found:
            utterances.append(utterance)
            tell(START_SHARE + (1 - START_SHARE) * utterance.end_s / recording.duration_s)
    finally:
        stream.close()
        if given is None:
            stage.close()
    if not stream.spans:
        raise AudioError(f"No speech was found in {_name(recording)}; is it the right recording?")
    tell(1.0)
    signal = measure_signal(recording.samples, stream.spans, stage.hearing.signal)
    if settings.examiner:
        stage.remember(settings.examiner, signal)
    return Transcript(
        utterances=tell_speakers(utterances, recording.samples, read_turns(lexicon.folder)),
        source=recording.source,
        duration_s=round(recording.duration_s, 3),
        listeners=stage.listeners,
        signal=signal,
    )


def _name(recording: Recording) -> str:
    return ", ".join(recording.source) or "the recording"
