"""What is measured on speech: the whole stage, it without each of its parts, each part alone.

All of them share the same listeners, and each listener hears an utterance once: what it said is
remembered and given to every system that asks again.
"""

import copy
import hashlib
import time
from collections.abc import Iterable
from pathlib import Path
from typing import Any, cast

import numpy as np

from dictate2exam.bench.baselines import GeneralPocketSphinx, WhisperListener
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.listen import SECOND_READER, Stage

COMBINATION = "combination"
GATE = "gate"


class Remembering:
    """A listener, or the gate, that does no work twice; `seconds` counts what it did do."""

    def __init__(self, inner: Any) -> None:
        self.inner = inner
        self.seconds = 0.0
        self._answers: dict[tuple[str, ...], Any] = {}

    def __getattr__(self, name: str) -> Any:
        found = getattr(self.inner, name)
        if not callable(found):
            return found

        def remembered(*given: Any, **named: Any) -> Any:
            if not given or not isinstance(given[0], np.ndarray):
                return found(*given, **named)
            digest = hashlib.sha1(given[0].tobytes()).hexdigest()
            key = (name, digest, repr(given[1:]), repr(named))
            if key not in self._answers:
                started = time.perf_counter()
                self._answers[key] = found(*given, **named)
                self.seconds += time.perf_counter() - started
            return self._answers[key]

        return remembered

    def forget(self) -> None:
        """Drops what is remembered."""
        self._answers.clear()


class OpenGate:
    """Lets everything through, at the score from which on speech is taken for examination."""

    def __init__(self, score: float) -> None:
        self._score = score

    def score(self, samples: Any) -> float:
        """The same for every utterance."""
        return self._score


class Systems:
    """Every system by name, each a stage made ready."""

    def __init__(
        self,
        lexicon: Lexicon,
        settings: Settings,
        wanted: Iterable[str] = (),
        whisper: Path | None = None,
    ) -> None:
        whole: Any = Stage(lexicon, settings)
        whole.domain = Remembering(whole.domain)
        whole.second = Remembering(whole.second) if whole.second else None
        whole.free = Remembering(whole.free) if whole.free else None
        whole.gate = Remembering(whole.gate)
        self._whole = whole
        self._open: Any = OpenGate(whole.hearing.gate.examination)
        hearing = (whole.domain, whole.second, whole.free)
        self.parts: dict[str, Any] = {part.name: part for part in hearing if part is not None}
        self.parts[GATE] = whole.gate
        self.stages: dict[str, Stage] = {COMBINATION: whole}
        for name, part in list(self.parts.items()):
            self.stages[f"without {name}"] = self._without(name)
            if name != GATE:
                self.stages[f"{name} alone"] = self._alone(part)
        baselines: list[Any] = [GeneralPocketSphinx]
        if whisper:
            baselines.append(lambda: WhisperListener(whisper))
        for build in baselines:
            part = Remembering(build())
            self.parts[part.name] = part
            self.stages[part.name] = self._alone(part)
        chosen = list(wanted)
        unknown = [name for name in chosen if name not in self.stages]
        if unknown:
            raise InputError(
                f"There is no system {', '.join(unknown)}; there are {', '.join(self.stages)}."
            )
        if chosen:
            self.stages = {name: self.stages[name] for name in chosen}

    @property
    def versions(self) -> dict[str, str]:
        """Name and version of everything that hears."""
        return {name: str(part.version) for name, part in self.parts.items() if name != GATE}

    def forget(self) -> None:
        """Drops what the listeners remember of the sound so far."""
        for part in self.parts.values():
            part.forget()

    def close(self) -> None:
        """Ends what the stage runs."""
        self._whole.close()

    def _without(self, name: str) -> Stage:
        made: Any = copy.copy(self._whole)
        if name == GATE:
            made.gate = self._open
        elif made.free is not None and name == made.free.name:
            made.free = None
        elif made.second is not None and name == made.second.name:
            made.second = None
        else:  # the second reader gives the words
            made.domain = self.parts[SECOND_READER]
            made.second = None
        return cast(Stage, made)

    def _alone(self, part: Any) -> Stage:
        made: Any = copy.copy(self._whole)
        made.domain, made.second, made.free, made.gate = part, None, None, self._open
        return cast(Stage, made)
