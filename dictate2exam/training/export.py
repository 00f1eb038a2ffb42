"""Writes the trained weights as the listener loads them: `python -m dictate2exam.training.export`.

Reads base.npz (for the tokens) and the encoder.npz and decoder.npz of `train`; several decoders are
averaged. Writes an int8 CTranslate2 model with its vocabulary and SHA256SUMS.
"""

import argparse
import hashlib
import re
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.training.base import HEADS, LAYERS, Weights, expand

# Heads of the base's decoder whose attention follows the words in time.
ALIGNMENT_HEADS = [(1, 0), (2, 0), (2, 5), (3, 0), (3, 1), (3, 2), (3, 3), (3, 4)]


def load_weights(base: Path, encoder: Path, decoders: list[Path]) -> tuple[Weights, list[str]]:
    """The weights, with the mean of the decoders, and the tokens."""
    tokens = [str(piece) for piece in np.load(base)["tokens"]]
    weights = expand(dict(np.load(encoder)))
    parts = [expand(dict(np.load(path))) for path in decoders]
    weights.update({name: np.mean([part[name] for part in parts], axis=0) for name in parts[0]})
    return {name: np.asarray(value, np.float32) for name, value in weights.items()}, tokens


def export(weights: Weights, tokens: list[str], folder: Path) -> None:
    """Saves the model of `weights` under `folder`."""
    from ctranslate2.specs.whisper_spec import WhisperSpec

    spec: Any = WhisperSpec(LAYERS, HEADS, LAYERS, HEADS)
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
    spec.config.alignment_heads = ALIGNMENT_HEADS
    spec.register_vocabulary(tokens)
    spec.validate()
    spec.optimize(quantization="int8")
    folder.mkdir(parents=True, exist_ok=True)
    spec.save(str(folder))


def main() -> None:
    """Reads the arguments, exports and writes the checksums."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("base", type=Path)
    parser.add_argument("encoder", type=Path)
    parser.add_argument("decoders", type=Path, nargs="+")
    parser.add_argument("--out", type=Path, required=True)
    given = parser.parse_args()
    weights, tokens = load_weights(given.base, given.encoder, given.decoders)
    export(weights, tokens, given.out)
    files = sorted(p for p in given.out.iterdir() if p.suffix in {".bin", ".json", ".txt"})
    sums = [f"{hashlib.sha256(p.read_bytes()).hexdigest()}  {p.name}" for p in files]
    (given.out / "SHA256SUMS").write_text("\n".join(sums) + "\n", encoding="utf-8")
    for path in files:
        print(path.name, path.stat().st_size)


if __name__ == "__main__":
    main()
