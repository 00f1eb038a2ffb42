"""Joins spoken units into utterances with pauses, and wears them down as rooms and devices do."""

import random
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

try:
    import torch
except ImportError:  # pragma: no cover
    raise SystemExit("Training needs PyTorch 1.13 or later: install torch and try again.") from None

RATE = 16000
SPEECH_LEVEL = 0.08  # root mean square of speech before level changes
HOP = 320  # samples of one encoder state


@dataclass(frozen=True)
class Piece:
    """A unit within the joined sound: samples `start` to `end`, to be multiplied by `gain`."""

    start: int
    end: int
    gain: float
    tokens: list[int]
    voice: str


def gain_of(sound: npt.NDArray[np.int16]) -> float:
    """What brings the speech in `sound` to SPEECH_LEVEL."""
    values = sound.astype(np.float32) / 32768
    loud = values[np.abs(values) > 0.01]
    level = float(np.sqrt((loud**2).mean())) if len(loud) > 10 else SPEECH_LEVEL
    return SPEECH_LEVEL / level


def pause_s(chance: random.Random) -> float:
    """A pause between statements of one utterance, in seconds."""
    return chance.uniform(0.0, 0.2) if chance.random() < 0.35 else chance.uniform(0.15, 1.2)


def plan(
    by_voice: dict[str, list[Piece]], length_s: float, chance: random.Random, voices: list[str]
) -> list[tuple[int, Piece]]:
    """Pieces with the sample at which each starts, filling up to `length_s`.

    The first of `voices` speaks; one time in five the second answers in between. One in forty is
    empty: noise alone, in which nothing is to be heard.
    """
    placed: list[tuple[int, Piece]] = []
    if chance.random() < 0.025:
        return placed
    at = int(chance.uniform(0.05, 0.5) * RATE)
    room = int(length_s * RATE)
    most = 1 if chance.random() < 0.3 else chance.randint(2, 7)
    misses = 0
    both = chance.random() < 0.2
    while len(placed) < most and misses < 12:
        voice = voices[1] if both and chance.random() < 0.4 else voices[0]
        piece = chance.choice(by_voice[voice])
        size = piece.end - piece.start
        if at + size + 1600 > room:
            misses += 1
            continue
        placed.append((at, piece))
        at += size + int(pause_s(chance) * RATE)
    return placed


def compose(
    sound: Any, plans: list[list[tuple[int, Piece]]], length: int, chance: random.Random
) -> Any:
    """The utterances of `plans` as rows of `length` samples on the device of `sound`."""
    rows = torch.zeros(len(plans), length, device=sound.device)
    for row, placed in zip(rows, plans, strict=True):
        for at, piece in placed:
            gain = piece.gain * 10 ** (chance.gauss(0, 2) / 20)
            part = sound[piece.start : piece.end].float() * (gain / 32768)
            row[at : at + len(part)] += part[: length - at]
    return rows


def noise(rows: int, length: int, device: Any) -> Any:
    """Noise of unit level, from white to nearly brown."""
    spectrum = torch.fft.rfft(torch.randn(rows, length, device=device))
    place = torch.arange(spectrum.shape[1], device=device).float().clamp(min=8.0)
    made = torch.fft.irfft(spectrum / place ** (torch.rand(rows, 1, device=device) * 1.1), length)
    return made / made.pow(2).mean(1, keepdim=True).sqrt()


def warp(rows: Any, factors: Any) -> Any:
    """Each row played `factor` times as fast (pitch moves along), padded with silence."""
    length = rows.shape[1]
    place = torch.arange(length, device=rows.device)[None] * factors[:, None]
    low = place.long().clamp(max=length - 2)
    part = (place - low).clamp(0, 1)
    made = rows.gather(1, low) * (1 - part) + rows.gather(1, low + 1) * part
    return made * (place < length - 1)


def wear(rows: Any, chance: random.Random) -> Any:
    """Speed, room, breaths, band limits, noise, babble, hum, level and clipping, by chance."""
    count, length = rows.shape
    device = rows.device

    def draw(low: float, high: float) -> Any:
        return torch.empty(count, 1, device=device).uniform_(low, high)

    def some(share: float) -> Any:
        return (torch.rand(count, 1, device=device) < share).float()

    if chance.random() < 0.7:
        rows = warp(rows, 1 + (draw(-0.14, 0.16) * some(0.85))[:, 0])
    if chance.random() < 0.5:
        tail = torch.arange(6400, device=device)
        room = torch.randn(count, 6400, device=device) * torch.exp(-tail / draw(500, 3500))
        room = room * draw(0.0, 0.07) * some(0.7)
        room[:, 0] = 1
        size = length + 6400
        rows = torch.fft.irfft(torch.fft.rfft(rows, size) * torch.fft.rfft(room, size), size)
        rows = rows[:, :length]
    others = torch.roll(rows, 1, 0) + 0.7 * torch.roll(rows, 3, 0)
    if chance.random() < 0.25:  # breaths and rustle: short bursts of noise
        centre = draw(0.0, 1.0) * length
        place = torch.arange(length, device=device)[None]
        burst = torch.exp(-(((place - centre) / draw(1500, 5000)) ** 2))
        rows = rows + noise(count, length, device) * burst * draw(0.002, 0.02) * some(0.6)
    if chance.random() < 0.4:
        spectrum = torch.fft.rfft(rows)
        hertz = torch.linspace(0, RATE / 2, spectrum.shape[1], device=device)[None]
        low, high = draw(0, 320), draw(3300, 8000)
        keep = torch.sigmoid((hertz - low) / 15) * torch.sigmoid((high - hertz) / 60)
        tilt = (1 + hertz / 1000) ** draw(-0.5, 0.5)
        use = some(0.7)
        rows = torch.fft.irfft(spectrum * (keep * tilt * use + (1 - use)), length)
    clean = some(0.12)
    loud = some(0.45)
    decibels = (draw(4, 18) * loud + draw(15, 40) * (1 - loud)) * (1 - clean) + 70 * clean
    added = noise(count, length, device)
    babble = some(0.2) * draw(0.2, 1.0)
    added = added * (1 - babble) + babble * others / SPEECH_LEVEL * 0.5
    rows = rows + added * SPEECH_LEVEL * 10 ** (-decibels / 20)
    if chance.random() < 0.15:
        time = torch.arange(length, device=device)[None] / RATE
        mains = chance.choice((50.0, 60.0))
        hum = sum(torch.sin(6.2832 * mains * k * time) / k for k in (1, 2, 3, 5))
        rows = rows + hum * draw(0.0, 0.01)
    rows = rows * 10 ** (draw(-22, 6) / 20)
    if chance.random() < 0.08:
        rows = rows * draw(1.0, 6.0)
    return rows.clamp(-1, 1)
