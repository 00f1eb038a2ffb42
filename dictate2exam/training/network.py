"""The recogniser as a PyTorch module whose parameters carry their CTranslate2 names.

PyTorch is needed to train and is no dependency of the package.
"""

from typing import Any

import numpy as np

from dictate2exam.training.base import HEAD_SIZE, Weights, count_layers

__all__ = ["Recogniser", "fn", "torch"]

try:
    import torch
    import torch.nn.functional as fn
except ImportError:  # pragma: no cover
    raise SystemExit("Training needs PyTorch 1.13 or later: install torch and try again.") from None

DROPOUT = 0.1


def _attend(q: Any, k: Any, v: Any, causal: bool) -> Any:
    def split(x: Any) -> Any:
        return x.view(x.shape[0], x.shape[1], -1, HEAD_SIZE).transpose(1, 2)

    q, k, v = split(q), split(k), split(v)
    if hasattr(fn, "scaled_dot_product_attention"):
        out = fn.scaled_dot_product_attention(q, k, v, is_causal=causal)
    else:
        scores = q @ k.transpose(-1, -2) / q.shape[-1] ** 0.5
        if causal:
            mask = torch.ones(scores.shape[-2:], dtype=torch.bool, device=q.device).tril()
            scores = scores.masked_fill(~mask, float("-inf"))
        out = scores.softmax(-1) @ v
    out = out.transpose(1, 2)
    return out.reshape(out.shape[0], out.shape[1], -1)


class Recogniser(torch.nn.Module):  # type: ignore[misc,unused-ignore]
    """Encoder and decoder of the base; `weights` by CTranslate2 name, with '/' between parts."""

    def __init__(self, weights: Weights) -> None:
        super().__init__()
        self.layers = {part: count_layers(weights, part) for part in ("encoder", "decoder")}
        self.names = {name.replace("/", "_"): name for name in weights}
        for plain, name in self.names.items():
            value = torch.nn.Parameter(torch.from_numpy(np.array(weights[name], np.float32)))
            self.register_parameter(plain, value)

    def weights(self) -> Weights:
        """The parameters by CTranslate2 name."""
        return {
            name: getattr(self, plain).detach().float().cpu().numpy()
            for plain, name in self.names.items()
        }

    def train_only(self, prefix: str) -> None:
        """Freezes everything whose name does not start with `prefix`."""
        for plain, name in self.names.items():
            getattr(self, plain).requires_grad_(name.startswith(prefix))

    def _get(self, name: str) -> Any:
        return getattr(self, name.replace("/", "_"))

    def _linear(self, x: Any, name: str) -> Any:
        return fn.linear(x, self._get(name + "/weight"), self._get(name + "/bias"))

    def _norm(self, x: Any, name: str) -> Any:
        return fn.layer_norm(
            x, (x.shape[-1],), self._get(name + "/gamma"), self._get(name + "/beta")
        )

    def _block(self, x: Any, name: str, encoded: Any = None) -> Any:
        def drop(y: Any) -> Any:
            return fn.dropout(y, DROPOUT, self.training and encoded is not None)

        part = name + "/self_attention/"
        q, k, v = self._linear(self._norm(x, part + "layer_norm"), part + "linear_0").chunk(3, -1)
        x = x + drop(self._linear(_attend(q, k, v, encoded is not None), part + "linear_1"))
        if encoded is not None:
            part = name + "/attention/"
            k, v = self._linear(encoded, part + "linear_1").chunk(2, -1)
            q = self._linear(self._norm(x, part + "layer_norm"), part + "linear_0")
            x = x + drop(self._linear(_attend(q, k, v, False), part + "linear_2"))
        part = name + "/ffn/"
        hidden = fn.gelu(self._linear(self._norm(x, part + "layer_norm"), part + "linear_0"))
        return x + drop(self._linear(hidden, part + "linear_1"))

    def encode(self, mel: Any) -> Any:
        """Mel spectrograms (batch, 80, frames of 10 ms) to states, one for 20 ms."""
        conv1 = ("encoder/conv1/weight", "encoder/conv1/bias")
        conv2 = ("encoder/conv2/weight", "encoder/conv2/bias")
        x = fn.gelu(fn.conv1d(mel, *map(self._get, conv1), padding=1))
        x = fn.gelu(fn.conv1d(x, *map(self._get, conv2), stride=2, padding=1)).transpose(1, 2)
        x = x + self._get("encoder/position_encodings/encodings")[: x.shape[1]]
        for layer in range(self.layers["encoder"]):
            x = self._block(x, f"encoder/layer_{layer}")
        return self._norm(x, "encoder/layer_norm")

    def decode(self, tokens: Any, encoded: Any) -> Any:
        """Scores of the next token after each of `tokens` (batch, length)."""
        table = self._get("decoder/embeddings/weight")
        places = self._get("decoder/position_encodings/encodings")[: tokens.shape[1]]
        x = table[tokens] + places
        for layer in range(self.layers["decoder"]):
            x = self._block(x, f"decoder/layer_{layer}", encoded)
        return self._norm(x, "decoder/layer_norm") @ table.T
