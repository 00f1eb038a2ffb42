"""How good the sound is, in numbers and in plain words."""

import numpy as np

from dictate2exam.lexicon.hearing import SignalLimits
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import FRAME, Span, frame_levels, noise_floor
from dictate2exam.speech.model import Signal

CLIPPED_AT = 0.985
CLEANEST_DB = 60.0


def measure_signal(samples: Samples, spans: list[Span], limits: SignalLimits) -> Signal:
    """Level of the speech, speech over noise in decibels (rough), and share of clipped samples.

    Noise is what is left between the utterances, or the quiet frames where speech never stops.
    """
    levels = frame_levels(samples)
    inside = np.zeros(len(levels), dtype=bool)
    for span in spans:
        inside[span.start // FRAME : span.end // FRAME] = True
    loud = levels[inside] if inside.any() else levels
    level = _mean_db(loud[loud >= np.percentile(loud, 50)])
    floor = noise_floor(levels)
    power = max(10 ** (level / 10) - 10 ** (floor / 10), 1e-12)
    snr = float(min(CLEANEST_DB, 10 * np.log10(power) - max(floor, -110.0)))
    clipped = _clipped(samples)
    return Signal(
        level_db=round(level, 1),
        snr_db=round(snr, 1),
        clipped=round(clipped, 5),
        cautions=tuple(_cautions(level, snr, clipped, limits)),
    )


def _mean_db(levels: "np.ndarray[tuple[int], np.dtype[np.float64]]") -> float:
    return float(10 * np.log10(np.mean(10 ** (levels / 10)) + 1e-12))


def _clipped(samples: Samples) -> float:
    """Share of samples that stand at full scale beside another such one."""
    full = np.abs(samples) >= CLIPPED_AT
    beside = full[1:] & full[:-1]
    return float(beside.mean()) if len(beside) else 0.0


def _cautions(level: float, snr: float, clipped: float, limits: SignalLimits) -> list[str]:
    found = []
    if snr < limits.too_noisy_db:
        found.append(
            f"The recording is too noisy to trust (speech only {snr:.0f} dB above the noise): "
            f"check every finding."
        )
    elif snr < limits.noisy_db:
        found.append(f"The recording is noisy (speech {snr:.0f} dB above the noise).")
    if level < limits.too_quiet_db:
        found.append(f"The recording is very quiet ({level:.0f} dB): move the microphone closer.")
    if clipped > limits.clipped:
        found.append(
            f"The recording is clipped ({100 * clipped:.1f}% of it): turn the microphone down."
        )
    return found
