"""The free listener: Moonshine, which hears anything and knows nothing of the examination."""

import threading
from typing import Any

import numpy as np

from dictate2exam.errors import RecogniserError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.base import Samples
from dictate2exam.speech.endpoint import FRAME, frame_levels
from dictate2exam.speech.model import Reading
from dictate2exam.speech.spoken import spoken_form
from dictate2exam.speech.spread import spread_words

MODEL = "tiny-en"
SAMPLE_RATE = 16_000
KEPT_FRAMES = 3  # 30 ms each
BELOW_LOUDEST_DB = 35.0


def trim(samples: Samples) -> Samples:
    """The sound without the silence around it: before a pause Moonshine invents a word."""
    levels = frame_levels(samples)
    if not len(levels):
        return samples
    loud = np.flatnonzero(levels > max(levels.max() - BELOW_LOUDEST_DB, levels.min() + 6.0))
    if not len(loud):
        return samples
    start, end = max(0, loud[0] - KEPT_FRAMES), loud[-1] + 1 + KEPT_FRAMES
    return samples[start * FRAME : end * FRAME]


class MoonshineListener:
    """Hears one utterance with the model that comes in the moonshine-voice wheel."""

    name = "moonshine"
    needs_no_pause = True  # it can be heard before the pause after it is long enough

    def __init__(self, transcriber: Any) -> None:
        from importlib.metadata import version

        self._transcriber = transcriber
        self._alone = threading.Lock()
        self._last: tuple[Samples, str] | None = None
        self.version = f"moonshine-voice {version('moonshine-voice')} {MODEL}"

    @classmethod
    def build(cls, lexicon: Lexicon, settings: Settings) -> "MoonshineListener":
        """Starts the model; RecogniserError when the installed release does not carry it."""
        try:
            # The package's own __init__ needs a sound card library; its modules do not.
            from moonshine_voice.moonshine_api import ModelArch
            from moonshine_voice.transcriber import Transcriber
            from moonshine_voice.utils import get_model_path
        except (ImportError, OSError) as error:
            raise RecogniserError(
                f"Moonshine does not start ({error}); install moonshine-voice 0.0.73 or newer."
            ) from None
        folder = get_model_path(MODEL)
        if not (folder / "encoder_model.ort").is_file():
            raise RecogniserError(
                f"The installed moonshine-voice does not carry the model {MODEL}; "
                f"install release 0.0.73, whose package holds it."
            )
        try:
            return cls(Transcriber(model_path=str(folder), model_arch=ModelArch.TINY))
        except Exception as error:  # the library raises its own kinds
            raise RecogniserError(
                f"Moonshine's model in {folder} does not load: {error}."
            ) from None

    def hear(self, samples: Samples) -> Reading:
        """The text in spoken form, its words spread over the utterance; it gives no confidence.

        Sound that differs from the last only in the silence around it is not heard again.
        """
        peak = float(np.abs(samples).max()) if len(samples) else 0.0
        sound = trim(samples) * min(0.5 / peak, 50.0) if peak > 0 else samples
        with self._alone:
            if self._last is None or not np.array_equal(self._last[0], sound):
                heard = self._transcriber.transcribe_without_streaming(sound.tolist(), SAMPLE_RATE)
                text = spoken_form(" ".join(line.text for line in heard.lines))
                self._last = sound, text
            text = self._last[1]
        return Reading(
            listener=self.name,
            text=text,
            words=spread_words(text, 0.0, len(samples) / SAMPLE_RATE),
        )
