"""Named units, so that a signature says what its numbers mean."""

from typing import Literal

Seconds = float
Hertz = int
Probability = float
Bits = float

Side = Literal["left", "right", "none"]
SIDES: tuple[Side, ...] = ("left", "right", "none")
