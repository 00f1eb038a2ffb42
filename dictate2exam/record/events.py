"""One event of an examination, its line in events.jsonl, and the chain that the lines make."""

import hashlib
import json
from typing import Any, Literal

import rfc8785
from pydantic import ValidationError

from dictate2exam.errors import NewerVersionError
from dictate2exam.frozen import Frozen
from dictate2exam.provenance import Versions

# 1: first format.
EVENT_FORMAT = 1
EVENTS_FILE = "events.jsonl"

EventKind = Literal[
    "begun",
    "consent",
    "audio_added",
    "heard",
    "extracted",
    "questioned",
    "answered",
    "amended",
    "signed",
]

# What the first event is chained to.
NOTHING_BEFORE = "0" * 64


class Event(Frozen):
    """Something that happened to an examination, never changed afterwards.

    `sequence` counts from 1; `time` is UTC as ISO 8601; `actor` is who did it, a person or
    "dictate2exam". `versions` are those in use then, each listener with its model; the lexicon's
    hash covers the `protocol` too. `data` says in plain words what happened, `change` what it did
    to the record, as a JSON Patch (RFC 6902).
    `hash` is the SHA-256 of everything else in the event as canonical JSON (RFC 8785), `previous`
    that of the event before.
    """

    format: int = EVENT_FORMAT
    sequence: int
    time: str
    actor: str
    kind: EventKind
    versions: Versions
    protocol: str
    data: dict[str, Any]
    change: list[dict[str, Any]]
    previous: str
    hash: str


class BrokenLine(Exception):
    """A line that is no event of this chain; the message says what is wrong with it."""


def canonical(value: Any) -> bytes:
    """A JSON value as canonical JSON (RFC 8785): the same value gives the same bytes."""
    return rfc8785.dumps(value)


def digest(value: Any) -> str:
    """SHA-256 of a JSON value, in hexadecimal."""
    return hashlib.sha256(canonical(value)).hexdigest()


def chained(content: dict[str, Any], before: Event | None) -> Event:
    """The event of this content (without sequence and hashes) that follows `before`."""
    body = {
        "format": EVENT_FORMAT,
        **content,
        "sequence": before.sequence + 1 if before else 1,
        "previous": before.hash if before else NOTHING_BEFORE,
    }
    return Event.model_validate({**body, "hash": digest(body)})


def line_of(event: Event) -> bytes:
    """The event as one line of events.jsonl, with its end of line."""
    return canonical(event.model_dump(mode="json")) + b"\n"


def read_line(line: bytes, before: Event | None) -> Event:
    """The event of a line without its end; BrokenLine where it is altered or doesn't follow.

    Raises NewerVersionError for an event of a newer format.
    """
    try:
        content = json.loads(line)
    except ValueError:
        raise BrokenLine("it is no JSON any more") from None
    if not isinstance(content, dict):
        raise BrokenLine("it is no event")
    version = content.get("format")
    if isinstance(version, int) and version > EVENT_FORMAT:
        raise NewerVersionError(
            f"has an event of format {version}, newer than {EVENT_FORMAT}, the newest that this "
            f"version reads; update the program."
        )
    body = {key: value for key, value in content.items() if key != "hash"}
    try:
        whole = digest(body) == content.get("hash") and canonical(content) == line
    except rfc8785.CanonicalizationError:
        whole = False
    if not whole:
        raise BrokenLine("its content was altered after it was written")
    try:
        event = Event.model_validate(content)
    except ValidationError:
        raise BrokenLine("it lacks what an event must hold") from None
    expected = before.hash if before else NOTHING_BEFORE
    number = before.sequence + 1 if before else 1
    if event.sequence != number or event.previous != expected:
        raise BrokenLine(
            f"it is event {event.sequence} where event {number} should follow: events before it "
            f"were removed, added or put in another order"
        )
    return event
