"""What a measurement is made of: true findings, samples with their truth, errors and tallies."""

from pathlib import Path
from typing import Literal

from dictate2exam.frozen import Frozen
from dictate2exam.units import Seconds, Side

ErrorKind = Literal["wrong_value", "wrong_side", "missed", "invented"]


class Expected(Frozen):
    """One true finding; `line` is the line of the script that says it, from 1 (0: not known)."""

    item: str
    side: Side
    value: str
    detail: dict[str, str] = {}
    scale: str = ""
    line: int = 0


class Truth(Frozen):
    """The lesion that a script was written for; no segments where the arm is normal."""

    kind: str
    segments: tuple[str, ...] = ()
    ganglion: str = "na"


class Sample(Frozen):
    """One examination with its truth; `times` are the first and last second of script lines."""

    name: str
    style: str
    side: Side
    script: Path
    sound: Path | None = None
    expected: tuple[Expected, ...]
    truth: Truth | None = None
    times: dict[int, tuple[Seconds, Seconds]] = {}


class ScoredError(Frozen):
    """One difference from the truth; `pointed_at` holds the open questions about that speech."""

    kind: ErrorKind
    item: str
    side: Side
    expected: str
    got: str
    said: str
    pointed_at: tuple[str, ...] = ()

    @property
    def silent(self) -> bool:
        """Whether nobody is asked about it."""
        return not self.pointed_at


class Score(Frozen):
    """One record against its truth.

    `questions` counts the open ones, gaps apart; `needed` those of them that point at an error or
    ask about a hedge. `detail_wrong` counts right findings whose expected detail is not kept.
    """

    expected: int
    right: int
    errors: tuple[ScoredError, ...] = ()
    questions: int = 0
    needed: int = 0
    gaps: int = 0
    detail_wrong: int = 0

    def count(self, kind: ErrorKind, silent: bool = False) -> int:
        """How many errors there are of a kind, or how many silent ones."""
        return sum(e.kind == kind and (e.silent or not silent) for e in self.errors)

    @property
    def silent(self) -> int:
        """How many errors nobody is asked about."""
        return sum(error.silent for error in self.errors)
