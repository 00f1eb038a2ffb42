"""Thresholds of hearing: lexicon/speech/gate.toml."""

from pathlib import Path

from pydantic import ValidationError

from dictate2exam.errors import LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml


class GateLimits(Frozen):
    """Scores (1000 x natural log per 10 ms frame) that part examination, unsure and talk."""

    examination: float
    talk: float
    noise_slack: float
    talk_kinds: tuple[str, ...]
    talk_share: float


class SignalLimits(Frozen):
    """Decibels of speech over noise and of full scale, share of clipped samples, hertz."""

    too_noisy_db: float
    noisy_db: float
    too_quiet_db: float
    clipped: float
    narrow_band_hz: float


class ConfidenceWeights(Frozen):
    """Weights of the logistic sum that makes a word's probability."""

    constant: float
    posterior: float
    best_agreement: float
    mean_agreement: float
    gate: float
    noise: float
    highest: float
    lowest: float
    too_noisy_highest: float


class Hearing(Frozen):
    """Everything in gate.toml; `listeners` are weights of domain listeners that need their own."""

    gate: GateLimits
    signal: SignalLimits
    confidence: ConfidenceWeights
    listeners: dict[str, ConfidenceWeights] = {}

    def weights(self, listener: str) -> ConfidenceWeights:
        """The weights for a domain listener's words."""
        return self.listeners.get(listener, self.confidence)


def read_hearing(folder: Path) -> Hearing:
    """Reads lexicon/speech/gate.toml; LexiconError names the broken key."""
    content = read_toml(folder / "speech" / "gate.toml")
    try:
        hearing = Hearing.model_validate(content)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise LexiconError(f"gate.toml, key {where}: {first['msg'].lower()}.") from None
    if hearing.gate.talk > hearing.gate.examination:
        raise LexiconError("gate.toml: the threshold talk must not lie above examination.")
    return hearing
