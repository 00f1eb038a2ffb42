"""The lines to read aloud in a voice check: lexicon/speech/voicecheck.toml."""

from pathlib import Path

from pydantic import ValidationError

from dictate2exam.errors import LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml


class Line(Frozen):
    """A line as it is read, and the words of it that are told one by one."""

    say: str
    watch: tuple[str, ...]


class Verdict(Frozen):
    """Word errors per word up to which a voice is heard well or fairly, and what is no reading."""

    well: float
    fairly: float
    other_recording: float
    line_read: float


class VoiceLines(Frozen):
    """Everything in voicecheck.toml."""

    verdict: Verdict
    lines: tuple[Line, ...]


def read_voice_lines(folder: Path) -> VoiceLines:
    """Reads lexicon/speech/voicecheck.toml; LexiconError names the broken key."""
    content = read_toml(folder / "speech" / "voicecheck.toml")
    try:
        return VoiceLines.model_validate(content)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise LexiconError(f"voicecheck.toml, key {where}: {first['msg'].lower()}.") from None
