"""One live examination: sound, words, orders and answers in; what the page shows out.

Everything that changes it happens in one thread, one thing after another; sound is put on disk by
another (`Keeper`), words are read by a third (`Stream`). Nothing that the socket calls waits.
"""

import queue
import threading
from collections.abc import Callable, Mapping
from concurrent.futures import Future
from contextlib import suppress
from pathlib import Path
from time import monotonic
from typing import Protocol

from dictate2exam.errors import Dictate2ExamError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.live import keeping
from dictate2exam.live.acting import Acting
from dictate2exam.live.aside import Aside
from dictate2exam.live.deciding import open_questions
from dictate2exam.live.ears import READINGS_FILE, Ears, Remembering, as_samples
from dictate2exam.live.journal import JOURNAL_FILE, SoundJournal
from dictate2exam.live.keeper import Keeper
from dictate2exam.live.ledger import Begun, Entry, Ledger
from dictate2exam.live.level import EVERY, WINDOW, judge, spans_within
from dictate2exam.live.messages.from_page import Ask, FromPage, TakeOver
from dictate2exam.live.messages.kinds import Phase
from dictate2exam.live.messages.to_page import Trouble, Welcome
from dictate2exam.live.progress import Progress
from dictate2exam.live.rereading import Rereading
from dictate2exam.live.tabs import Send, Tabs
from dictate2exam.live.telling import Telling
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.settings import Settings
from dictate2exam.speech.stream import Reader

POLL_S = 0.04
QUIET_AFTER_S = 1.5  # without a frame after the finish: the microphone is off
TRY_AGAIN_S = 1.0


class Hearer(Reader, Protocol):
    """What hears: reads utterances, and knows its listeners with their versions."""

    @property
    def listeners(self) -> Mapping[str, str]:
        """Name and version of everything that hears."""
        ...


class Examination:
    """An examination in its folder; opening it finds everything that was kept and goes on.

    `hearer` may still be in the making: sound is stored meanwhile and read then. `record` is what
    the speech so far says.
    """

    def __init__(
        self, folder: Path, lexicon: Lexicon, base: Settings, hearer: "Future[Hearer]"
    ) -> None:
        self.folder, self.lexicon = folder, lexicon
        self.tabs = Tabs()
        self.ledger = Ledger(folder, lexicon.hash)
        self.progress = Progress(self.ledger.entries)
        self.begun: Begun = self.progress.must_be_begun(folder)
        self.settings = self.progress.settings(base)
        self.journal = SoundJournal(folder / JOURNAL_FILE)
        self.hearer = hearer
        self.ears: Ears | None = None
        self.aside: Aside | None = None
        self._failure = ""
        self._judged = self._kept = self.journal.samples
        self._last_sound = monotonic()
        self._todo: queue.Queue[Callable[[], None]] = queue.Queue()
        self._closing = threading.Event()
        self._rereading = Rereading(self)
        self.record: ExamRecord = self._rereading.now()
        self.telling = Telling(self)
        self._acting = Acting(self)
        self._keeper = Keeper(
            self.journal,
            lambda: self.progress.phase == "paused",
            self._sound_kept,
            lambda pcm: self._todo.put(lambda: self._hear_aside(pcm)),
            self.tabs.tell_lead,
        )
        self._thread = threading.Thread(target=self._run, name="examination", daemon=True)
        self._thread.start()

    # What the socket calls; nothing here waits.

    @property
    def phase(self) -> Phase:
        """The phase as the page knows it."""
        phase = self.progress.phase
        if phase == "listening" and not self.journal.samples:
            return "ready"
        if phase != "asking" or self.record.blocking:
            return phase
        return "asking" if self.questions and not self.progress.skipping else "to_sign"

    @property
    def finished(self) -> bool:
        """Whether the examining has ended, for now or for good."""
        return self.progress.phase in ("asking", "signed")

    @property
    def questions(self) -> list[Question]:
        """The open questions, the one on top first."""
        return open_questions(self.record, self.lexicon, gaps=self.finished)

    @property
    def takes_sound(self) -> bool:
        """Whether more sound may come."""
        return self.progress.phase != "signed" and not self.progress.from_file

    def join(self, tab: str, send: Send) -> None:
        """Connects a tab and tells it everything."""
        role = self.tabs.join(tab, send)
        send(
            Welcome(
                exam=self.folder.name,
                role=role,
                phase=self.phase,
                protocol=self.begun.protocol,
                side=self.begun.side,
                next_sequence=self.journal.next_sequence,
                seconds=self.journal.seconds,
            )
        )
        self._todo.put(lambda: self.telling.everything(tab))

    def sound(self, tab: str, sequence: int, pcm: bytes) -> None:
        """One frame of sound from the tab that leads."""
        if not self.tabs.leads(tab):
            self.refuse(tab, "This tab only watches; the other one listens.")
        elif self.progress.phase == "consent":
            self.refuse(tab, "Nothing is recorded before the patient has agreed.")
        elif not self.takes_sound:
            self.refuse(tab, "This examination takes no more sound; begin a new one.")
        else:
            self._keeper.put(sequence, pcm)

    def message(self, tab: str, message: FromPage) -> None:
        """Anything else from a tab."""
        if isinstance(message, TakeOver):
            if not self.tabs.take_over(tab):
                self.refuse(tab, "Another tab leads; close it first.")
        elif not isinstance(message, Ask) and not self.tabs.leads(tab):
            self.refuse(tab, "This tab only watches; take over to decide.")
        else:
            self._todo.put(lambda: self._acting.do(tab, message))

    def refuse(self, tab: str, message: str) -> None:
        """Tells a tab why something was not done."""
        self.tabs.tell(tab, Trouble(trouble="refused", message=message))

    def pcm(self, start: int, end: int) -> bytes:
        """The stored samples from `start` to before `end`."""
        return keeping.stored_sound(self.folder, self.journal, start, end)

    def settled(self, timeout_s: float = 30.0) -> bool:
        """Waits until all messages that came have been dealt with, and all sound is heard."""
        done = threading.Event()
        self._todo.put(done.set)
        return done.wait(timeout_s)

    def close(self) -> None:
        """Ends its threads; what has come is on disk."""
        self._keeper.close()
        self._closing.set()
        self._thread.join()
        for part in (self.ears, self.aside):
            if part:
                part.close()
        self.journal.close()

    # What happens in the thread of the examination.

    def write(self, entry: Entry) -> None:
        """Puts the entry on disk, however long that takes, and only then lets it count."""
        told = False
        while True:
            try:
                self.ledger.append(entry)
                break
            except OSError as error:
                if not told:
                    self.tabs.tell_all(
                        Trouble(
                            trouble="disk",
                            message=f"Nothing can be written to {self.folder}: "
                            f"{error.strerror or error}; make room there, everything waits.",
                            lasting=True,
                        )
                    )
                told = True
                if self._closing.wait(TRY_AGAIN_S):
                    raise
        if told:
            self.tabs.tell_all(Trouble(trouble="over", message="It is written again."))
        self.progress.apply(entry)

    def reread(self) -> ExamRecord:
        """Reads the record anew; the one before."""
        before, self.record = self.record, self._rereading.now()
        return before

    def forget_whole(self) -> None:
        """More was said: who speaks and how good the sound is must be told anew."""
        self._rereading.forget_whole()

    def end_sound(self) -> None:
        """Nothing more comes for now: what waits for its end is read."""
        if self.ears and not self.ears.ended:
            for utterance in self.ears.end():
                self._acting.take(utterance)
            self.forget_whole()
            self.reread()

    def _run(self) -> None:
        while not self._closing.is_set():
            try:
                with suppress(queue.Empty):
                    self._todo.get(timeout=POLL_S)()
                    while not self._todo.empty():
                        self._todo.get()()
                self._listen()
            except Dictate2ExamError as error:
                self.tabs.tell_all(Trouble(trouble="input", message=str(error)))
            except Exception as error:  # one bad moment must not end the examination
                message = f"Something failed ({type(error).__name__}: {error}); the sound is kept."
                if message != self._failure and not self._closing.is_set():
                    self._failure = message
                    self.tabs.tell_all(Trouble(trouble="recogniser", message=message))

    def _sound_kept(self, samples: int) -> None:
        self._kept, self._last_sound = samples, monotonic()

    def _listen(self) -> None:
        if not self.hearer.done() or not self.takes_sound:
            return
        if self.ears is None:
            reader = Remembering(self.hearer.result(), self.folder / READINGS_FILE)
            self.ears = Ears(reader, self.journal)
        for utterance in self.ears.hear(self._kept):
            self._acting.take(utterance)
        if self.aside:
            self._hear_aside(b"")
        quiet = monotonic() - self._last_sound > QUIET_AFTER_S
        if quiet and self.progress.phase == "asking" and not self.ears.ended:
            self.end_sound()
            self.telling.chart()
        early = self.ears.early
        self.telling.partial(early, self.ears.words)
        self._rereading.prepare(early)
        self._judge_level()

    def _judge_level(self) -> None:
        if self.ears is None or self._kept - self._judged < EVERY:
            return
        self._judged = self._kept
        start = max(0, self._kept - WINDOW)
        samples = as_samples(self.journal.read(start, self._kept))
        spans = spans_within(self.ears.spans, start, self._kept)
        self.tabs.tell_all(judge(samples, spans, self.hearer.result().hearing.signal))

    def _hear_aside(self, pcm: bytes) -> None:
        """While paused: nothing is kept, and only the order to go on is heard."""
        if not self.hearer.done() or self.progress.phase != "paused":
            return
        if self.aside is None:
            self.aside = Aside(self.hearer.result())
        for utterance in self.aside.hear(pcm):
            self._acting.take_aside(utterance)
