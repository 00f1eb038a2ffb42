"""The embedded domain listener: PocketSphinx with the examination's own language."""

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from dictate2exam.errors import RecogniserError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.base import Samples
from dictate2exam.speech.language import Language, build_language
from dictate2exam.speech.model import Reading, Word

FRAME_S = 0.01
PEAK = 0.5  # level given to each utterance; its decoder is trained on speech of usual loudness
# Wide beams: on spoken phrases about a tenth fewer errors for a tenth more time than the default.
BEAMS = {"beam": 1e-80, "wbeam": 1e-60, "pbeam": 1e-80, "maxhmmpf": -1}
LARGEST_GAIN = 50.0


def pcm16(samples: Samples) -> bytes:
    """Samples as 16-bit PCM at a usual level."""
    peak = float(np.abs(samples).max()) if len(samples) else 0.0
    gain = min(PEAK / peak, LARGEST_GAIN) if peak > 0 else 1.0
    return bytes((np.clip(samples * gain, -1, 1) * 32767).astype("<i2").tobytes())


def make_decoder(model: str, dictionary: str, options: Mapping[str, float] | None = None) -> Any:
    """A PocketSphinx decoder over the acoustic model in its wheel; wide beams unless told."""
    try:
        from pocketsphinx import Decoder

        return Decoder(
            lm=model,
            dict=dictionary,
            bestpath=True,
            loglevel="FATAL",
            **(BEAMS if options is None else options),
        )
    except (ImportError, RuntimeError, ValueError) as error:
        raise RecogniserError(
            f"PocketSphinx does not start ({error}); install the package pocketsphinx anew."
        ) from None


def decode(decoder: Any, pcm: bytes) -> float | None:
    """Decodes one utterance; natural log of the best path's score, None when nothing was heard.

    PocketSphinx hands scores over as plain numbers, not logs.
    """
    decoder.start_utt()
    decoder.process_raw(pcm, full_utt=True)
    decoder.end_utt()
    hypothesis = decoder.hyp()
    if hypothesis is None or not hypothesis.hypstr.strip() or hypothesis.score <= 0:
        return None
    return math.log(hypothesis.score)


def heard_words(decoder: Any) -> tuple[Word, ...]:
    """The words of the last utterance with times and posteriors."""
    words = []
    for segment in decoder.seg():
        text = segment.word.partition("(")[0]
        if not text or text[0] in "<[+":
            continue
        words.append(
            Word(
                text=text,
                start_s=segment.start_frame * FRAME_S,
                end_s=(segment.end_frame + 1) * FRAME_S,
                confidence=min(1.0, max(0.0, float(segment.prob))),
            )
        )
    return tuple(words)


class PocketSphinxListener:
    """Hears in the mixed language: the examination's with a little general English behind it."""

    name = "pocketsphinx"
    bends_talk = True  # into words of the examination, the only ones it knows well

    def __init__(self, language: Language) -> None:
        from importlib.metadata import version

        self.language = language
        self.version = f"pocketsphinx {version('pocketsphinx')} en-us"
        self._decoder = make_decoder(str(language.mixed), str(language.domain_dictionary))

    @classmethod
    def build(cls, lexicon: Lexicon, settings: Settings) -> "PocketSphinxListener":
        """Builds or fetches the language of the lexicon and starts the decoder."""
        return cls(build_language(lexicon))

    def hear(self, samples: Samples) -> Reading:
        """Words with times and posteriors; empty when nothing was heard."""
        if decode(self._decoder, pcm16(samples)) is None:
            return Reading(listener=self.name, text="")
        words = heard_words(self._decoder)
        return Reading(listener=self.name, text=" ".join(word.text for word in words), words=words)
