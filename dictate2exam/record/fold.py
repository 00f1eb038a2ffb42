"""The record as a fold of its events, and the change that leads from one record to the next."""

import copy
import json
from collections.abc import Iterable, Sequence
from typing import Any

import jsonpatch
from pydantic import ValidationError

from dictate2exam.errors import NewerVersionError, RecordError
from dictate2exam.record.events import Event, canonical
from dictate2exam.record.model import SCHEMA_VERSION, ChainHead, ExamRecord

State = dict[str, Any]


def fold(events: Sequence[Event]) -> ExamRecord | None:
    """The record after these events; None before the first one."""
    return record_of(state_after(events), events[-1]) if events else None


def state_after(events: Iterable[Event], state: State | None = None) -> State:
    """The record as JSON after these events; `state` is what was before them and is changed."""
    state = {} if state is None else state
    for event in events:
        try:
            state = jsonpatch.apply_patch(state, copy.deepcopy(event.change), in_place=True)
        except (jsonpatch.JsonPatchException, jsonpatch.JsonPointerException) as error:
            raise RecordError(
                f"event {event.sequence} does not fit the events before it ({error})."
            ) from None
    return state


def record_of(state: State, head: Event) -> ExamRecord:
    """The record of this state, which the event `head` led to."""
    version = state.get("schema_version")
    if isinstance(version, int) and version > SCHEMA_VERSION:
        raise NewerVersionError(
            f"holds a record of format {version}, newer than {SCHEMA_VERSION}, the newest that "
            f"this version reads; update the program."
        )
    chain = ChainHead(events=head.sequence, hash=head.hash)
    try:
        record = ExamRecord.model_validate(state)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"]) or "the whole"
        raise RecordError(f"gives no valid record at {where}: {first['msg']}.") from None
    return record.model_copy(update={"chain": chain, "schema_version": SCHEMA_VERSION})


def state_of(record: ExamRecord) -> State:
    """The record as JSON without the head of its chain, which no event can hold."""
    state = record.model_dump(mode="json", exclude={"chain"})
    # As it will be read again: canonical JSON writes 3.0 as 3.
    known: State = json.loads(canonical(state | {"schema_version": SCHEMA_VERSION}))
    return known


def change_between(before: State, after: State) -> list[dict[str, Any]]:
    """The JSON Patch from one state to the other; empty where they are the same."""
    if before == after:
        return []
    patch = jsonpatch.make_patch(before, after)
    # Applying it is the proof that it leads where it should; else the whole is written.
    if canonical(patch.apply(before)) == canonical(after):
        return [dict(step) for step in json.loads(patch.to_string())]
    return [{"op": "replace", "path": "", "value": after}]
