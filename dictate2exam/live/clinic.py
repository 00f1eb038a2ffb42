"""All examinations in one folder, and the one set of listeners that hears them."""

import re
import secrets
import threading
from collections.abc import Callable
from concurrent.futures import Future
from datetime import datetime, timezone
from pathlib import Path

from dictate2exam import pipeline
from dictate2exam.errors import Dictate2ExamError, InputError
from dictate2exam.findings.evidence import evidence_finder
from dictate2exam.findings.stops import stop_finder
from dictate2exam.lexicon.likelihoods import check_setting
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.protocols import read_protocol
from dictate2exam.live.examination import Examination, Hearer
from dictate2exam.live.ledger import Begun, Ledger
from dictate2exam.live.messages.http import ExaminationEntry, NewExamination
from dictate2exam.live.progress import Progress
from dictate2exam.live.reading import Reader, Speech
from dictate2exam.record.events import EVENTS_FILE
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript
from dictate2exam.units import Seconds

DESERTED_S = 10.0  # much longer than a tab takes to come back
EXAM_ID = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}_[0-9]{6}_[0-9a-f]{4}")


class Clinic:
    """Examinations by id, opened when they are asked for.

    `settings` are those of the command line; `make_hearer` takes seconds and runs in a thread of
    its own. Raises InputError where the folder cannot be used or a choice is unknown.
    """

    def __init__(
        self,
        folder: Path,
        lexicon: Lexicon,
        settings: Settings,
        make_hearer: Callable[[], Hearer],
    ) -> None:
        self.folder, self.lexicon, self.settings = folder, lexicon, settings
        read_protocol(lexicon.folder, settings.protocol)
        check_setting(lexicon.folder, settings.setting)
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        except OSError as error:
            raise InputError(
                f"Cannot use {folder}: {error.strerror or error}; choose another with --folder."
            ) from None
        self._open: dict[str, Examination] = {}
        self._listed: dict[str, tuple[int, ExaminationEntry]] = {}
        self._lock = threading.Lock()
        self.hearer: Future[Hearer] = Future()
        threading.Thread(
            target=self._make_ready, args=(make_hearer,), name="making ready", daemon=True
        ).start()

    def new_folder(self, wanted: NewExamination) -> Path:
        """A folder with the first entry of an examination; InputError for an unknown protocol."""
        protocol = wanted.protocol or self.settings.protocol
        read_protocol(self.lexicon.folder, protocol)
        created = datetime.now(timezone.utc)
        exam = f"{created.astimezone():%Y-%m-%d_%H%M%S}_{secrets.token_hex(2)}"
        folder = self.folder / exam
        try:
            folder.mkdir(mode=0o700)
        except OSError as error:
            raise InputError(
                f"Cannot begin an examination in {self.folder}: {error.strerror or error}; make "
                f"room there, or choose another folder with --folder."
            ) from None
        begun = Begun(
            created=created.isoformat(timespec="milliseconds"),
            protocol=protocol,
            side=wanted.side if wanted.side != "none" else self.settings.side,
            setting=self.settings.setting,
            examiner=wanted.examiner.strip() or self.settings.examiner,
        )
        settings = Progress([begun]).settings(self.settings)
        empty = Speech(Transcript(utterances=()), (), ())
        record = Reader(self.lexicon, settings, begun.created).read(empty)
        Ledger(folder, self.lexicon.hash).begin(begun, record)
        return folder

    def begin(self, wanted: NewExamination) -> Examination:
        """A new examination, opened."""
        return self.open(self.new_folder(wanted).name)

    def open(self, exam: str) -> Examination:
        """The examination of that id; InputError where there is none."""
        folder = self.folder / exam
        if not EXAM_ID.fullmatch(exam) or not (folder / EVENTS_FILE).is_file():
            raise InputError(f"There is no examination {exam[:40]!r} in {self.folder}.")
        with self._lock:
            if exam not in self._open:
                self._close_deserted(DESERTED_S)
                examiner = Progress(Ledger(folder).entries).must_be_begun(folder).examiner
                lexicon = pipeline.known_to(examiner, self.lexicon)
                self._open[exam] = Examination(folder, lexicon, self.settings, self.hearer)
            return self._open[exam]

    def listed(self) -> list[ExaminationEntry]:
        """Every examination of the folder, newest first; broken ones are left out."""
        found = []
        for path in sorted(self.folder.glob(f"*/{EVENTS_FILE}"), reverse=True):
            if EXAM_ID.fullmatch(path.parent.name):
                try:
                    found.append(self._entry(path.parent))
                except Dictate2ExamError:
                    continue
        return found

    def entry(self, exam: Examination) -> ExaminationEntry:
        """An open examination in the list."""
        return ExaminationEntry(
            exam=exam.folder.name,
            created=exam.begun.created,
            protocol=exam.begun.protocol,
            side=exam.begun.side,
            examiner=exam.begun.examiner,
            phase=exam.phase,
            findings=len(exam.record.standing),
            open_questions=len(exam.questions),
        )

    def close_deserted(self, after_s: Seconds) -> None:
        """Closes examinations that nobody has looked at for so long: they open where they were."""
        with self._lock:
            self._close_deserted(after_s)

    def _close_deserted(self, after_s: Seconds) -> None:
        for name, exam in list(self._open.items()):
            if exam.tabs.deserted_s > after_s:
                del self._open[name]
                exam.close()

    @property
    def listening(self) -> bool:
        """Whether somebody is being listened to at present."""
        return any(
            exam.phase in ("ready", "listening") and exam.tabs.any for exam in self._open.values()
        )

    def close(self) -> None:
        """Closes all examinations; what has come is on disk."""
        for exam in self._open.values():
            exam.close()
        self._open.clear()

    def _entry(self, folder: Path) -> ExaminationEntry:
        if folder.name in self._open:
            return self.entry(self._open[folder.name])
        known = self._listed.get(folder.name)
        size = (folder / EVENTS_FILE).stat().st_size  # events are only ever added
        if known is None or known[0] != size:
            progress = Progress(Ledger(folder).entries)
            begun = progress.must_be_begun(folder)
            known = (
                size,
                ExaminationEntry(
                    exam=folder.name,
                    created=begun.created,
                    protocol=begun.protocol,
                    side=begun.side,
                    examiner=begun.examiner,
                    phase=progress.phase,
                    findings=None,
                    open_questions=None,
                ),
            )
            self._listed[folder.name] = known
        return known[1]

    def _make_ready(self, make_hearer: Callable[[], Hearer]) -> None:
        try:
            stop_finder()  # both loaded now, or the first words would wait for them
            evidence_finder()
            self.hearer.set_result(make_hearer())
        except BaseException as error:
            self.hearer.set_exception(error)
