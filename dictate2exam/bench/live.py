"""The live examination measured as a page meets it: delay, processor, memory, frames lost."""

import os
import resource
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.audio.load import load_recording
from dictate2exam.audio.model import SAMPLE_RATE
from dictate2exam.bench.folder import sample_folder
from dictate2exam.lexicon.hearing import Hearing
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.live.clinic import Clinic
from dictate2exam.live.ears import Shared
from dictate2exam.live.examination import Examination, Hearer
from dictate2exam.live.messages.from_page import Consent
from dictate2exam.live.messages.http import NewExamination
from dictate2exam.live.messages.to_page import Chart, Heard, Partial, ToPage
from dictate2exam.settings import Settings
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import PADDING_AFTER_S
from dictate2exam.speech.model import Utterance

FRAME = 800  # samples, 50 ms, as the page sends them
SPOKEN_S = 90.0
SILENT_S = 10.0
SESSION_S = 7_200.0
EXAMINATION_S = 600.0  # of the session each
PARTS = "delay,session"
TAB = "bench-of-the-live-page"
KILOBYTES = 1024  # in a megabyte; Linux counts memory in them


class Repeating:
    """Gives what was heard in a sound again where it is repeated, as talk after the first time."""

    def __init__(self, hearer: Hearer, known: list[Utterance], length_s: float) -> None:
        self.hearing: Hearing = hearer.hearing
        self.listeners = dict(hearer.listeners)
        self._known, self._length_s = known, length_s

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        """The utterance that lay there the first time."""
        turn, place = divmod(start_s, self._length_s)
        nearest = min(self._known, key=lambda known: abs(known.start_s - place))
        update = {"start_s": round(start_s, 3), "end_s": start_s + len(samples) / SAMPLE_RATE}
        if turn:
            update["domain"] = "talk"  # type: ignore[assignment]
        return nearest.model_copy(update=update)


class Page:
    """A page that notes when it is told what."""

    def __init__(self, exam: Examination) -> None:
        self.exam = exam
        self.told: list[tuple[float, ToPage]] = []
        self.sequence = exam.journal.next_sequence
        self._hears = self._note  # one object, by which the tab is known
        exam.join(TAB, self._hears)
        exam.message(TAB, Consent(agreed=True, version="bench"))
        exam.settled()

    def leave(self) -> None:
        """Closes the page."""
        self.exam.tabs.leave(TAB, self._hears)

    def _note(self, message: ToPage) -> None:
        self.told.append((time.perf_counter(), message))

    def send(self, samples: Samples, real_time: bool = True) -> float:
        """Sends sound, in real time or as fast as it is taken; when the first frame was due."""
        pcm = (np.clip(samples, -1, 1) * 32_767).astype("<i2").tobytes()
        began = time.perf_counter()
        for place in range(0, len(pcm) - 2 * FRAME + 1, 2 * FRAME):
            if real_time:
                due = began + (place // 2 + FRAME) / SAMPLE_RATE
                time.sleep(max(0.0, due - time.perf_counter()))
            self.exam.sound(TAB, self.sequence, pcm[place : place + 2 * FRAME])
            self.sequence += 1
            while not real_time and self.sequence - self.exam.journal.next_sequence > 400:
                time.sleep(0.002)
        return began


def bench_live(
    folder: Path | None = None,
    parts: str = PARTS,
    seconds: str = f"{SPOKEN_S:.0f}",
    session: str = f"{SESSION_S:.0f}",
) -> dict[str, Any]:
    """Figures of live examinations, a shipped recording spoken in real time.

    Delays are seconds from the end of speech (as the endpointer finds it) to the message on the
    socket: `finding` to the chart with what was found, `utterance` to the words that stand,
    `words` to those that may change, `running` from the end of a word to the first message that
    holds it. The processor's share is that of one core. The session are examinations of ten
    minutes, the same sound repeated as fast as it is taken, its first readings given again, so
    that they measure all but the listeners. `seconds` of the sound are spoken, `session` seconds
    simulated.
    """
    sound = sorted((folder or sample_folder()).glob("*.flac"))[0]
    recording = load_recording([sound])
    spoken = recording.samples[: round(float(seconds) * SAMPLE_RATE)]
    lexicon, settings = load_lexicon(), Settings(side="right")
    from dictate2exam.speech.listen import Stage

    hearer = Shared(Stage(lexicon, settings))
    figures: dict[str, Any] = {"sound": sound.name}
    with _clinic(hearer) as clinic:
        page = Page(clinic.begin(NewExamination()))
        if "delay" in parts:
            figures |= _spoken(page, spoken)
        else:
            page.send(spoken, real_time=False)
            _wait(page)
        known = list(page.exam.progress.speech)
    if "session" in parts:
        with _clinic(Repeating(hearer, known, len(spoken) / SAMPLE_RATE)) as clinic:
            figures["session"] = _session(clinic, spoken, float(session))
    return figures | {
        "peak_memory_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / KILOBYTES),
        "processors": os.cpu_count(),
        "load_average": round(os.getloadavg()[0], 1),
    }


def _spoken(page: Page, spoken: Samples) -> dict[str, Any]:
    """Silence, then speech, in real time."""
    hiss = np.random.default_rng(1).normal(0, 3e-4, round(SILENT_S * SAMPLE_RATE))
    with _processor() as silent:
        page.send(hiss.astype(np.float32))
    with _processor() as speech:
        began = page.send(spoken)
        page.send(hiss[: 3 * SAMPLE_RATE].astype(np.float32))
    _wait(page)
    heard = [(at, m) for at, m in page.told if isinstance(m, Heard)]
    charts = [at for at, m in page.told if isinstance(m, Chart)]
    partials = [at for at, m in page.told if isinstance(m, Partial) and m.text]
    begins = began - SILENT_S  # of the journal's clock
    ends = [begins + m.end_s - PADDING_AFTER_S for _, m in heard]
    finals = [at - end for (at, _), end in zip(heard, ends, strict=True)]
    shown = [min((c for c in charts if c >= at), default=at) for at, _ in heard]
    found = [
        at - end
        for at, end, (_, m) in zip(shown, ends, heard, strict=True)
        if m.became == "findings"
    ]
    early = []
    for (at, _), end in zip(heard, ends, strict=True):
        near = [p for p in partials if end <= p <= at]
        early.append((near[0] if near else at) - end)
    sent = page.sequence * FRAME
    return {
        "seconds": round(len(spoken) / SAMPLE_RATE, 1),
        "utterances": len(heard),
        "finding": _quantiles(found),
        "utterance": _quantiles(finals),
        "words": _quantiles(early),
        "running": _running(page, begins),
        "processor_share": {"silence": silent["share"], "speech": speech["share"]},
        "memory_mb": _memory_mb(),
        "frames_lost": (sent - page.exam.journal.samples) // FRAME,
    }


def _running(page: Page, begins: float) -> dict[str, Any]:
    """From the end of each word that stands to the first message that had it, where one had it."""
    delays: list[float] = []
    partials: list[tuple[float, list[str]]] = []
    count = 0
    utterances = iter(page.exam.progress.speech)
    for at, message in page.told:
        if isinstance(message, Partial):
            partials.append((at, message.text.split()))
        elif isinstance(message, Heard):
            words = next(utterances).words
            count += len(words)
            shown: dict[int, float] = {}
            for when, text in partials:
                matcher = SequenceMatcher(None, [word.text for word in words], text, autojunk=False)
                for block in matcher.get_matching_blocks():
                    for place in range(block.a, block.a + block.size):
                        shown.setdefault(place, when - begins - words[place].end_s)
            delays += shown.values()
            partials = []
    return {**_quantiles(delays), "of_words": count}


def _session(clinic: Clinic, spoken: Samples, session_s: float) -> dict[str, Any]:
    """Examinations one after another, as fast as the sound is taken."""
    memory: list[int] = []
    done, utterances, lost, examinations = 0.0, 0, 0, 0
    while done < session_s:
        page, ends = Page(clinic.begin(NewExamination())), done + EXAMINATION_S
        while done < min(ends, session_s):
            page.send(spoken, real_time=False)
            _wait(page)
            page.told.clear()
            done += len(spoken) / SAMPLE_RATE
        memory.append(_memory_mb())
        utterances += len(page.exam.progress.speech)
        lost += page.sequence - page.exam.journal.next_sequence
        examinations += 1
        page.leave()
        clinic.close_deserted(0.0)  # as time would do where it is not so much faster
    return {
        "seconds": round(done),
        "examinations": examinations,
        "utterances": utterances,
        "memory_mb_after_the_first": memory[0],
        "memory_mb_at_the_end": memory[-1],
        "frames_lost": lost,
        "threads": threading.active_count(),
    }


def _wait(page: Page) -> None:
    """Until all sound that was sent is stored and what ended in it was read."""
    while page.exam.journal.next_sequence < page.sequence:
        time.sleep(0.01)
    while page.exam.ears is None or not page.exam.ears.caught_up:
        time.sleep(0.02)
    time.sleep(0.2)  # the last reading is taken with the next look
    page.exam.settled()


def _quantiles(values: list[float]) -> dict[str, float | int]:
    if not values:
        return {"count": 0}
    return {
        "count": len(values),
        "median_s": round(float(np.median(values)), 3),
        "p95_s": round(float(np.percentile(values, 95)), 3),
    }


def _memory_mb() -> int:
    """Memory that this process holds now."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return round(pages * resource.getpagesize() / KILOBYTES / KILOBYTES)


@contextmanager
def _processor() -> Iterator[dict[str, float]]:
    """The share of one core that was used meanwhile."""
    figures: dict[str, float] = {}
    began, used = time.perf_counter(), time.process_time()
    yield figures
    figures["share"] = round((time.process_time() - used) / (time.perf_counter() - began), 3)


@contextmanager
def _clinic(hearer: Hearer) -> Iterator[Clinic]:
    with tempfile.TemporaryDirectory() as folder:
        clinic = Clinic(Path(folder), load_lexicon(), Settings(side="right"), lambda: hearer)
        clinic.hearer.result()
        try:
            yield clinic
        finally:
            clinic.close()
