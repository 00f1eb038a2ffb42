"""What the review screen needs of whatever plays the stored sound."""

from typing import Protocol

from dictate2exam.units import Seconds


class Sound(Protocol):
    """What plays the stored sound."""

    def play(self, start_s: Seconds, end_s: Seconds) -> None:
        """Begins to play a stretch of the examination."""

    def ended(self) -> bool:
        """Whether nothing plays now."""

    def failed(self) -> bool:
        """Whether it could not be played."""

    def stop(self) -> None:
        """Ends what plays."""
