"""The embedded domain listener: PocketSphinx with the examination's own language."""

import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.errors import RecogniserError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.sounds import Pronunciation
from dictate2exam.settings import Settings
from dictate2exam.speech.base import Samples
from dictate2exam.speech.examiner import read_examiner
from dictate2exam.speech.language import Language, build_language
from dictate2exam.speech.model import Reading, Word
from dictate2exam.speech.personal_sounds import personal_sounds, write_personal_dictionary
from dictate2exam.speech.pronounce import Pronouncer
from dictate2exam.speech.running import Running
from dictate2exam.speech.sphinx import new_decoder

FRAME_S = 0.01
# Wide beams: on spoken phrases about a tenth fewer errors for a tenth more time than the default.
BEAMS = {"beam": 1e-80, "wbeam": 1e-60, "pbeam": 1e-80, "maxhmmpf": -1}


def make_decoder(model: str, dictionary: str, options: Mapping[str, float] | None = None) -> Any:
    """A PocketSphinx decoder over the acoustic model in its wheel; wide beams unless told."""
    chosen = BEAMS if options is None else options
    try:
        return new_decoder(
            {"lm": model, "dict": dictionary, "bestpath": True, "loglevel": "FATAL", **chosen}
        )
    except (ImportError, RuntimeError, ValueError) as error:
        raise RecogniserError(
            f"PocketSphinx does not start ({error}); install the package pocketsphinx anew."
        ) from None


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


class Means:
    """The mean of the utterances' cepstral means, longer ones counting for more."""

    def __init__(self) -> None:
        self._total = np.zeros(0)
        self._weight = 0

    def add(self, means: str, weight: int) -> None:
        """One utterance's means, as PocketSphinx writes them; nothing where they are empty."""
        if not means:
            return
        values = np.array([float(value) for value in means.split(",")]) * weight
        self._total = self._total + values if self._weight else values
        self._weight += weight

    @property
    def text(self) -> str:
        """The mean in PocketSphinx's way of writing; empty when there was none."""
        return ",".join(f"{value:.4f}" for value in self._total / max(1, self._weight))


class PocketSphinxListener:
    """Hears in the mixed language: the examination's with a little general English behind it."""

    name = "pocketsphinx"
    bends_talk = True  # into words of the examination, the only ones it knows well

    def __init__(
        self,
        language: Language,
        sounds: Sequence[tuple[str, Pronunciation]] = (),
        cepstral_means: str = "",
    ) -> None:
        from importlib.metadata import version

        self.language = language
        self.version = f"pocketsphinx {version('pocketsphinx')} en-us"
        with tempfile.TemporaryDirectory() as folder:
            dictionary = language.domain_dictionary
            if sounds:
                dictionary = Path(folder) / "personal.dict"
                write_personal_dictionary(language.domain_dictionary, sounds, dictionary)
            self.decoder = make_decoder(str(language.mixed), str(dictionary))
        self._kept_mean = cepstral_means
        self.means = Means()

    @classmethod
    def build(cls, lexicon: Lexicon, settings: Settings) -> "PocketSphinxListener":
        """Builds or fetches the language of the lexicon and starts the decoder.

        With what is kept of the examiner that the settings name: pronunciations, cepstral means.
        """
        sounds = personal_sounds(lexicon, Pronouncer.of_lexicon(lexicon))
        means = read_examiner(settings.examiner).cepstral_means if settings.examiner else ""
        return cls(build_language(lexicon), sounds, means)

    @property
    def cepstral_means(self) -> str:
        """The mean cepstrum of this voice and microphone so far, as PocketSphinx writes it."""
        return self.means.text or self._kept_mean

    def begin(self) -> "RunningReading":
        """An utterance that will be fed as it is spoken; the one before must have ended."""
        return RunningReading(self, Running(self.decoder, self._kept_mean))

    def hear(self, samples: Samples) -> Reading:
        """Words with times and posteriors; empty when nothing was heard."""
        reading = self.begin()
        reading.feed(samples)
        return reading.end()


class RunningReading:
    """One utterance read while it is being spoken."""

    def __init__(self, listener: PocketSphinxListener, running: Running) -> None:
        self._listener, self._running = listener, running
        self.feed, self.abandon = running.feed, running.abandon

    @property
    def text(self) -> str:
        """The words so far, which may still change."""
        return self._running.text

    def end(self) -> Reading:
        """The reading of the whole utterance."""
        score = self._running.end()
        if score is not None:
            self._listener.means.add(*self._running.measured)
        words = () if score is None else heard_words(self._listener.decoder)
        return Reading(
            listener=self._listener.name, text=" ".join(word.text for word in words), words=words
        )
