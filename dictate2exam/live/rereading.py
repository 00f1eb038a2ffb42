"""The record as it stands: all speech of an examination read anew whenever something changes."""

from typing import TYPE_CHECKING

from dictate2exam.live import keeping, whole
from dictate2exam.live.reading import Reader, Speech
from dictate2exam.record.model import ExamRecord
from dictate2exam.speech.model import Transcript, Utterance

if TYPE_CHECKING:
    from dictate2exam.live.examination import Examination


class Rereading:
    """Reads the record of one examination, beforehand where it is likely what will be asked for."""

    def __init__(self, examination: "Examination") -> None:
        exam = self._exam = examination
        self._reader = Reader(exam.lexicon, exam.settings, exam.begun.created)
        self._told: whole.Told | None = None
        self._prepared: Utterance | None = None

    def now(self) -> ExamRecord:
        """The record of all that was said so far."""
        return self._reader.read(self._speech())

    def prepare(self, early: Utterance | None) -> None:
        """Reads the record with an utterance that has most likely ended, before that is sure."""
        progress = self._exam.progress
        waits = progress.phase == "listening" and not progress.answering
        if early is None or not waits or early.start_s < progress.heard_to - 1e-3:
            return
        if early is not self._prepared:
            self._prepared = early
            self._reader.prepare(self._speech(early))

    def forget_whole(self) -> None:
        """More was said: who speaks and how good the sound is must be told anew."""
        self._told = None

    def _speech(self, *more: Utterance) -> Speech:
        progress, transcript = self._exam.progress, self._transcript()
        utterances = (*transcript.utterances, *more)
        return Speech(
            transcript.model_copy(update={"utterances": utterances}),
            tuple(progress.withdrawals),
            tuple(progress.answers),
            listening=progress.phase not in ("asking", "signed"),
        )

    def _transcript(self) -> Transcript:
        """The speech so far; from the finish on as a file would be read, with its speakers."""
        exam, progress = self._exam, self._exam.progress
        if progress.from_file or progress.phase == "signed":
            return whole.transcript_of_file(exam.folder)
        known = exam.hearer.done() and not exam.hearer.exception()
        heard = Transcript(
            utterances=tuple(progress.speech),
            source=(keeping.SOUND_FILE,),
            duration_s=round(exam.journal.seconds, 3),
            listeners=dict(exam.hearer.result().listeners) if known else {},
        )
        if progress.phase != "asking" or exam.ears is None:
            return heard
        if self._told is None:
            limits = exam.hearer.result().hearing.signal
            spans = exam.ears.spans
            self._told = whole.tell(progress.speech, exam.journal, spans, limits, exam.lexicon)
        if self._told is None:
            return heard
        return heard.model_copy(
            update={"utterances": self._told.utterances, "signal": self._told.signal}
        )
