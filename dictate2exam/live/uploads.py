"""Files given after clinic: read one after another, while nobody is being listened to."""

import queue
import secrets
import shutil
import threading
import time
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import cast

from dictate2exam import pipeline
from dictate2exam.errors import Dictate2ExamError, InputError
from dictate2exam.lexicon.hearing import Hearing
from dictate2exam.live.clinic import Clinic
from dictate2exam.live.examination import Hearer
from dictate2exam.live.keeping import store_decoded
from dictate2exam.live.ledger import Ledger, ReadFile
from dictate2exam.live.messages.http import NewExamination, Upload
from dictate2exam.live.messages.kinds import UploadState
from dictate2exam.live.progress import Progress
from dictate2exam.record.log import now
from dictate2exam.speech.base import Samples
from dictate2exam.speech.model import TRANSCRIPTS, Transcript, Utterance, is_transcript

SOUND_TYPES = (".wav", ".flac", ".mp3", ".m4a", ".aac", ".ogg", ".opus")
UPLOAD_TYPES = (*SOUND_TYPES, *TRANSCRIPTS)
SOUND_BYTES = 600 * 2**20
TEXT_BYTES = 5 * 2**20
MOST_WAITING = 50
WAITING_FOLDER = ".uploads"
LOOK_AGAIN_S = 0.5


class GivenUp(Exception):
    """The upload was given up by the user."""


@dataclass
class Job:
    """One file on its way to a record."""

    upload: str
    path: Path
    wanted: NewExamination
    state: UploadState = "waiting"
    stage: str = "Waiting"
    share: float = 0.0
    seconds: float = 0.0
    began: float = 0.0
    exam: str = ""
    message: str = ""
    given_up: threading.Event = field(default_factory=threading.Event)

    def shown(self) -> Upload:
        """The job as the page sees it."""
        spent = time.monotonic() - self.began if self.began else 0.0
        known = self.state == "working" and self.share > 0 and spent > 0
        return Upload(
            upload=self.upload,
            name=self.path.name,
            state=self.state,
            stage=self.stage,
            share=round(self.share, 3),
            speed=round(self.seconds * self.share / spent, 2) if known and self.seconds else None,
            left_s=round(spent / self.share * (1 - self.share), 1) if known else None,
            exam=self.exam,
            message=self.message,
        )


class Polite:
    """The listeners, for sound that can wait: they read nothing while somebody is listened to."""

    def __init__(self, hearer: Hearer, clinic: Clinic, job: Job) -> None:
        self._hearer, self._clinic, self._job = hearer, clinic, job
        self.listeners = dict(hearer.listeners)

    @property
    def hearing(self) -> Hearing:
        """The listeners' thresholds."""
        return self._hearer.hearing

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        """One utterance, once nobody is listened to; GivenUp where the user wants it no more."""
        while self._clinic.listening and not self._job.given_up.is_set():
            time.sleep(LOOK_AGAIN_S)
        if self._job.given_up.is_set():
            raise GivenUp
        return self._hearer.read(samples, index, start_s, snr_db)

    def remember(self, name: str, signal: object) -> None:
        """Keeps what the listeners keep of an examiner."""
        getattr(self._hearer, "remember", lambda *_: None)(name, signal)


class Uploads:
    """Takes files, reads them in order, and keeps each as an examination to be reviewed."""

    def __init__(self, clinic: Clinic) -> None:
        self._clinic = clinic
        self._folder = clinic.folder / WAITING_FOLDER
        shutil.rmtree(self._folder, ignore_errors=True)  # half-sent files of an earlier run
        self._jobs: dict[str, Job] = {}
        self._waiting: queue.Queue[Job | None] = queue.Queue()
        self._thread = threading.Thread(target=self._run, name="uploads", daemon=True)
        self._thread.start()

    async def take(self, name: str, wanted: NewExamination, body: AsyncIterator[bytes]) -> Upload:
        """Stores a file as it comes and puts it in line; InputError for what is not taken."""
        name = Path(name).name[:120]
        suffix = Path(name).suffix.lower()
        if suffix not in UPLOAD_TYPES:
            raise InputError(f"{name!r} is none of the files taken: {', '.join(UPLOAD_TYPES)}.")
        if sum(job.state in ("waiting", "working") for job in self._jobs.values()) > MOST_WAITING:
            raise InputError("Too many files are waiting; send the next ones later.")
        most = TEXT_BYTES if suffix in TRANSCRIPTS else SOUND_BYTES
        upload = secrets.token_hex(6)
        path = self._folder / upload / name
        try:
            path.parent.mkdir(parents=True, mode=0o700)
            size = 0
            with path.open("wb") as handle:
                async for block in body:
                    size += len(block)
                    if size > most:
                        raise InputError(
                            f"{name!r} is larger than {most // 2**20} MB; send it in parts, or "
                            f"use 'dictate2exam run'."
                        )
                    handle.write(block)
        except OSError as error:
            shutil.rmtree(path.parent, ignore_errors=True)
            raise InputError(f"{name!r} cannot be stored: {error.strerror or error}.") from None
        except BaseException:
            shutil.rmtree(path.parent, ignore_errors=True)
            raise
        job = Job(upload=upload, path=path, wanted=wanted)
        self._jobs[upload] = job
        self._waiting.put(job)
        return job.shown()

    def listed(self) -> list[Upload]:
        """All uploads since the start, newest first."""
        return [job.shown() for job in reversed(list(self._jobs.values()))]

    def give_up(self, upload: str) -> Upload:
        """Ends an upload as soon as its present utterance is read; InputError if unknown."""
        job = self._jobs.get(upload)
        if job is None:
            raise InputError(f"There is no upload {upload[:20]!r}.")
        job.given_up.set()
        if job.state == "waiting":
            job.state, job.stage = "given_up", "Given up"
        return job.shown()

    def close(self) -> None:
        """Gives up everything and ends."""
        for job in self._jobs.values():
            job.given_up.set()
        self._waiting.put(None)
        self._thread.join()

    def _run(self) -> None:
        while (job := self._waiting.get()) is not None:
            try:
                self._read(job)
            except GivenUp:
                job.state, job.stage = "given_up", "Given up"
            except Dictate2ExamError as error:
                job.state, job.stage = "failed", "Failed"
                job.message = str(error).replace(str(job.path), job.path.name)
            except Exception as error:
                job.state, job.stage = "failed", "Failed"
                job.message = f"Unexpected failure ({type(error).__name__}: {error})."
            finally:
                shutil.rmtree(job.path.parent, ignore_errors=True)

    def _read(self, job: Job) -> None:
        if job.given_up.is_set():
            raise GivenUp
        job.state, job.stage, job.began = "working", "Reading the file", time.monotonic()
        clinic = self._clinic
        transcript, samples = self._hear(job)
        folder = clinic.new_folder(job.wanted)
        ledger = Ledger(folder, clinic.lexicon.hash)
        settings = Progress(ledger.entries).settings(clinic.settings)
        lexicon = pipeline.known_to(settings.examiner, clinic.lexicon)
        job.stage = "Reading the findings"
        record = pipeline.read(transcript, lexicon, settings)
        begun = Progress(ledger.entries).must_be_begun(folder)
        record = record.model_copy(update={"created": begun.created})
        pipeline.begin(ledger.log, record, [job.path], settings)
        job.stage = "Writing the record"
        pipeline.save_unlocated(record, folder, lexicon)
        if samples is not None:
            store_decoded(folder, samples)
        ledger.reload()
        ledger.append(ReadFile(time=now(), name=job.path.name))
        job.exam, job.share, job.state, job.stage = folder.name, 1.0, "done", "Done"

    def _hear(self, job: Job) -> tuple[Transcript, Samples | None]:
        """What was said in the file, and its sound; text has none."""
        if is_transcript(job.path):
            from dictate2exam.speech.typed import read_transcript

            return read_transcript([job.path]), None
        from dictate2exam.audio.load import load_recording
        from dictate2exam.speech.listen import Stage, listen

        recording = load_recording([job.path])
        job.seconds, job.stage = recording.duration_s, "Listening"
        polite = Polite(self._clinic.hearer.result(), self._clinic, job)

        def tell(share: float) -> None:
            job.share = 0.98 * share

        transcript = listen(
            recording,
            self._clinic.lexicon,
            self._clinic.settings.model_copy(update={"examiner": job.wanted.examiner}),
            tell,
            stage=cast(Stage, polite),
        )
        return transcript.model_copy(update={"source": (job.path.name,)}), recording.samples
