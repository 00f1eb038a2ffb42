"""The voices that the project knows, from voices.toml, and which of them can speak here."""

import sys
from functools import lru_cache
from pathlib import Path

from dictate2exam.frozen import Frozen
from dictate2exam.synthesis.engines import why_not

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

TABLE = Path(__file__).parent / "voices.toml"


class Voice(Frozen):
    """One synthetic voice; `kind` is formant, diphone, unit, hmm, neural or unknown."""

    voice: str
    who: str = "unknown"
    accent: str = "unknown"
    kind: str = "unknown"
    locked: bool = False

    @property
    def espeak_accent(self) -> str:
        """The letter-to-sound rules that an engine without its own is given."""
        return "en-gb" if self.accent in ("British", "Scottish") else "en-us"


@lru_cache(maxsize=1)
def known_voices() -> dict[str, Voice]:
    """Every voice of the table by its name."""
    table = tomllib.loads(TABLE.read_text(encoding="utf-8"))
    return {name: Voice(voice=name, **facts) for name, facts in table.items()}


def voice_facts(name: str) -> Voice:
    """What is known of a voice; a voice that stands in no table is of unknown kind."""
    return known_voices().get(name, Voice(voice=name))


def is_locked(name: str) -> bool:
    """Whether a voice, or a style mixed into it, is kept for measuring alone."""
    engine, _, styles = name.partition(":")
    parts = [f"{engine}:{part}" for part in styles.split("+")]
    return any(voice_facts(part).locked for part in (name, *parts))


def missing_voices() -> dict[str, str]:
    """Known voices that cannot speak on this machine, with what they lack."""
    reasons = {name: why_not(name) for name in known_voices()}
    return {name: reason for name, reason in reasons.items() if reason}
