"""The neural domain listener: a small open recogniser whose decoder has learnt the examination.

Runs the weights in speech/weights/ (made by dictate2exam/training; see MODEL_CARD.md there) with
CTranslate2 on the processor. They are checked against their SHA-256 before they are loaded.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.errors import RecogniserError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.provenance import check_released
from dictate2exam.settings import Settings
from dictate2exam.speech.base import Samples
from dictate2exam.speech.mel import RATE, log_mel
from dictate2exam.speech.model import Reading, Word
from dictate2exam.speech.pieces import SPACE, Tokeniser

WEIGHTS = Path(__file__).parent / "weights"
FILES = ("config.json", "model.bin", "vocabulary.json")
BEAM = 3  # as good as 8 on strange scripts and voices, at half the time
FRAME_S = 0.02  # of the encoder's states, on which words are aligned
LONGEST_S = 29.9
SHORTEST_S = 0.1
LEAST_S = 5.0  # shorter sound is filled up with its own noise
PAUSE_S = 0.1
LEVEL = 0.08  # root mean square that speech is brought to
LARGEST_GAIN = 50.0
LEAST_BELIEF = 0.1
BELOW_PEAK_DB = 30.0  # speech is louder than this below the loudest 20 ms
WORDS_PER_S = 6.0  # nobody speaks faster; a reading with more is a decoder running away
TOKENS_PER_S = 14


def check_weights(folder: Path) -> str:
    """The start of the model's SHA-256; RecogniserError when a file is missing or altered."""
    sums = check_released(folder, "The neural listener's weights", FILES)
    return sums["model.bin"][:12]


def even_level(samples: Samples) -> Samples:
    """The sound at the level that the recogniser was trained on."""
    loud = samples[np.abs(samples) > 0.1 * float(np.abs(samples).max(initial=0.0))]
    level = float(np.sqrt(np.mean(loud.astype(np.float64) ** 2))) if len(loud) else 0.0
    gain = min(LEVEL / level, LARGEST_GAIN) if level > 0 else 1.0
    return np.asarray(np.clip(samples * np.float32(gain), -1, 1), np.float32)


def pad(samples: Samples) -> Samples:
    """The sound with a pause at its end, as long at least as what the recogniser learnt from."""
    missing = max(int(PAUSE_S * RATE), int(LEAST_S * RATE) - len(samples))
    return np.concatenate([samples, quiet(samples, missing)])


def tighten(words: tuple[Word, ...], samples: Samples) -> tuple[Word, ...]:
    """The words without the silence that alignment counts to them, where there is any."""
    step = int(FRAME_S * RATE)
    frames = samples[: len(samples) // step * step].reshape(-1, step).astype(np.float64)
    if not words or not len(frames):
        return words
    levels = 10 * np.log10((frames**2).mean(axis=1) + 1e-12)
    loud = levels > max(float(levels.max()) - BELOW_PEAK_DB, float(np.percentile(levels, 10)) + 3)
    made = []
    for word in words:
        start, end = round(word.start_s / FRAME_S), round(word.end_s / FRAME_S)
        inside = np.flatnonzero(loud[start:end])
        if len(inside):
            new = (start + int(inside[0])) * FRAME_S, (start + int(inside[-1]) + 1) * FRAME_S
            word = word.model_copy(update={"start_s": round(new[0], 3), "end_s": round(new[1], 3)})
        made.append(word)
    return tuple(made)


def quiet(samples: Samples, count: int) -> Samples:
    """`count` samples of the recording's own quietest stretch, over and over."""
    size = min(len(samples), RATE // 10)
    starts = range(0, len(samples) - size + 1, size)
    start = min(starts, key=lambda at: float(np.abs(samples[at : at + size]).mean()))
    piece = samples[start : start + size]
    both = np.concatenate([piece, piece[::-1]])  # no jump where it repeats
    return np.resize(both, count)


@dataclass(frozen=True)
class Heard:
    """What is known of the utterance heard last: its sound and the encoder's states of it."""

    samples: Samples
    encoded: Any
    frames: int


class NeuralListener:
    """Hears examination speech, and what is said around it, in lower-case words."""

    name = "neural"

    def __init__(self, folder: Path = WEIGHTS) -> None:
        digest = check_weights(folder)
        try:
            import ctranslate2

            self._model: Any = ctranslate2.models.Whisper(
                str(folder),
                device="cpu",
                compute_type="int8",
                intra_threads=1,  # the other listeners work beside it; two threads only wait more
            )
        except (ImportError, RuntimeError, ValueError) as error:
            raise RecogniserError(
                f"The neural listener does not start ({error}); install the package ctranslate2 "
                "anew."
            ) from None
        self._storage = ctranslate2.StorageView.from_array
        self._pieces: list[str] = json.loads(
            (folder / "vocabulary.json").read_text(encoding="utf-8")
        )
        self._begin = self._pieces.index("<|startoftranscript|>")
        self._prompt = [self._begin, self._pieces.index("<|notimestamps|>")]
        self._tokeniser = Tokeniser(self._pieces)
        self._last: Heard | None = None
        self.version = f"ctranslate2 {ctranslate2.__version__} weights {digest}"

    @classmethod
    def build(cls, lexicon: Lexicon, settings: Settings) -> "NeuralListener":
        """The listener with the weights of the package."""
        return cls()

    def hear(self, samples: Samples) -> Reading:
        """Words with times and probabilities; empty when nothing was heard.

        Sound beyond 29.9 s is not heard: utterances are cut much shorter than that.
        """
        samples = samples[: int(LONGEST_S * RATE)]
        seconds = len(samples) / RATE
        if seconds < SHORTEST_S or not np.any(samples):
            return Reading(listener=self.name, text="")
        mel = log_mel(pad(even_level(samples)))
        encoded = self._model.encode(self._storage(np.ascontiguousarray(mel[None])))
        found = self._model.generate(
            encoded,
            [self._prompt],
            beam_size=BEAM,
            max_length=len(self._prompt) + 6 + int(TOKENS_PER_S * seconds),
            suppress_blank=False,
            repetition_penalty=1.0,
        )[0]
        self._last = Heard(samples, encoded, mel.shape[1])
        tokens = [token for token in found.sequences_ids[0] if token not in self._prompt]
        words = tighten(self._timed(encoded, tokens, mel.shape[1], seconds), samples)
        # The search always writes a word; in noise alone none of them is at all likely.
        believed = any((word.confidence or 0) > LEAST_BELIEF for word in words)
        if not believed or len(words) > 2 + WORDS_PER_S * seconds:
            return Reading(listener=self.name, text="")
        return Reading(listener=self.name, text=" ".join(w.text for w in words), words=words)

    def _heard(self, samples: Samples) -> Heard | None:
        """What is known of this utterance, heard anew if another was heard since."""
        samples = samples[: int(LONGEST_S * RATE)]
        if self._last is None or not np.array_equal(self._last.samples, samples):
            self.hear(samples)
        if self._last is None or not np.array_equal(self._last.samples, samples):
            return None
        return self._last

    def forced(self, samples: Samples, texts: Sequence[str]) -> list[float]:
        """For each text how well it explains the utterance: mean natural log a piece."""
        heard = self._heard(samples)
        if heard is None:
            return [float("-inf")] * len(texts)
        encoded, frames = heard.encoded, heard.frames
        places = {piece: place for place, piece in enumerate(self._pieces)}
        rows = [[places[piece] for piece in self._tokeniser.pieces(text)] for text in texts]
        batch = self._storage(np.repeat(np.asarray(encoded), len(rows), axis=0))
        aligned = self._model.align(batch, [self._begin], rows, [frames] * len(rows))
        return [float(np.mean(np.log(np.maximum(a.text_token_probs, 1e-9)))) for a in aligned]

    def _text(self, tokens: Sequence[int]) -> str:
        return "".join(self._pieces[token] for token in tokens).replace(SPACE, " ").strip()

    def _timed(
        self, encoded: Any, tokens: list[int], frames: int, seconds: float
    ) -> tuple[Word, ...]:
        """The words of the tokens, with times from the attention of the aligning heads."""
        groups: list[list[int]] = []  # places of the tokens of each word
        for place, token in enumerate(tokens):
            if self._pieces[token].startswith(SPACE) or not groups:
                groups.append([])
            groups[-1].append(place)
        if not groups:
            return ()
        aligned = self._model.align(encoded, [self._begin], [tokens], frames)[0]
        first: dict[int, int] = {}
        last: dict[int, int] = {}
        for place, frame in aligned.alignments:
            first.setdefault(place, frame)
            last[place] = frame
        words: list[Word] = []
        for group in groups:
            text = self._text([tokens[place] for place in group])
            start = first.get(group[0], last.get(group[0], 0)) * FRAME_S
            end = (last.get(group[-1], first.get(group[-1], 0)) + 1) * FRAME_S
            start = max(min(start, seconds), words[-1].start_s if words else 0.0)
            sure = min(float(aligned.text_token_probs[place]) for place in group)
            if text:
                words.append(
                    Word(
                        text=text,
                        start_s=round(start, 3),
                        end_s=round(max(start, min(end, seconds)), 3),
                        confidence=min(1.0, max(0.0, sure)),
                    )
                )
        return tuple(words)
