"""Transcripts that were typed or exported: read as if heard, so that no model is needed."""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import cast

from dictate2exam.errors import InputError, RecogniserError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.base import Samples
from dictate2exam.speech.model import Reading, Speaker, Transcript, Utterance, Word
from dictate2exam.speech.spread import spread_words

VOICES: dict[str, Speaker] = {"examiner": "examiner", "patient": "patient"}
SPEAKER = re.compile(r"^\s*(examiner|patient)\s*:\s*", re.IGNORECASE)
_CLOCK = re.compile(r"^(?:(\d+):)?(\d{1,2}):(\d{1,2})[.,](\d{1,3})$")
_ARROW = re.compile(r"^(\S+)\s+-->\s+(\S+)")
_VOICE = re.compile(r"<v(?:\.[^\s>]*)?\s+([^>]*)>", re.IGNORECASE)
_TAG = re.compile(r"<[^>]*>")
_ENTITIES = {"&amp;": "&", "&lt;": "<", "&gt;": ">", "&nbsp;": " ", "&lrm;": "", "&rlm;": ""}


class TypedListener:
    """Holds the name and version under which typed transcripts stand in the record."""

    name = "typed"
    version = "1"

    @classmethod
    def build(cls, lexicon: Lexicon, settings: Settings) -> "TypedListener":
        """Nothing is needed to read text."""
        return cls()

    def hear(self, samples: Samples) -> Reading:
        """Sound cannot be read as text."""
        raise RecogniserError(
            "The recogniser typed reads transcripts (.txt, .vtt, .srt) and cannot hear sound; "
            "choose another one for sound files."
        )


def read_transcript(paths: Sequence[Path]) -> Transcript:
    """Files joined in order, one utterance a line or cue; words are kept as typed.

    `.txt` has no times: `start_s` and `end_s` then count words from 0 over all files, and
    `timed` is False. Cues keep their seconds, and later files follow on. Raises InputError.
    """
    paths = [Path(path) for path in paths]
    if not paths:
        raise InputError("No transcript was given; name at least one .txt, .vtt or .srt file.")
    timed = all(path.suffix.lower() != ".txt" for path in paths)
    utterances: list[Utterance] = []
    offset = 0.0
    for path in paths:
        last = offset
        for start, end, speaker, text in _lines(path):
            if timed:
                words = spread_words(text, offset + start, offset + end)
                begin, finish = offset + start, offset + end
            else:
                words = tuple(
                    Word(text=word, start_s=last + place, end_s=last + place + 1)
                    for place, word in enumerate(text.split())
                )
                begin, finish = last, last + len(words)
            last = max(last, finish)
            utterances.append(
                Utterance(
                    index=len(utterances),
                    start_s=round(begin, 3),
                    end_s=round(finish, 3),
                    speaker=speaker,
                    words=words,
                    readings=(Reading(listener=TypedListener.name, text=text, words=words),),
                )
            )
        offset = last
    if not utterances:
        raise InputError(
            f"The transcript {paths[0]} holds no text; check that it is the right one."
        )
    return Transcript(
        utterances=tuple(utterances),
        source=tuple(str(path) for path in paths),
        duration_s=round(offset, 3) if timed else 0.0,
        timed=timed,
        listeners={TypedListener.name: TypedListener.version},
    )


def _lines(path: Path) -> Iterator[tuple[float, float, Speaker, str]]:
    content = _read(path)
    suffix = path.suffix.lower()
    if suffix == ".txt":
        for line in content.splitlines():
            speaker, text = _split_speaker(line)
            if text:
                yield 0.0, 0.0, speaker, text
    elif suffix in (".vtt", ".srt"):
        yield from _cues(path, content)
    else:
        raise InputError(f"{path} is no transcript; its name must end in .txt, .vtt or .srt.")


def _read(path: Path) -> str:
    if path.is_dir():
        raise InputError(f"{path} is a folder; give the transcript file itself.")
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        raise InputError(f"The transcript {path} does not exist; check its name.") from None
    except OSError as error:
        raise InputError(f"The transcript {path} cannot be read: {error.strerror}.") from None
    try:
        if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
            return raw.decode("utf-16")
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(f"The transcript {path} is not UTF-8 text; save it as UTF-8.") from None


def _split_speaker(line: str) -> tuple[Speaker, str]:
    match = SPEAKER.match(line)
    speaker: Speaker = "unknown"
    if match:
        speaker = cast(Speaker, match.group(1).lower())
        line = line[match.end() :]
    return speaker, " ".join(line.split())


def _seconds(clock: str) -> float | None:
    match = _CLOCK.match(clock)
    if not match:
        return None
    hours, minutes, seconds, fraction = match.groups()
    return int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds) + float(f"0.{fraction}")


def _cues(path: Path, content: str) -> Iterator[tuple[float, float, Speaker, str]]:
    times: tuple[float, float] | None = None
    payload: list[str] = []
    found = False
    for number, line in enumerate([*content.splitlines(), ""], start=1):
        arrow = _ARROW.match(line)
        if arrow:
            start, end = _seconds(arrow.group(1)), _seconds(arrow.group(2))
            if start is None or end is None or end < start:
                raise InputError(
                    f"{path}, line {number}: the times {line.strip()} cannot be read; "
                    f"write them as 00:00:01.000 --> 00:00:02.500."
                )
            times, payload, found = (start, end), [], True
        elif not line.strip():
            if times:
                yield from _voices(times, payload)
            times = None
        elif times:
            payload.append(line)
    if not found:
        raise InputError(f"{path} holds no cues; each needs a line of times with --> in it.")


def _voices(
    times: tuple[float, float], payload: list[str]
) -> Iterator[tuple[float, float, Speaker, str]]:
    """One utterance for each voice in a cue; the time is parted by length of text."""
    parts: list[tuple[Speaker, str]] = []
    for line in payload:
        pieces = _VOICE.split(line)
        if pieces[0].strip():
            parts.append(_split_speaker(_plain(pieces[0])))
        for voice, text in zip(pieces[1::2], pieces[2::2], strict=True):
            parts.append((VOICES.get(voice.strip().lower(), "unknown"), _plain(text)))
    merged: list[tuple[Speaker, str]] = []
    for speaker, text in parts:
        if not text:
            continue
        if merged and (speaker in (merged[-1][0], "unknown")):
            merged[-1] = (merged[-1][0], f"{merged[-1][1]} {text}")
        else:
            merged.append((speaker, text))
    total = sum(len(text) for _, text in merged)
    passed = 0
    for speaker, text in merged:
        start = times[0] + (times[1] - times[0]) * passed / total
        passed += len(text)
        yield start, times[0] + (times[1] - times[0]) * passed / total, speaker, text


def _plain(text: str) -> str:
    text = _TAG.sub("", text)
    for entity, sign in _ENTITIES.items():
        text = text.replace(entity, sign)
    return " ".join(text.split())
