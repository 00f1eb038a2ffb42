"""General English behind the domain: word pairs read out of PocketSphinx's own language model.

The file is a trie of n-grams packed into bits (sphinxbase's binary format). Only what is needed
is read: single words and pairs of the commonest words. Stored values are logarithms to the base
1.0001; a pair is stored under its second word.
"""

import math
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.errors import RecogniserError
from dictate2exam.speech.ngram import END, START, NGrams

MAGIC = b"Trie Language Model\x03"
LOG_BASE = math.log(1.0001)
QUANT_LEVELS = 1 << 16
TABLES = 3  # probabilities of pairs, their back-off weights, probabilities of triples
UNIGRAM = np.dtype([("probability", "<f4"), ("backoff", "<f4"), ("first", "<u4")])


class ShippedModel:
    """PocketSphinx's general English model: 72,547 words with their pairs."""

    def __init__(self, path: Path) -> None:
        data = np.fromfile(path, dtype=np.uint8)
        if data[: len(MAGIC)].tobytes() != MAGIC:
            raise RecogniserError(
                f"PocketSphinx's language model {path} is of an unknown format; "
                f"install a release of pocketsphinx from 5.0.4 up to 6."
            )
        place = len(MAGIC)
        single, double, triple = (int(n) for n in data[place : place + 12].view("<u4"))
        place += 12 + 4
        self._tables: npt.NDArray[np.float32] = data[
            place : place + 4 * TABLES * QUANT_LEVELS
        ].view("<f4")
        place += 4 * TABLES * QUANT_LEVELS
        size = UNIGRAM.itemsize * (single + 1)
        self._singles: npt.NDArray[Any] = data[place : place + size].view(UNIGRAM)
        place += size
        self._word_bits = single.bit_length()
        self._pair_bits = self._word_bits + 32 + triple.bit_length()
        pair_bytes = ((1 + double) * self._pair_bits + 7) // 8 + 8
        triple_bytes = ((1 + triple) * (self._word_bits + 16) + 7) // 8 + 8
        self._pairs = data[place : place + pair_bytes]
        place += pair_bytes + triple_bytes + 4
        self.words = data[place:].tobytes().decode("utf-8").split("\0")[:-1]
        if len(self.words) != single:
            raise RecogniserError(f"PocketSphinx's language model {path} is damaged.")

    def _field(self, entries: npt.NDArray[np.int64], first: int, width: int) -> Any:
        bits = entries * self._pair_bits + first
        value = np.zeros(len(entries), dtype=np.uint64)
        for byte in range(8):
            value |= self._pairs[(bits >> 3) + byte].astype(np.uint64) << np.uint64(8 * byte)
        return (value >> (bits & 7).astype(np.uint64)) & np.uint64((1 << width) - 1)

    def read(self, size: int, pairs: int) -> NGrams:
        """A model of the `size` commonest words and the `pairs` most telling pairs of them.

        A pair tells much when it is frequent and far from what its single words suggest.
        """
        logs = self._singles["probability"][:-1].astype(np.float64) * LOG_BASE
        index = {word: place for place, word in enumerate(self.words)}
        logs[index[START]] = -np.inf
        common = np.argsort(-logs)[:size]
        common = np.union1d(common, [index[END]])
        kept = np.zeros(len(self.words), dtype=bool)
        kept[common] = True
        kept[index[START]] = True  # as a context only
        singles = np.exp(logs)
        singles /= singles[common].sum()
        seconds, firsts, probabilities = [], [], []
        for word in common:
            entries = np.arange(
                self._singles["first"][word], self._singles["first"][word + 1], dtype=np.int64
            )
            before = self._field(entries, 0, self._word_bits).astype(np.int64)
            inside = kept[before]
            quants = self._field(entries[inside], self._word_bits, 32) >> np.uint64(16)
            seconds.append(np.full(int(inside.sum()), word))
            firsts.append(before[inside])
            probabilities.append(np.exp(self._tables[quants.astype(np.int64)] * LOG_BASE))
        second, first = np.concatenate(seconds), np.concatenate(firsts)
        probability = np.concatenate(probabilities).astype(np.float64)
        prior = singles.copy()
        prior[index[START]] = singles.max()
        telling = prior[first] * probability * np.abs(np.log(probability / singles[second]))
        best = np.argsort(-telling)[:pairs]
        return self._model(singles, common, first[best], second[best], probability[best])

    def _model(
        self,
        singles: npt.NDArray[np.float64],
        common: npt.NDArray[np.int64],
        first: npt.NDArray[np.int64],
        second: npt.NDArray[np.int64],
        probability: npt.NDArray[np.float64],
    ) -> NGrams:
        used = np.bincount(first, weights=probability, minlength=len(self.words))
        below = np.bincount(first, weights=singles[second], minlength=len(self.words))
        excess = np.maximum(used / 0.999, 1.0)  # rounding of the packed values
        probability = probability / excess[first]
        used = np.minimum(used, 0.999)
        model = NGrams(
            probability=[{(self.words[w],): float(singles[w]) for w in common}], backoff={}
        )
        model.probability.append(
            {
                (self.words[a], self.words[b]): float(p)
                for a, b, p in zip(first.tolist(), second.tolist(), probability, strict=True)
            }
        )
        for context in np.unique(first):
            rest = (1 - used[context]) / max(1 - below[context], 1e-9)
            model.backoff[(self.words[context],)] = float(rest)
        return model


@lru_cache(maxsize=1)
def shipped_model() -> ShippedModel:
    """The model in the installed pocketsphinx wheel (BSD licence)."""
    from pocketsphinx import get_model_path

    return ShippedModel(Path(get_model_path("en-us/en-us.lm.bin")))
