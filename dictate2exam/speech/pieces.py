"""The pieces of words that the neural listener writes: byte-pair pieces of lower-case text."""

import re
from collections.abc import Sequence
from functools import lru_cache

SPACE = "Ġ"  # how the vocabulary writes a leading blank
_PIECE = re.compile(r"'(?:s|t|re|ve|m|ll|d)(?![a-z])| ?[a-z]+| ?'|.")


class Tokeniser:
    """Cuts text into pieces: the pair whose joined piece has the lowest id merges first."""

    def __init__(self, vocabulary: Sequence[str], kept: Sequence[str] | None = None) -> None:
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
