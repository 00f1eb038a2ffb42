"""Sound as the rest of the program sees it."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from dictate2exam.units import Hertz, Seconds

SAMPLE_RATE: Hertz = 16_000


@dataclass(frozen=True)
class Recording:
    """Mono 16 kHz sound: float32 `samples` in [-1, 1]; `source` names its files."""

    samples: npt.NDArray[np.float32]
    source: tuple[str, ...]
    sha256: tuple[str, ...] = ()
    sample_rate: Hertz = SAMPLE_RATE

    @property
    def duration_s(self) -> Seconds:
        """Length in seconds."""
        return len(self.samples) / self.sample_rate

    def cut(self, start_s: Seconds, end_s: Seconds) -> npt.NDArray[np.float32]:
        """Samples between two times in seconds, clipped to the recording."""
        first = max(0, round(start_s * self.sample_rate))
        return self.samples[first : max(first, round(end_s * self.sample_rate))]
