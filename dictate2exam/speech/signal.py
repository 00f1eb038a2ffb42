"""How good the sound is, in numbers and in plain words."""

import numpy as np
import numpy.typing as npt

from dictate2exam.audio.model import SAMPLE_RATE
from dictate2exam.lexicon.hearing import SignalLimits
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import Span
from dictate2exam.speech.model import Signal

CLIPPED_AT = 0.985
CLEANEST_DB = 60.0
FRAME = 512  # samples, 32 ms
HERTZ = SAMPLE_RATE / FRAME  # of one step of the spectrum
LOWEST_HZ = 100.0  # what lies below carries no speech: rumble, the ground tone of mains hum
SPEECH_RANGE_DB = 25.0  # below the loud frames: what counts as speech
ABOVE_NOISE_DB = 2.0
LEAST_PAUSE_S = 0.8  # so much outside the utterances tells of the noise
LOUDEST_LEFT_OUT = 0.05  # of the frames of pauses: a door, a missed word
SMOOTHED = 3  # frames
QUIET_SHARE = 0.2  # quantile of each band that is taken for noise
# The mean of noise over that quantile of it, three frames together (a gamma distribution).
QUANTILE_BIAS = 0.51
EDGE_WIDTH = 3  # steps of the spectrum, 94 Hz
EDGE_DROP_DB = 40.0  # below the loudest band: nothing

Floats = npt.NDArray[np.floating]


def measure_signal(samples: Samples, spans: list[Span], limits: SignalLimits) -> Signal:
    """Level of the speech, speech over noise, share of clipped samples, and upper band edge.

    Speech over noise is that of loud frames over the pauses between the utterances, above 100 Hz;
    where speech hardly stops, over what each band falls back to between sounds. Its error on
    synthetic mixes is printed by tests/speech/test_signal.py.
    """
    power = spectra(samples)
    levels = _db(power.sum(axis=1))
    inside = np.zeros(len(levels), dtype=bool)
    for span in spans:
        inside[span.start // FRAME : -(-span.end // FRAME)] = True
    if not inside.any():
        inside[:] = True
    top = float(np.percentile(levels[inside], 95)) if len(levels) else -120.0
    noise = _noise_db(power, levels, inside)
    speech = inside & (levels > min(top, max(top - SPEECH_RANGE_DB, noise + ABOVE_NOISE_DB)))
    level = _mean_db(levels[speech])
    clean = max(10 ** (level / 10) - 10 ** (noise / 10), 1e-12)
    snr = float(min(CLEANEST_DB, 10 * np.log10(clean) - max(noise, -110.0)))
    clipped = _clipped(samples)
    edge = band_edge(power[speech])
    signal = Signal(
        level_db=round(level, 1),
        snr_db=round(snr, 1),
        clipped=round(clipped, 5),
        band_hz=round(edge),
        too_noisy=snr < limits.too_noisy_db,
    )
    return signal.model_copy(update={"cautions": tuple(_cautions(signal, limits))})


def spectra(samples: Samples) -> Floats:
    """Power of each frame of 32 ms in each band of 31 Hz from 100 Hz on; a frame sums to its
    mean square.
    """
    frames = samples[: len(samples) // FRAME * FRAME].reshape(-1, FRAME)
    window = np.hanning(FRAME).astype(np.float32)
    scale = 2 / (FRAME * float((window**2).sum()))
    first = int(np.ceil(LOWEST_HZ / HERTZ))
    made = np.empty((len(frames), FRAME // 2 + 1 - first), dtype=np.float32)
    for start in range(0, len(frames), 4096):  # a long recording is not held twice
        part = np.fft.rfft(frames[start : start + 4096] * window)[:, first:]
        made[start : start + 4096] = scale * (part.real**2 + part.imag**2)
    return made


def _db(power: Floats) -> Floats:
    return np.asarray(10 * np.log10(power + 1e-12), dtype=np.float64)


def _mean_db(levels: Floats) -> float:
    return float(10 * np.log10(np.mean(10 ** (levels / 10)) + 1e-12)) if len(levels) else -120.0


def _noise_db(power: Floats, levels: Floats, inside: npt.NDArray[np.bool_]) -> float:
    """Level of the noise: of the pauses if there are any, else of what lies between sounds."""
    pauses = np.sort(levels[~inside])
    if len(pauses) * FRAME / SAMPLE_RATE >= LEAST_PAUSE_S:
        return _mean_db(pauses[: max(1, round(len(pauses) * (1 - LOUDEST_LEFT_OUT)))])
    quiet = float(np.percentile(levels, 10)) if len(levels) else -120.0
    if len(power) < 2 * SMOOTHED:
        return quiet
    whole = len(power) // SMOOTHED * SMOOTHED
    smooth = power[:whole].reshape(-1, SMOOTHED, power.shape[1]).mean(axis=1)
    between = float(np.quantile(smooth, QUIET_SHARE, axis=0).sum() / QUANTILE_BIAS)
    return (quiet + 10 * float(np.log10(between + 1e-12))) / 2


def _clipped(samples: Samples) -> float:
    """Share of samples that stand at full scale beside another such one."""
    full = np.abs(samples) >= CLIPPED_AT
    beside = full[1:] & full[:-1]
    return float(beside.mean()) if len(beside) else 0.0


def band_edge(power: Floats) -> float:
    """The frequency in hertz above which these frames of speech hold nothing."""
    if not len(power):
        return SAMPLE_RATE / 2
    strong = np.quantile(power, 0.95, axis=0)
    smooth = _db(np.convolve(strong, np.ones(EDGE_WIDTH) / EDGE_WIDTH, mode="same"))
    heard = np.flatnonzero(smooth > smooth.max() - EDGE_DROP_DB)
    return min(SAMPLE_RATE / 2, LOWEST_HZ + float(heard[-1] + 1) * HERTZ)


def _cautions(signal: Signal, limits: SignalLimits) -> list[str]:
    found = []
    if signal.too_noisy:
        found.append(
            f"The recording is too noisy to trust: {signal.snr_db:.0f} dB of speech over noise, "
            f"{limits.too_noisy_db:.0f} dB are needed; every finding of it is asked about."
        )
    elif signal.snr_db < limits.noisy_db:
        found.append(f"The recording is noisy: {signal.snr_db:.0f} dB of speech over noise.")
    if signal.level_db < limits.too_quiet_db:
        found.append(
            f"The recording is very quiet ({signal.level_db:.0f} dB): move the microphone closer."
        )
    if signal.clipped > limits.clipped:
        found.append(
            f"The recording is clipped ({100 * signal.clipped:.1f}% of it): turn the microphone "
            f"down."
        )
    if signal.band_hz is not None and signal.band_hz < limits.narrow_band_hz:
        found.append(
            f"The recording sounds like a telephone: nothing above {signal.band_hz / 1000:.1f} "
            f"kHz. Terms are heard worse so; record at 16 kHz or more, without a telephone."
        )
    return found
