"""Whether a record is as it was written: the chain, the sound, and the files made from them."""

import json
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import jsonpatch

from dictate2exam import __version__
from dictate2exam.errors import NewerVersionError, RecordError
from dictate2exam.frozen import Frozen
from dictate2exam.record.events import EVENTS_FILE, BrokenLine, Event, read_line
from dictate2exam.record.fold import State, fold, state_of
from dictate2exam.record.model import ExamRecord, Signature
from dictate2exam.record.sound import AUDIO_FOLDER, hash_of
from dictate2exam.record.store import RECORD_FILE, read_saved
from dictate2exam.record.tables import findings_csv, questions_csv, transcript_txt

# Of very many differences only the first ones are told.
TOLD = 12
MADE_FROM_THE_RECORD: dict[str, Callable[[ExamRecord], str]] = {
    "findings.csv": findings_csv,
    "questions.csv": questions_csv,
    "transcript.txt": lambda record: transcript_txt(record.transcript),
}


class Verdict(Frozen):
    """What was found; `altered` and `whole` are plain sentences, each naming its file.

    `head` is the hash of the last event: noted elsewhere, it shows later that nothing was cut off.
    """

    events: int
    head: str
    altered: tuple[str, ...]
    whole: tuple[str, ...]
    signatures: tuple[Signature, ...] = ()
    amended_since: tuple[str, ...] = ()


def verify(folder: Path, head: str = "") -> Verdict:
    """Re-computes everything in the folder that can be; `head` is a hash noted before.

    RecordError where there is no chain at all, or a newer version wrote it.
    """
    events, altered, whole = _chain(folder)
    if head and not any(event.hash == head for event in events):
        altered.append(f"{EVENTS_FILE}: no event has the hash {head} that was noted.")
    record = None
    if events and not altered:
        try:
            record = fold(events)
        except NewerVersionError as error:
            raise NewerVersionError(f"{folder / EVENTS_FILE} {error}") from None
        except RecordError as error:
            altered.append(f"{EVENTS_FILE}: {error}")
    for found in (_sounds(folder, events), _files(folder, events, record)):
        for is_whole, sentence in found:
            (whole if is_whole else altered).append(sentence)
    return Verdict(
        events=len(events),
        head=events[-1].hash if events else "",
        altered=tuple(altered),
        whole=tuple(whole),
        signatures=record.signatures if record else (),
        amended_since=tuple(_amended(record)) if record else (),
    )


def _chain(folder: Path) -> tuple[list[Event], list[str], list[str]]:
    """The events that can be read, what is wrong with the lines, and what is well."""
    path = folder / EVENTS_FILE
    try:
        content = path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        raise RecordError(
            f"{folder} has no {EVENTS_FILE}: it was made before there were events or is no "
            f"examination, and nothing in it can be checked."
        ) from None
    except OSError as error:
        raise RecordError(f"{path} cannot be read: {error.strerror}.") from None
    *lines, unfinished = content.split(b"\n")
    events: list[Event] = []
    altered: list[str] = []
    for number, line in enumerate(lines, start=1):
        where = f"{EVENTS_FILE}, line {number}"
        try:
            events.append(read_line(line, events[-1] if events else None))
        except NewerVersionError as error:
            raise NewerVersionError(f"{path}, line {number}: {error}") from None
        except BrokenLine as error:
            altered.append(f"{where}{_named(line)}: {error}.")
            claimed = _as_claimed(line)
            if claimed is None:
                altered.append(f"{EVENTS_FILE}: what follows line {number} was not checked.")
                break
            events.append(claimed)
    if not events and not altered and not (folder / RECORD_FILE).exists():
        raise RecordError(f"{path} holds no event, so that there is nothing to check.")
    whole = [] if altered else [f"{EVENTS_FILE}: {len(events)} events, the chain is whole."]
    if unfinished:
        whole.append(
            f"{EVENTS_FILE}: an event that was being written when the program was stopped was "
            f"never acknowledged, and does not count."
        )
    return events, altered, whole


def _as_claimed(line: bytes) -> Event | None:
    """An altered line as what it says it is, so that the lines after it can be checked."""
    try:
        return Event.model_validate_json(line)
    except ValueError:
        return None


def _named(line: bytes) -> str:
    """Kind, time and actor of a line, as far as it still tells them."""
    try:
        content = json.loads(line)
        return f" ({content['kind']}, {content['time']}, by {content['actor']})"
    except (ValueError, KeyError, TypeError):
        return ""


def _sounds(folder: Path, events: Sequence[Event]) -> Iterator[tuple[bool, str]]:
    """Each stored sound against the hash that its event holds."""
    seen: set[str] = set()
    for event in events:
        if event.kind != "audio_added":
            continue
        name, stored = event.data.get("name", ""), event.data.get("stored", "")
        if not stored:
            yield True, f"{name}: not kept; its SHA-256 stands in event {event.sequence}."
            continue
        known = f"{AUDIO_FOLDER}/{Path(stored).name}"
        if known in seen:
            continue
        seen.add(known)
        path = folder / known
        if not path.is_file():
            yield False, f"{known}: it is missing, event {event.sequence} tells that it was stored."
        elif hash_of(path) != event.data.get("sha256"):
            yield False, f"{known}: it is not the sound that was stored (event {event.sequence})."
        else:
            yield True, f"{known}: as it was received."
    for path in sorted((folder / AUDIO_FOLDER).glob("*")):
        if f"{AUDIO_FOLDER}/{path.name}" not in seen and path.is_file():
            yield True, f"{AUDIO_FOLDER}/{path.name}: no event tells of it."


def _files(
    folder: Path, events: Sequence[Event], record: ExamRecord | None
) -> Iterator[tuple[bool, str]]:
    """record.json and the tables against what the events give, and what was signed."""
    try:
        saved = read_saved(folder)
    except NewerVersionError:
        raise
    except RecordError as error:
        yield False, str(error)
        return
    if saved is None:
        yield True, f"{RECORD_FILE}: not there; it can be made again from {EVENTS_FILE}."
        return
    made_from = saved.chain.events if saved.chain else 0
    if made_from > len(events):
        yield (
            False,
            f"{EVENTS_FILE}: {made_from - len(events)} of the {made_from} events that "
            f"{RECORD_FILE} was made from were cut off.",
        )
        return
    if record is None:
        yield from _without_chain(saved, events)
        return
    then = fold(events[:made_from]) if made_from else None
    if then is None:
        yield False, f"{RECORD_FILE}: it was not made from these events."
        return
    differences = list(_differences(state_of(then), state_of(saved)))
    if saved.chain != then.chain:
        differences.append("it was made from other events.")
    yield from ((False, f"{RECORD_FILE}: {difference}") for difference in differences)
    if not differences:
        behind = len(events) - made_from
        late = (
            f", {behind} events behind; 'dictate2exam localise' writes it again" if behind else ""
        )
        yield True, f"{RECORD_FILE}: as its events give it{late}."
    yield from _tables(folder, then, events[made_from - 1].versions.package)
    yield from _signed_files(folder, events)


def _without_chain(saved: ExamRecord, events: Sequence[Event]) -> Iterator[tuple[bool, str]]:
    """What the altered events would make of the record, against what it was."""
    try:
        now = fold(events)
    except (RecordError, TypeError, KeyError):
        now = None
    if now is None:
        yield True, f"{RECORD_FILE}: the altered events give no record to compare it with."
        return
    for difference in _differences(state_of(now), state_of(saved)):
        yield False, f"{RECORD_FILE} and the altered events tell different things: {difference}"


def _tables(folder: Path, record: ExamRecord, package: str) -> Iterator[tuple[bool, str]]:
    for name, make in MADE_FROM_THE_RECORD.items():
        path = folder / name
        if not path.exists():
            yield True, f"{name}: not there; it can be made again from {EVENTS_FILE}."
            continue
        found, expected = path.read_bytes(), make(record).encode()
        if found == expected:
            yield True, f"{name}: as its events give it."
        elif package != __version__:
            yield (
                True,
                f"{name}: written by version {package}, which may have written it otherwise.",
            )
        else:
            line = _first_other_line(found, expected)
            yield False, f"{name}, line {line}: it is not what its events give."


def _first_other_line(one: bytes, other: bytes) -> int:
    lines, others = one.split(b"\n"), other.split(b"\n")
    pairs = enumerate(zip(lines, others, strict=False), start=1)
    return next((n for n, (a, b) in pairs if a != b), min(len(lines), len(others)) + 1)


def _signed_files(folder: Path, events: Sequence[Event]) -> Iterator[tuple[bool, str]]:
    """The localisation that was signed, as long as nothing was amended since."""
    if not events or events[-1].kind != "signed":
        return
    for name, signed in events[-1].data.get("files", {}).items():
        path = folder / Path(name).name
        if path.is_file() and hash_of(path) == signed:
            yield True, f"{name}: as it was signed."
        else:
            yield False, f"{name}: it is not what was signed (event {events[-1].sequence})."


def _differences(events: State, saved: State) -> Iterator[str]:
    """Where record.json is not what its events give, in words."""
    steps = list(jsonpatch.make_patch(events, saved))
    for step in steps[:TOLD]:
        where = _place(step["path"], saved)
        was = _at(events, step["path"])
        now = step.get("value", "nothing")
        if step["op"] == "replace":
            yield f"{where} is {_short(now)}, by its events {_short(was)}."
        elif step["op"] == "remove":
            yield f"{where} is gone, by its events {_short(was)}."
        else:
            yield f"{where} was added."
    if len(steps) > TOLD:
        yield f"and {len(steps) - TOLD} more places."


def _place(path: str, state: State) -> str:
    """A place in the record in words: the finding or question by its id."""
    parts = path.strip("/").split("/")
    if parts[0] in ("findings", "questions") and len(parts) > 1 and parts[1].isdigit():
        entry = _at(state, f"/{parts[0]}/{parts[1]}")
        known = entry if isinstance(entry, dict) else {}
        known = known.get("finding", known)
        name = known.get("finding_id") or known.get("question_id") or f"number {parts[1]}"
        item = f" ({known['item']} {known.get('side', '')})" if known.get("item") else ""
        what = " ".join(part for part in parts[2:] if part != "finding")
        return f"{parts[0][:-1]} {name}{item}{', ' + what if what else ''}"
    return " ".join(parts)


def _at(state: State, path: str) -> Any:
    found: Any = state
    for part in path.strip("/").split("/"):
        try:
            found = found[int(part)] if isinstance(found, list) else found[part]
        except (KeyError, IndexError, ValueError, TypeError):
            return None
    return found


def _short(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False) if not isinstance(value, str) else f"'{value}'"
    return text if len(text) <= 60 else f"{text[:57]}..."


def _amended(record: ExamRecord) -> Iterator[str]:
    """What was amended after the last signature, in words."""
    for note in record.amended_since_signing:
        what = f"{note.question_id} answered" if note.question_id else "changed:"
        yield f"{what} '{note.answer}' by {note.actor}, {note.time}"
