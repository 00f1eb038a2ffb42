"""Recognisers that are no part of the program, for comparison: general models as they come."""

import json
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.errors import InputError
from dictate2exam.speech.base import Samples
from dictate2exam.speech.mel import RATE, log_mel
from dictate2exam.speech.model import Reading
from dictate2exam.speech.pocketsphinx_listener import heard_words, make_decoder
from dictate2exam.speech.running import decode
from dictate2exam.speech.spoken import spoken_form
from dictate2exam.speech.spread import spread_words

WHISPER_S = 30
BEAM = 5


class GeneralPocketSphinx:
    """PocketSphinx with the general English model and dictionary of its wheel."""

    name = "pocketsphinx general"

    def __init__(self) -> None:
        from importlib.metadata import version

        from pocketsphinx import get_model_path

        model, words = "en-us/en-us.lm.bin", "en-us/cmudict-en-us.dict"
        # Its usual beams: with wide ones 134,000 words take many times the length of the sound.
        self._decoder = make_decoder(str(get_model_path(model)), str(get_model_path(words)), {})
        self.version = f"pocketsphinx {version('pocketsphinx')} en-us general"

    def hear(self, samples: Samples) -> Reading:
        """Words with times and posteriors."""
        if decode(self._decoder, samples) is None:
            return Reading(listener=self.name, text="")
        words = heard_words(self._decoder)
        return Reading(listener=self.name, text=" ".join(w.text for w in words), words=words)


def byte_of_letter() -> dict[str, int]:
    """Which byte each letter of a byte-level vocabulary stands for (GPT-2's table)."""
    plain = [*range(33, 127), *range(161, 173), *range(174, 256)]
    others = [byte for byte in range(256) if byte not in plain]
    table = {chr(byte): byte for byte in plain}
    return table | {chr(256 + place): byte for place, byte in enumerate(others)}


class WhisperListener:
    """Whisper from a folder in CTranslate2's format (model.bin, config.json, vocabulary.json).

    Beam 5, English, no times, one utterance at a time, the sound filled up to 30 s as it learnt.
    """

    name = "whisper"

    def __init__(self, folder: Path) -> None:
        import ctranslate2

        if not (folder / "model.bin").is_file() or not (folder / "vocabulary.json").is_file():
            raise InputError(f"{folder} holds no model.bin with vocabulary.json of CTranslate2.")
        self._model: Any = ctranslate2.models.Whisper(
            str(folder), device="cpu", compute_type="int8"
        )
        self._storage = ctranslate2.StorageView.from_array
        self._letters = byte_of_letter()
        pieces = json.loads((folder / "vocabulary.json").read_text(encoding="utf-8"))
        self._prompt = ["<|startoftranscript|>"]
        if self._model.is_multilingual:
            self._prompt += ["<|en|>", "<|transcribe|>"]
        self._prompt.append("<|notimestamps|>")
        if any(piece not in pieces for piece in self._prompt):
            raise InputError(f"{folder} holds no Whisper vocabulary.")
        self.version = f"whisper {folder.name} ctranslate2 {ctranslate2.__version__}"

    def hear(self, samples: Samples) -> Reading:
        """The text in spoken form, its words spread over the utterance."""
        seconds = len(samples) / RATE
        sound = np.zeros(WHISPER_S * RATE, np.float32)
        sound[: len(samples)] = samples[: len(sound)]
        encoded = self._storage(np.ascontiguousarray(log_mel(sound)[None]))
        found = self._model.generate(encoded, [self._prompt], beam_size=BEAM)[0]
        letters = "".join(t for t in found.sequences[0] if not t.startswith("<|"))
        raw = bytes(self._letters[letter] for letter in letters if letter in self._letters)
        text = spoken_form(raw.decode("utf-8", errors="ignore"))
        return Reading(listener=self.name, text=text, words=spread_words(text, 0.0, seconds))
