"""Cuts the base recogniser to the tokens in use: `python -m dictate2exam.training.base`.

The base is Whisper tiny.en (MIT licence) as CTranslate2 keeps it: a folder with model.bin,
config.json and vocabulary.txt. Most of its size is the table of tokens; the domain needs a fifth of
them. Writes an .npz of weights under their CTranslate2 names with `tokens`, the kept pieces.
"""

import argparse
import json
import re
import struct
from collections import Counter
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

HEADS = 6
LAYERS = 4
Weights = dict[str, npt.NDArray[np.float32]]
SPECIAL = ("<|endoftext|>", "<|startoftranscript|>", "<|nocaptions|>", "<|notimestamps|>")
TYPES = {0: np.float32, 1: np.int8, 2: np.int16, 3: np.int32, 4: np.float16}
RARE = 5  # pieces seen less often are written with shorter ones
SPACE = "Ġ"  # how the vocabulary writes a leading blank
_PIECE = re.compile(r"'(?:s|t|re|ve|m|ll|d)(?![a-z])| ?[a-z]+| ?'|.")


def read_weights(path: Path) -> dict[str, npt.NDArray[Any]]:
    """The variables of a CTranslate2 model.bin of binary version 6."""
    with path.open("rb") as file:

        def number(kind: str) -> int:
            return int(struct.unpack("<" + kind, file.read(struct.calcsize(kind)))[0])

        def text() -> str:
            return file.read(number("H"))[:-1].decode()

        if number("I") != 6:
            raise SystemExit(f"{path} is not a CTranslate2 model of binary version 6.")
        text()
        number("I")
        weights: dict[str, npt.NDArray[Any]] = {}
        for _ in range(number("I")):
            name = text()
            shape = [number("I") for _ in range(number("B"))]
            kind = TYPES[number("B")]
            values = np.frombuffer(file.read(number("I")), kind)
            weights[name] = values.reshape(shape) if shape else values
    return weights


class Tokeniser:
    """Byte-pair pieces of lower-case text: the pair whose joined piece has the lowest id merges."""

    def __init__(self, vocabulary: list[str], kept: list[str] | None = None) -> None:
        self.ids = {piece: place for place, piece in enumerate(vocabulary)}
        self.kept = set(kept or vocabulary)
        self._word = lru_cache(maxsize=100_000)(self._merge)

    def _merge(self, word: str) -> tuple[str, ...]:
        parts = list(word.replace(" ", SPACE))
        while len(parts) > 1:
            ranked = [
                (self.ids[parts[k] + parts[k + 1]], k)
                for k in range(len(parts) - 1)
                if parts[k] + parts[k + 1] in self.ids
            ]
            if not ranked:
                break
            _, at = min(ranked)
            parts[at : at + 2] = [parts[at] + parts[at + 1]]
        return tuple(piece for part in parts for piece in self._split(part))

    def _split(self, piece: str) -> list[str]:
        """A piece that was cut from the table as the longest kept ones that make it up."""
        split: list[str] = []
        while piece:
            size = next((n for n in range(len(piece), 0, -1) if piece[:n] in self.kept), 1)
            split.append(piece[:size])
            piece = piece[size:]
        return split

    def pieces(self, text: str) -> list[str]:
        """The pieces of `text`, which is taken to follow a blank."""
        return [piece for word in _PIECE.findall(" " + text) for piece in self._word(word)]


def cut(
    weights: dict[str, npt.NDArray[Any]], vocabulary: list[str], texts: list[str]
) -> tuple[dict[str, npt.NDArray[Any]], list[str]]:
    """The weights with the token table cut to the usual pieces of `texts` and all short ones."""
    tokeniser = Tokeniser(vocabulary)
    counts = Counter(piece for text in texts for piece in tokeniser.pieces(text))
    used = {piece for piece, count in counts.items() if count >= RARE}
    used |= {p for p in vocabulary[:50257] if re.fullmatch(rf"{SPACE}?[a-z]{{1,2}}|{SPACE}?'", p)}
    used |= set(SPECIAL)
    kept = [piece for piece in vocabulary if piece in used]
    rows = [tokeniser.ids[piece] for piece in kept]
    table = "decoder/embeddings/weight"
    return {**weights, table: weights[table][rows]}, kept


def shrink(weights: dict[str, npt.NDArray[Any]]) -> dict[str, npt.NDArray[Any]]:
    """Matrices as int8 with a scale for each row (value = int8 / scale), as the export has them."""
    small: dict[str, npt.NDArray[Any]] = {}
    for name, values in weights.items():
        if values.ndim == 2 and name.endswith("weight"):
            rows = values.astype(np.float32)
            scale = 127 / np.maximum(np.abs(rows).max(axis=1), 1e-6)
            small[name] = np.rint(rows * scale[:, None]).astype(np.int8)
            small[name + "_scale"] = scale.astype(np.float32)
        elif values.dtype in (np.float16, np.float32) and values.ndim:
            small[name] = values
    return small


def expand(small: dict[str, npt.NDArray[Any]]) -> dict[str, npt.NDArray[np.float32]]:
    """The weights of `shrink` as float32."""
    return {
        name: values.astype(np.float32) / small[name + "_scale"][:, None]
        if name + "_scale" in small
        else values.astype(np.float32)
        for name, values in small.items()
        if not name.endswith("_scale") and values.dtype.kind in "fi"
    }


def main() -> None:
    """Reads the arguments and writes the cut base."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("model", type=Path, help="folder with model.bin and vocabulary.txt")
    parser.add_argument("units", type=Path, nargs="+")
    parser.add_argument("--out", type=Path, required=True)
    given = parser.parse_args()
    vocabulary = (given.model / "vocabulary.txt").read_text(encoding="utf-8").split("\n")
    vocabulary = vocabulary[:51864]
    texts = [
        json.loads(line)["text"]
        for path in given.units
        for line in path.read_text(encoding="utf-8").splitlines()
    ]
    weights, kept = cut(read_weights(given.model / "model.bin"), vocabulary, texts)
    np.savez(given.out, allow_pickle=False, tokens=np.array(kept), **shrink(weights))
    print(f"{len(kept)} tokens of {len(vocabulary)} kept in {given.out}")


if __name__ == "__main__":
    main()
