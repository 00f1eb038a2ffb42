"""The only file that knows the order: from sound or text to the files of one examination."""

from collections.abc import Callable, Sequence
from datetime import datetime, timezone
from pathlib import Path

from dictate2exam.errors import InputError, OpenQuestionsError, RecordError
from dictate2exam.lexicon.likelihoods import check_setting
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.lexicon.protocols import read_protocol
from dictate2exam.localise.model import Localisation, Observation
from dictate2exam.record.log import EventLog
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.store import (
    RECORD_FILE,
    keep,
    load_record,
    open_log,
    record_json,
    write_files,
)
from dictate2exam.record.tables import (
    FindingRow,
    findings_csv,
    questions_csv,
    read_findings,
    transcript_txt,
)
from dictate2exam.registry import REPORTS, load_recogniser, load_report, registered
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript, is_transcript
from dictate2exam.units import SIDES

# A finding on which a question is open or was skipped counts as this sure at most: a design
# choice, to be replaced by measured figures of the recognisers.
DOUBTFUL_AT_MOST = 0.8

Progress = Callable[[str, float], None]


def _silent(stage: str, done: float) -> None:
    """Progress that nobody watches; `done` is a share of one."""


def run(
    inputs: Sequence[Path],
    out: Path,
    settings: Settings,
    progress: Progress | None = None,
    lexicon: Lexicon | None = None,
) -> tuple[ExamRecord, list[Localisation]]:
    """Reads one examination, writes its files into `out`, and localises where nothing blocks.

    Raises Dictate2ExamError for unusable input; then nothing in `out` has changed.
    """
    tell = progress or _silent
    lexicon = known_to(settings.examiner, lexicon or load_lexicon())
    read_protocol(lexicon.folder, settings.protocol)
    check_setting(lexicon.folder, settings.setting)
    if out.exists() and not out.is_dir():
        raise InputError(f"{out} is a file; --out must name a folder.")
    log = open_log(out, lexicon.hash)
    log.must_be_unsigned()
    transcript = hear(inputs, lexicon, settings, tell)
    tell("Reading the findings", 0.0)
    record = read(transcript, lexicon, settings)
    begin(log, record, inputs, settings)
    return record, save(record, out, lexicon, settings.provisional, tell, log)


def begin(log: EventLog, record: ExamRecord, inputs: Sequence[Path], settings: Settings) -> None:
    """The first events of an examination in its folder: what it was made from; sound is stored."""
    from dictate2exam.record.sound import sound_of, store_sound

    typed = all(is_transcript(path) for path in inputs)
    stores = settings.keep_sound and not typed
    sounds = [store_sound(path, log.folder) if stores else sound_of(path) for path in inputs]
    chosen = {"side": settings.side, "setting": settings.setting, "examiner": settings.examiner}
    log.begin(record, {"texts": sounds, **chosen} if typed else chosen, settings.examiner)
    for sound in () if typed else sounds:
        log.append("audio_added", settings.examiner, sound)


def known_to(examiner: str, lexicon: Lexicon) -> Lexicon:
    """The lexicon with the mishearings that this examiner has confirmed; the same for nobody."""
    if not examiner:
        return lexicon
    from dictate2exam.lexicon.personal import with_mishearings
    from dictate2exam.speech.examiner import read_examiner

    return with_mishearings(lexicon, read_examiner(examiner).mishearings)


def learn(before: ExamRecord, after: ExamRecord, lexicon: Lexicon) -> int:
    """Keeps what a review confirmed of the record's examiner's voice; how many mishearings."""
    from dictate2exam.review.confirmed import confirmed_mishearings
    from dictate2exam.speech.examiner import keep_examiner, read_examiner, with_confirmed

    confirmed = confirmed_mishearings(before, after, lexicon) if after.examiner else []
    if confirmed:
        keep_examiner(with_confirmed(read_examiner(after.examiner), confirmed, lexicon))
    return len(confirmed)


def hear(
    inputs: Sequence[Path], lexicon: Lexicon, settings: Settings, progress: Progress = _silent
) -> Transcript:
    """What was said in these parts of one examination: sound is listened to, text is read."""
    for path in inputs:
        if not path.exists():
            raise InputError(f"There is no file {path}.")
        if path.is_dir():
            raise InputError(f"{path} is a folder; name the sound or text files themselves.")
    typed = [is_transcript(path) for path in inputs]
    if all(typed):
        from dictate2exam.speech.typed import read_transcript

        return read_transcript(inputs)
    if any(typed):
        raise InputError("Sound and text cannot be mixed in one examination; give one of them.")
    from dictate2exam.audio.load import load_recording
    from dictate2exam.speech.listen import listen

    load_recogniser(settings.domain_listener)  # an unknown name is said before any work is done
    progress("Reading the sound", 0.0)
    recording = load_recording(inputs)
    return listen(recording, lexicon, settings, progress=lambda done: progress("Listening", done))


def read(transcript: Transcript, lexicon: Lexicon, settings: Settings) -> ExamRecord:
    """The record of what was heard, with every question that its rooms and checks raise."""
    from dictate2exam.findings.extract import extract
    from dictate2exam.record.assemble import assemble
    from dictate2exam.review.checks.run import check_record

    created = datetime.now(timezone.utc).isoformat(timespec="seconds")
    extraction = extract(transcript, lexicon, settings)
    return check_record(assemble(transcript, extraction, lexicon, settings, created), lexicon)


def save(
    record: ExamRecord,
    out: Path,
    lexicon: Lexicon,
    provisional: bool = False,
    progress: Progress = _silent,
    log: EventLog | None = None,
) -> list[Localisation]:
    """Appends what changed to the events, and writes all files of the record.

    It localises first unless a blocking question is open, with `provisional` all the same, and
    every output says so. Localisations of an earlier run are removed, so that none outlives the
    record it was made from. `log` are the events of `out` where they are open already.
    """
    record = keep(log or open_log(out, lexicon.hash), record, answered_by(record))
    places: list[Localisation] = []
    if provisional or not record.blocking:
        progress("Locating the lesion", 0.0)
        places = locate(record, lexicon)
    progress("Writing the report", 0.9)
    texts = record_texts(record, places, lexicon)
    write_files(out, texts, remove=_stale(out, texts))
    progress("Done", 1.0)
    return places


def answered_by(record: ExamRecord) -> str:
    """Whose answers the record's are: its examiner, where one is named."""
    return record.examiner or "reviewer"


def record_texts(
    record: ExamRecord, places: Sequence[Localisation], lexicon: Lexicon
) -> dict[str, str]:
    """Every file of an examination by name."""
    return {
        "transcript.txt": transcript_txt(record.transcript),
        "findings.csv": findings_csv(record),
        "questions.csv": questions_csv(record),
        **localisation_texts(places),
        **report_texts(record, places, lexicon),
        RECORD_FILE: record_json(record),
    }


def _stale(out: Path, texts: dict[str, str]) -> list[str]:
    return [p.name for p in out.glob("localisation*.json") if p.name not in texts]


def localisation_texts(places: Sequence[Localisation]) -> dict[str, str]:
    """One file a side: the first is localisation.json, a second is named after its side."""
    return {
        "localisation.json" if n == 0 else f"localisation_{place.side}.json": (
            place.model_dump_json(indent=1) + "\n"
        )
        for n, place in enumerate(places)
    }


def report_texts(
    record: ExamRecord, places: Sequence[Localisation], lexicon: Lexicon
) -> dict[str, str]:
    """What every registered report writes, by the name of its file."""
    reports = [load_report(name)() for name in registered(REPORTS)]
    return {report.file_name: report.render(record, places, lexicon) for report in reports}


def observations(record: ExamRecord) -> list[Observation]:
    """The findings that stand as localisation sees them; doubtful ones count as less sure."""
    from dictate2exam.localise.observe import observations_from_record

    return observations_from_record(record, DOUBTFUL_AT_MOST)


def locate(record: ExamRecord, lexicon: Lexicon) -> list[Localisation]:
    """Where the lesion is by this record, one result a side, with its cautions and red flags."""
    from dictate2exam.lexicon.cautions import cautions_for
    from dictate2exam.localise.infer import localise

    provisional = bool(record.blocking)
    places = localise(
        observations(record), lexicon, provisional=provisional, setting=record.setting
    )
    extra = cautions_for(lexicon.folder, {"provisional"}) if provisional else ()
    cautions = tuple(dict.fromkeys((*record.cautions, *extra)))
    return [
        place.model_copy(
            update={
                "cautions": cautions,
                "red_flags": tuple(flag.message for flag in record.red_flags),
            }
        )
        for place in places
    ]


def localise_folder(
    folder: Path, lexicon: Lexicon, provisional: bool = False, setting: str | None = None
) -> tuple[ExamRecord, list[Localisation]]:
    """Localises a saved record; OpenQuestionsError names the questions that block it.

    A `setting` (mixed, trauma, non_trauma) replaces the record's own, and is kept in it.
    """
    record = load_record(folder)
    if setting is not None:
        check_setting(lexicon.folder, setting)
        record = record.model_copy(update={"setting": setting})
    if record.blocking and not provisional:
        raise OpenQuestionsError(
            f"Localisation waits for {_open(record)}. Answer with 'dictate2exam review {folder}', "
            f"or add --provisional."
        )
    return record, save(record, folder, lexicon, provisional)


def _open(record: ExamRecord) -> str:
    """The open blocking questions, counted and the first five named."""
    named = "; ".join(f"{q.question_id} ({q.question})" for q in record.blocking[:5])
    more = f"; and {len(record.blocking) - 5} more" if len(record.blocking) > 5 else ""
    plural = "s" if len(record.blocking) > 1 else ""
    return f"{len(record.blocking)} open blocking question{plural}: {named}{more}"


def sign(folder: Path, name: str, lexicon: Lexicon) -> ExamRecord:
    """Freezes the record of a folder as a version under a name, all its files as they are then.

    OpenQuestionsError while a blocking question is open; RecordError where there is nothing new
    to sign. Later amendments are kept apart from what was signed.
    """
    from dictate2exam.record.sign import signed_files, signed_record

    name = " ".join(name.split())
    if not name:
        raise InputError("A signature needs a name: --as NAME.")
    record = load_record(folder)
    if record.blocking:
        raise OpenQuestionsError(
            f"Signing waits for {_open(record)}. Answer with 'dictate2exam review {folder}'."
        )
    log = open_log(folder, lexicon.hash)
    record = keep(log, record, answered_by(record))
    signed = signed_record(record, name, changed=log.events[-1].kind != "signed")
    places = save(record, folder, lexicon, log=log)
    signature = signed.signatures[-1]
    log.append(
        "signed",
        name,
        {
            "version": signature.version,
            "left_open": [q.question_id for q in record.questions if q.state == "open"],
            "files": signed_files(folder),
        },
        signed,
    )
    assert log.record is not None
    write_files(folder, record_texts(log.record, places, lexicon))
    return log.record


def save_unlocated(record: ExamRecord, out: Path, lexicon: Lexicon) -> None:
    """Writes all files of a record that is still being reviewed, without locating anything."""
    record = keep(open_log(out, lexicon.hash), record, answered_by(record))
    texts = record_texts(record, [], lexicon)
    write_files(out, texts, remove=_stale(out, texts))


def write_report(folder: Path, lexicon: Lexicon) -> ExamRecord:
    """Writes the reports again from the saved record and its localisation, and nothing else."""
    record = load_record(folder)
    places = read_places(folder)
    write_files(folder, report_texts(record, places, lexicon))
    return record


def _located(folder: Path) -> list[Path]:
    """The localisation files of a folder, localisation.json first."""
    return sorted(folder.glob("localisation*.json"), key=lambda path: len(path.name))


def read_places(folder: Path) -> list[Localisation]:
    """The localisations saved in a folder; RecordError if one is broken."""
    places = []
    for path in _located(folder):
        try:
            places.append(Localisation.model_validate_json(path.read_text(encoding="utf-8")))
        except (OSError, ValueError) as error:
            reason = str(error).splitlines()[0]
            raise RecordError(
                f"{path} is broken: {reason}; run 'dictate2exam localise {folder}' again."
            ) from None
    return places


def localise_table(
    path: Path,
    out: Path | None,
    lexicon: Lexicon,
    provisional: bool = False,
    setting: str = "mixed",
) -> tuple[list[Observation], list[Localisation]]:
    """Localises a findings table alone; writes localisation.json into `out` or beside the table."""
    from dictate2exam.lexicon.cautions import cautions_for
    from dictate2exam.localise.infer import localise
    from dictate2exam.record.red_flags import flags_raised

    rows = [_observation(row, path, lexicon) for row in read_findings(path)]
    if not rows:
        raise InputError(f"{path} holds no findings.")
    if out is None and (path.parent / RECORD_FILE).exists():
        raise InputError(
            f"{path} belongs to a record: localise its folder {path.parent}, or name another "
            f"folder with --out."
        )
    flags = flags_raised([(row.item, row.value) for row in rows], lexicon)
    places = [
        place.model_copy(
            update={"cautions": cautions_for(lexicon.folder, set()), "red_flags": flags}
        )
        for place in localise(rows, lexicon, provisional=provisional, setting=setting)
    ]
    folder = out or path.parent
    texts = localisation_texts(places)
    write_files(folder, texts, remove=_stale(folder, texts))
    return rows, places


def _observation(row: FindingRow, path: Path, lexicon: Lexicon) -> Observation:
    item = lexicon.items.get(row.item)
    if item is None:
        raise InputError(
            f"{path}, line {row.row}: there is no item {row.item!r}; 'dictate2exam items' lists "
            f"them all."
        )
    side = next((known for known in SIDES if known == (row.side or "none")), None)
    if side is None:
        raise InputError(f"{path}, line {row.row}: side {row.side!r} must be left, right or none.")
    if item.values and row.value not in item.values:
        raise InputError(
            f"{path}, line {row.row}: {row.value!r} is no value of {row.item}; it takes "
            f"{', '.join(item.values)}."
        )
    return Observation(
        observation_id=str(row.row),
        item=row.item,
        side=side,
        value=row.value,
        scale=row.scale,
        detail=row.detail,
    )
