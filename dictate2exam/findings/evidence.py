"""Which words are evidence of a finding, and which value goes with which name, as a small network
learnt it.

The network (a transformer of 128 numbers a word; made by `dictate2exam/training/evidence.py`, see
MODEL_CARD.md beside its weights) sees the words of a stretch of speech and what each is by the
lexicon. It is a second reader that shares nothing else with the rules: where both differ it is
asked (by_evidence.py). Its file is checked against its SHA-256 before it is loaded.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from dictate2exam.provenance import check_released

Floats = npt.NDArray[np.float32]

WEIGHTS = Path(__file__).parent / "weights" / "evidence"
FILE = "evidence.npz"
# What a word is: no evidence, the name of what was found, a value that stands, one replaced later.
NOTHING, NAME, STANDING, REPLACED = range(4)
LINE = "¶"  # begins each utterance, with its speaker
UNKNOWN = "<unknown>"
ENDING = 3  # letters of a word that are looked at as its ending
# Words looked at at once, and how many of them two windows share.
WINDOW, SHARED = 256, 48
# Distances are told apart one by one up to NEAR, then ever more coarsely, before and behind.
BUCKETS, NEAR = 32, 8


def distances(size: int) -> npt.NDArray[np.int64]:
    """The class of distance of each word (columns) from each (rows), 0 to BUCKETS - 1."""
    apart = np.arange(size)[None] - np.arange(size)[:, None]
    far = np.abs(apart)
    half = BUCKETS // 2
    coarse = NEAR + np.log2(np.maximum(far, 1) / NEAR) * 2
    made = np.where(far < NEAR, far, np.minimum(coarse.astype(np.int64), half - 1))
    classes: npt.NDArray[np.int64] = np.where(apart < 0, made, made + half)
    return classes


def labels(kind: str, size: int) -> list[str]:
    """The labels of so many words that are one thing: "S-muscle", or "B-", "I-" and "E-"."""
    if size == 1:
        return [f"S-{kind}"]
    return [f"B-{kind}", *[f"I-{kind}"] * (size - 2), f"E-{kind}"]


def stretches(labelled: Sequence[str]) -> Iterator[tuple[int, int, str]]:
    """First, end and kind of each stretch of words that are one thing."""
    start = 0
    for at, label in enumerate(labelled):
        place, _, kind = label.partition("-")
        if place in ("S", "B"):
            start = at
        if place in ("S", "E"):
            yield start, at + 1, kind


class Seen(NamedTuple):
    """Chances of each word: of what it is (words, 4), and for names of the word with which the
    value begins (rows by place; the place of the row's first column)."""

    tags: Floats
    links: dict[int, tuple[int, Floats]]

    def evidence(self, first: int, end: int) -> float:
        """How likely a stretch of words is evidence of a finding."""
        return float(1 - self.tags[first:end, NOTHING].mean())

    def replaced(self, first: int, end: int) -> float:
        """How likely a stretch is a value that is replaced later."""
        return float(self.tags[first:end, REPLACED].mean())

    def linked(self, name: int, first: int, end: int) -> float:
        """How likely the name at a place goes with the value at a stretch."""
        offset, row = self.links[name]
        if end <= offset or first >= offset + len(row):
            return 0.0
        return float(row[max(0, first - offset) : end - offset].sum())

    def value_of(self, name: int) -> int:
        """The place at which the value of a name most likely begins."""
        offset, row = self.links[name]
        return offset + int(row.argmax())


class EvidenceFinder:
    """Tells for every word whether a finding was read from it."""

    def __init__(self, folder: Path = WEIGHTS) -> None:
        check_released(folder, "The weights of the finder of evidence")
        with np.load(folder / FILE) as stored:
            meta = json.loads(str(stored["meta"]))
            self._weights = {
                name: stored[name].astype(np.float32) for name in stored.files if name != "meta"
            }
        self._layers, self._heads = int(meta["layers"]), int(meta["heads"])
        self._numbers = [
            {entry: n for n, entry in enumerate(meta[table])}
            for table in ("words", "endings", "kinds")
        ]
        self._window = lru_cache(maxsize=32)(self._look)
        self._bias, self._far = self._of_distance()

    def look(self, words: list[str], kinds: list[str]) -> Seen:
        """What each of the words is, window by window; those seen before are not computed anew."""
        size = len(words)
        tags = np.zeros((size, REPLACED + 1), np.float32)
        links: dict[int, tuple[int, Floats]] = {}
        start = 0
        while start < size:
            end = min(size, start + WINDOW)
            made = self._window(tuple(words[start:end]), tuple(kinds[start:end]))
            first = start and start + SHARED // 2
            last = end if end == size else end - SHARED // 2
            tags[first:last] = made[0][first - start : last - start]
            for at in range(first, last):
                links[at] = (start, made[1][at - start])
            if end == size:
                break
            start += WINDOW - SHARED
        return Seen(tags, links)

    def _look(self, words: tuple[str, ...], kinds: tuple[str, ...]) -> tuple[Floats, Floats]:
        size, heads = len(words), self._heads
        of_words, of_endings, of_kinds = self._numbers
        x = (
            self._weights["w.weight"][[of_words.get(word, 1) for word in words]]
            + self._weights["s.weight"][[of_endings.get(word[-ENDING:], 1) for word in words]]
            + self._weights["k.weight"][[of_kinds.get(kind, 1) for kind in kinds]]
        )
        width = x.shape[1] // heads
        bias, far = self._bias[:, :size, :size], self._far[:size, :size]
        for layer in range(self._layers):
            name = f"bl.{layer}."
            split = self._linear(self._normal(x, name + "n1"), name + "qkv")
            q, k, v = split.reshape(size, 3, heads, width).transpose(1, 2, 0, 3)
            scores = (q / math.sqrt(width)) @ k.transpose(0, 2, 1)
            scores += bias[layer * heads : (layer + 1) * heads]
            seen = _chances(scores) @ v
            x = x + self._linear(seen.transpose(1, 0, 2).reshape(size, -1), name + "o")
            inner = _gelu(self._linear(self._normal(x, name + "n2"), name + "f1"))
            x = x + self._linear(inner, name + "f2")
        x = self._normal(x, "nf")
        links = self._linear(x, "lq") @ self._linear(x, "lk").T / math.sqrt(x.shape[1])
        return _chances(self._linear(x, "tag")), _chances(links + far)

    def _of_distance(self) -> tuple[Floats, Floats]:
        """What distances in a window add to attention (layers x heads, size, size) and to links."""
        apart = distances(WINDOW)
        near = self._weights["rel.weight"][apart].transpose(2, 0, 1)
        return np.ascontiguousarray(near), self._weights["far.weight"][apart][..., 0]

    def _linear(self, x: Floats, name: str) -> Floats:
        made: Floats = x @ self._weights[name + ".weight"].T + self._weights[name + ".bias"]
        return made

    def _normal(self, x: Floats, name: str) -> Floats:
        centred = x - x.mean(axis=-1, keepdims=True)
        spread = np.sqrt((centred**2).mean(axis=-1, keepdims=True) + 1e-5)
        scaled = centred / spread * self._weights[name + ".weight"]
        made: Floats = scaled + self._weights[name + ".bias"]
        return made


def _chances(scores: Floats) -> Floats:
    made: Floats = np.exp(scores - scores.max(axis=-1, keepdims=True))
    made /= made.sum(axis=-1, keepdims=True)
    return made


def _gelu(x: Floats) -> Floats:
    inner = x * (1 + 0.044715 * x * x)
    made: Floats = 0.5 * x * (1 + np.tanh(math.sqrt(2 / math.pi) * inner))
    return made


@lru_cache(maxsize=1)
def evidence_finder() -> EvidenceFinder:
    """The one of the package, loaded at first use."""
    return EvidenceFinder()
