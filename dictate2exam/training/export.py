"""Writes the trained weights as the listener loads them: `python -m dictate2exam.training.export`.

Reads base.npz (for the tokens) and the folders that runs of `train` wrote. The weights of several
runs are averaged, in equal parts or those of --shares: one that left the encoder alone hears
strangers better, those that trained it too hear noise better, and their mean does both. Writes an
int8 CTranslate2 model with its vocabulary and SHA256SUMS.
"""

import argparse
import hashlib
import re
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.training.base import HEAD_SIZE, Weights, count_layers, mean_of

# Heads of the decoder whose attention follows the words in time, by the width of the base: tiny.en
# whole, and base with its layers 0, 2, 4 and 5.
ALIGNMENT_HEADS = {
    384: [(1, 0), (2, 0), (2, 5), (3, 0), (3, 1), (3, 2), (3, 3), (3, 4)],
    512: [(2, 2), (2, 3), (2, 7), (3, 1), (3, 2), (3, 4), (3, 6)],
}


def export(weights: Weights, tokens: list[str], folder: Path) -> None:
    """Saves the model of `weights` under `folder`."""
    from ctranslate2.specs.whisper_spec import WhisperSpec

    width = weights["decoder/embeddings/weight"].shape[1]
    heads = width // HEAD_SIZE
    layers = [count_layers(weights, part) for part in ("encoder", "decoder")]
    spec: Any = WhisperSpec(layers[0], heads, layers[1], heads)
    for name, value in weights.items():
        at = spec
        *path, last = name.split("/")
        for part in path:
            listed = re.fullmatch(r"(layer|linear)_(\d+)", part)
            if listed and hasattr(at, listed.group(1)):
                at = getattr(at, listed.group(1))[int(listed.group(2))]
            else:
                at = getattr(at, part)
        setattr(at, last, value)
    spec.decoder.projection.weight = spec.decoder.embeddings.weight
    quiet = [tokens.index(piece) for piece in ("<|startoftranscript|>", "<|notimestamps|>")]
    spec.config.suppress_ids = [*quiet, tokens.index("<|nocaptions|>")]
    spec.config.suppress_ids_begin = []
    spec.config.lang_ids = []
    spec.config.alignment_heads = ALIGNMENT_HEADS[width]
    spec.register_vocabulary(tokens)
    spec.validate()
    spec.optimize(quantization="int8")
    folder.mkdir(parents=True, exist_ok=True)
    spec.save(str(folder))


def main() -> None:
    """Reads the arguments, exports and writes the checksums."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("base", type=Path)
    parser.add_argument("runs", type=Path, nargs="+")
    parser.add_argument("--shares", type=float, nargs="+", help="one for each run")
    parser.add_argument("--out", type=Path, required=True)
    given = parser.parse_args()
    tokens = [str(piece) for piece in np.load(given.base)["tokens"]]
    export(mean_of(given.runs, given.shares), tokens, given.out)
    files = sorted(p for p in given.out.iterdir() if p.suffix in {".bin", ".json", ".txt"})
    sums = [f"{hashlib.sha256(p.read_bytes()).hexdigest()}  {p.name}" for p in files]
    (given.out / "SHA256SUMS").write_text("\n".join(sums) + "\n", encoding="utf-8")
    for path in files:
        print(path.name, path.stat().st_size)


if __name__ == "__main__":
    main()
