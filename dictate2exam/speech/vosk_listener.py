"""Vosk with a model folder of the user's: bound to the lexicon's words, or free."""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.errors import RecogniserError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.base import Samples
from dictate2exam.speech.language_models import template_texts
from dictate2exam.speech.model import Reading, Word

SAMPLE_RATE = 16_000
ALTERNATIVES = 5
GRAMMAR_SENTENCES = 3_000
UNKNOWN = "[unk]"
PIECE = 8_000  # bytes, a quarter of a second


def grammar(phrases: Iterable[str], model: Any) -> list[str]:
    """The phrases whose every word the model knows, each once, and the mark for anything else.

    Vosk ends the whole program on an empty or malformed list, so it is checked here:
    RecogniserError when no phrase is left.
    """
    known: dict[str, bool] = {}
    kept: dict[str, None] = {}
    for phrase in phrases:
        words = phrase.split()
        for word in words:
            if word not in known:
                known[word] = model.vosk_model_find_word(word) >= 0
        if words and all(known[word] for word in words):
            kept[" ".join(words)] = None
    if not kept:
        raise RecogniserError(
            "The Vosk model knows none of the lexicon's words; "
            "is it a model for English? Give another folder with --vosk-model."
        )
    if model.vosk_model_find_word(UNKNOWN) >= 0:
        kept[UNKNOWN] = None
    return list(kept)


def load_model(folder: Path | None) -> Any:
    """The model in a folder; RecogniserError says how to get one."""
    how = "download an English model from the Vosk project, unpack it, and give its folder"
    if folder is None:
        raise RecogniserError(f"Vosk needs a model folder: {how} with --vosk-model DIR.")
    folder = Path(folder)
    if not folder.is_dir():
        raise RecogniserError(f"The Vosk model folder {folder} does not exist: {how}.")
    if not any((folder / part).exists() for part in ("am", "final.mdl")):
        raise RecogniserError(
            f"{folder} is no Vosk model (it lacks the folder am): {how}, the one that holds am."
        )
    try:
        import vosk

        vosk.SetLogLevel(-1)
        return vosk.Model(model_path=str(folder))
    except Exception as error:  # the library raises plain Exception
        raise RecogniserError(f"The Vosk model in {folder} does not load: {error}.") from None


class VoskListener:
    """Hears with words, times and confidences; `phrases` binds it, None leaves it free."""

    name = "vosk"
    bends_talk = True  # as domain listener: its grammar has no other words

    def __init__(self, model: Any, folder: Path, phrases: Iterable[str] | None) -> None:
        import vosk

        self._model = model
        self.version = f"vosk {getattr(vosk, '__version__', '0.3')} {folder.name}"
        if phrases is None:
            self._recogniser = vosk.KaldiRecognizer(model, SAMPLE_RATE)
        else:
            bound = json.dumps(grammar(phrases, model), ensure_ascii=False)
            self._recogniser = vosk.KaldiRecognizer(model, SAMPLE_RATE, bound)
        self._recogniser.SetWords(True)
        self._passed_s = 0.0  # Vosk goes on counting time over all that one recogniser hears

    @classmethod
    def build(cls, lexicon: Lexicon, settings: Settings) -> "VoskListener":
        """As domain listener: bound to phrases of the lexicon."""
        model = load_model(settings.vosk_model)
        assert settings.vosk_model is not None
        return cls(model, Path(settings.vosk_model), template_texts(lexicon, GRAMMAR_SENTENCES))

    @classmethod
    def build_free(cls, lexicon: Lexicon, settings: Settings) -> "VoskListener":
        """As free listener: hears anything its model knows."""
        model = load_model(settings.vosk_model)
        assert settings.vosk_model is not None
        return cls(model, Path(settings.vosk_model), None)

    def hear(self, samples: Samples) -> Reading:
        """Words with times and confidences."""
        self._recogniser.SetMaxAlternatives(0)
        words: list[Word] = []
        begin = self._passed_s
        for result in self._results(samples):
            for entry in result.get("result", ()):
                if entry["word"] == UNKNOWN:
                    continue
                words.append(
                    Word(
                        text=entry["word"],
                        start_s=round(max(0.0, float(entry["start"]) - begin), 3),
                        end_s=round(max(0.0, float(entry["end"]) - begin), 3),
                        confidence=min(1.0, max(0.0, float(entry["conf"]))),
                    )
                )
        return Reading(
            listener=self.name, text=" ".join(word.text for word in words), words=tuple(words)
        )

    def alternatives(self, samples: Samples, count: int = ALTERNATIVES) -> list[str]:
        """Other ways to hear one utterance, best first; Vosk gives them no probabilities."""
        self._recogniser.SetMaxAlternatives(count)
        texts = [
            entry["text"]
            for result in self._results(samples)
            for entry in result.get("alternatives", ())
        ]
        self._recogniser.SetMaxAlternatives(0)
        return list(dict.fromkeys(text for text in texts if text))

    def _results(self, samples: Samples) -> list[dict[str, Any]]:
        self._recogniser.Reset()
        pcm = (np.clip(samples, -1, 1) * 32767).astype("<i2").tobytes()
        self._passed_s += len(samples) / SAMPLE_RATE
        results = []
        for place in range(0, len(pcm), PIECE):
            if self._recogniser.AcceptWaveform(pcm[place : place + PIECE]):
                results.append(json.loads(self._recogniser.Result()))
        results.append(json.loads(self._recogniser.FinalResult()))  # empty if all was said before
        return results
