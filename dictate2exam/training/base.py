"""Cuts the base recogniser to the tokens in use: `python -m dictate2exam.training.base`.

The base is a Whisper model (MIT licence; tiny.en and base were tried) as CTranslate2 keeps it, or
the listener's own weights, to go on from: a folder with model.bin and vocabulary.txt or .json. Most
of a base's size is the table of tokens; the domain needs a seventh of them (`--tokens`; with too
few, common words are misspelt), and not all layers of a larger decoder (`--layers`). Writes an .npz
of weights under their CTranslate2 names with `tokens`, the kept pieces.
"""

import argparse
import json
import re
import struct
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.speech.pieces import SPACE, Tokeniser

HEAD_SIZE = 64  # numbers of one attention head, in every size of the base
NORM = {"layer_norm"}
PARAMETERS = {"weight", "bias", "gamma", "beta", "encodings"}
Weights = dict[str, npt.NDArray[np.float32]]
SPECIAL = ("<|endoftext|>", "<|startoftranscript|>", "<|nocaptions|>", "<|notimestamps|>")
TYPES = {0: np.float32, 1: np.int8, 2: np.int16, 3: np.int32, 4: np.float16}
TOKENS = 7400  # what fits beside the layers into 45 MB


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
    return plain(weights)


def plain(weights: dict[str, npt.NDArray[Any]]) -> dict[str, npt.NDArray[Any]]:
    """The weights with those kept as int8 multiplied out (value = int8 / scale of its row)."""
    made: dict[str, npt.NDArray[Any]] = {}
    for name, values in weights.items():
        scale = weights.get(name + "_scale")
        if scale is not None:
            rows = scale.reshape(-1, *[1] * (values.ndim - 1))
            made[name] = (values.astype(np.float32) / rows).astype(np.float32)
        elif name.rsplit("/", 1)[-1] in PARAMETERS:
            made[name] = values
    return made


def read_vocabulary(folder: Path) -> list[str]:
    """The pieces of the token table in order; the languages and times at its end are left out."""
    listed = folder / "vocabulary.json"
    if listed.exists():
        pieces: list[str] = json.loads(listed.read_text(encoding="utf-8"))
    else:
        pieces = (folder / "vocabulary.txt").read_text(encoding="utf-8").split("\n")
    return ["<|nocaptions|>" if piece == "<|nospeech|>" else piece for piece in pieces]


def count_layers(names: Iterable[str], part: str) -> int:
    """How many layers the encoder or the decoder has among the names of weights."""
    return len({name.split("/")[1] for name in names if name.startswith(f"{part}/layer_")} - NORM)


def keep_layers(weights: dict[str, npt.NDArray[Any]], kept: list[int]) -> dict[str, Any]:
    """The weights with only the layers `kept` of the decoder, numbered anew."""
    made: dict[str, Any] = {}
    for name, values in weights.items():
        found = re.match(r"decoder/layer_(\d+)(/.*)", name)
        if found is None:
            made[name] = values
        elif int(found[1]) in kept:
            made[f"decoder/layer_{kept.index(int(found[1]))}{found[2]}"] = values
    return made


def cut(
    weights: dict[str, npt.NDArray[Any]],
    vocabulary: list[str],
    texts: list[str],
    tokens: int = TOKENS,
) -> tuple[dict[str, npt.NDArray[Any]], list[str]]:
    """The weights with the token table cut to all short pieces and the commonest of `texts`."""
    tokeniser = Tokeniser(vocabulary)
    counts = Counter(piece for text in texts for piece in tokeniser.pieces(text))
    used = {p for p in vocabulary[:50257] if re.fullmatch(rf"{SPACE}?[a-z]{{1,2}}|{SPACE}?'", p)}
    used |= set(SPECIAL)
    common = [piece for piece, _ in counts.most_common() if piece not in used]
    used |= set(common[: max(0, tokens - len(used))])
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


def mean_of(runs: Sequence[Path], shares: Sequence[float] | None = None) -> Weights:
    """The mean of the weights that `runs` ended with, in equal parts or in `shares`."""
    ended = [
        {**expand(dict(np.load(run / "encoder.npz"))), **expand(dict(np.load(run / "decoder.npz")))}
        for run in runs
    ]
    return {
        name: np.asarray(
            np.average([weights[name] for weights in ended], axis=0, weights=shares), np.float32
        )
        for name in ended[0]
    }


def main() -> None:
    """Reads the arguments and writes the cut base."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("model", type=Path, help="folder with model.bin and vocabulary.txt")
    parser.add_argument("units", type=Path, nargs="+")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--tokens", type=int, default=TOKENS, help="pieces to keep")
    parser.add_argument("--layers", type=int, nargs="+", help="layers of the decoder to keep")
    given = parser.parse_args()
    vocabulary = read_vocabulary(given.model)
    texts = [
        json.loads(line)["text"]
        for path in given.units
        for line in path.read_text(encoding="utf-8").splitlines()
    ]
    weights = read_weights(given.model / "model.bin")
    table = weights["decoder/embeddings/weight"]
    kept = vocabulary[: len(table)]
    if len(kept) > given.tokens:
        weights, kept = cut(weights, kept, texts, given.tokens)
    if given.layers:
        weights = keep_layers(weights, given.layers)
    np.savez(given.out, allow_pickle=False, tokens=np.array(kept), **shrink(weights))
    print(f"{len(kept)} tokens of {len(vocabulary)} kept in {given.out}")


if __name__ == "__main__":
    main()
