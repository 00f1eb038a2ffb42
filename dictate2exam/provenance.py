"""Where a value came from: the words and seconds behind it, and the versions that made it."""

from dictate2exam.frozen import Frozen
from dictate2exam.units import Seconds


class Heard(Frozen):
    """A stretch of one utterance: first and last word (both included) and their seconds."""

    utterance: int
    first_word: int
    last_word: int
    start_s: Seconds
    end_s: Seconds
    text: str


class Versions(Frozen):
    """What made a record: package, lexicon hash, and each listener with its version."""

    package: str
    lexicon: str
    listeners: dict[str, str]
