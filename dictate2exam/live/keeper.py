"""The thread that puts sound on disk and only then acknowledges it and hands it on."""

import queue
import threading
from collections.abc import Callable
from pathlib import Path

from dictate2exam.live.journal import SoundJournal
from dictate2exam.live.messages.to_page import Acknowledged, Resend, ToPage, Trouble

Frame = tuple[int, bytes]

MOST_WAITING = 1_200  # frames; what comes beyond is asked for again
TRY_AGAIN_S = 1.0
ASK_AGAIN_S = 1.0  # how long a missing frame is waited for before it is asked for once more


class Keeper:
    """Takes frames in any order, keeps them in order, each once.

    `kept` is told how many samples are kept after sound came; `aside` gets the sound that came
    while `paused` says so, which is acknowledged and not kept; `tell` reaches the page. Whatever
    is not acknowledged the page still has, so that nothing is lost by dropping it here.
    """

    def __init__(
        self,
        journal: SoundJournal,
        paused: Callable[[], bool],
        kept: Callable[[int], None],
        aside: Callable[[bytes], None],
        tell: Callable[[ToPage], None],
    ) -> None:
        self._journal, self._paused = journal, paused
        self._kept, self._aside, self._tell = kept, aside, tell
        self._frames: queue.Queue[Frame | None] = queue.Queue()
        self._asked: tuple[int, float] = (-1, 0.0)
        self._full = False
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="keeper", daemon=True)
        self._thread.start()

    def put(self, sequence: int, pcm: bytes) -> None:
        """One frame from the page; never waits."""
        if self._frames.qsize() < MOST_WAITING:
            self._frames.put((sequence, pcm))

    def close(self) -> None:
        """Keeps what is waiting and ends."""
        self._stop.set()
        self._frames.put(None)
        self._thread.join()

    def _run(self) -> None:
        while True:
            frames = self._waiting()
            if frames:
                self._keep(frames)
            elif self._stop.is_set():
                return

    def _waiting(self) -> list[Frame]:
        """All frames that wait; whatever has gathered meanwhile goes to disk at once."""
        found = [self._frames.get()]
        while not self._frames.empty():
            found.append(self._frames.get())
        return [frame for frame in found if frame is not None]

    def _keep(self, frames: list[Frame]) -> None:
        expected = self._journal.next_sequence
        fitting: list[Frame] = []
        for sequence, pcm in frames:
            if sequence == expected + len(fitting):
                fitting.append((sequence, pcm))
        after = expected + len(fitting)
        if max(sequence for sequence, _ in frames) > after:
            self._ask(after)
        if not fitting:
            if all(sequence < expected for sequence, _ in frames):
                self._acknowledge()  # known already: the acknowledgement was lost
            return
        paused = self._paused()
        try:
            self._journal.append([(n, b"") for n, _ in fitting] if paused else fitting)
        except OSError as error:
            self._refused(error)
            return
        if self._full:
            self._full = False
            self._tell(Trouble(trouble="over", message="Sound is stored again."))
        self._acknowledge()
        if paused:
            for _, pcm in fitting:
                self._aside(pcm)
        else:
            self._kept(self._journal.samples)

    def _acknowledge(self) -> None:
        self._tell(
            Acknowledged(next_sequence=self._journal.next_sequence, seconds=self._journal.seconds)
        )

    def _ask(self, sequence: int) -> None:
        from time import monotonic

        asked, when = self._asked
        if asked == sequence and monotonic() - when < ASK_AGAIN_S:
            return
        self._asked = (sequence, monotonic())
        self._tell(Resend(next_sequence=sequence))

    def _refused(self, error: OSError) -> None:
        """Tells of it once, lets the page keep what came, and asks for it again after a while."""
        if not self._full:
            self._full = True
            self._tell(
                Trouble(
                    trouble="disk", message=cannot_store(self._journal.path, error), lasting=True
                )
            )
        self._stop.wait(TRY_AGAIN_S)
        self._asked = (-1, 0.0)
        self._ask(self._journal.next_sequence)


def cannot_store(path: Path, error: OSError) -> str:
    """What is told when the disk takes nothing any more."""
    reason = error.strerror or str(error)
    return (
        f"Sound cannot be stored in {path.parent}: {reason}; make room there: this page keeps "
        f"what is said meanwhile."
    )
