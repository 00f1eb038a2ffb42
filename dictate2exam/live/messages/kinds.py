"""The closed lists of words that messages in both directions use."""

from typing import Literal

Phase = Literal["consent", "ready", "listening", "paused", "asking", "to_sign", "signed"]
OrderName = Literal["take_back", "repeat", "show_left", "answer", "pause", "go_on", "finish"]
Role = Literal["lead", "watch"]
CellState = Literal["accepted", "to_confirm", "confirmed"]
Became = Literal["findings", "order", "answer", "question", "talk", "nothing"]
LevelState = Literal["good", "low", "clipped", "silent", "noisy"]
UploadState = Literal["waiting", "working", "done", "failed", "given_up"]
