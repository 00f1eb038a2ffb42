"""Trains the decoder on spoken units: `python -m dictate2exam.training.train base.npz FOLDER...`.

Needs PyTorch and, to be quick, a GPU: half an hour of one H100 does. The encoder, which knows real
voices and noise, stays as it is unless --all is given; the decoder learns what is said here and how
it is written. Word error rates on the sounds of --held, whose voices must be in no FOLDER, are
printed at the end and written to report.json beside encoder.npz and decoder.npz. With --after a
run goes on from where those ended, from the mean of their weights.
"""

import argparse
import json
import math
import random
import time
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.speech.mel import mel_filters
from dictate2exam.speech.pieces import SPACE, Tokeniser
from dictate2exam.training.augment import RATE, SPEECH_LEVEL, Piece, compose, gain_of, plan, wear
from dictate2exam.training.augment import noise as make_noise
from dictate2exam.training.base import expand, mean_of, shrink
from dictate2exam.training.network import Recogniser, fn, torch
from dictate2exam.training.report import word_errors

LENGTHS_S = (3.0, 5.0, 7.0, 9.0, 11.0, 13.0)
SECONDS_A_STEP = 900.0
PACE_ROOM = 0.88  # the part of a row that is filled, since slower speech takes more of it
TRACTS = (0.84, 0.88, 0.92, 0.96, 1.04, 1.08, 1.12, 1.16)
ENCODER_SHARE = 0.15  # of the learning rate, where the encoder is trained too
AVERAGE = 0.9985  # weight of the past in the running mean of the weights
# How often each engine's voices are heard; those with recorded or learnt human sound most.
SHARES = {"kokoro": 12.0, "flite": 5.0, "hibari": 3.0, "espeak": 2.5, "piper": 2.0}


def read_sound(folders: list[Path]) -> tuple[npt.NDArray[np.int16], list[dict[str, Any]]]:
    """All sound of the folders joined, and the index with places in the joined sound."""
    sounds: list[npt.NDArray[np.int16]] = []
    rows: list[dict[str, Any]] = []
    at = 0
    for path in sorted(p for folder in folders for p in folder.glob("*.jsonl")):
        if path.with_suffix(".npy").exists():
            sound = np.load(path.with_suffix(".npy"))
        else:
            import soundfile

            sound, _ = soundfile.read(path.with_suffix(".opus"), dtype="int16")
        for line in path.read_text(encoding="utf-8").splitlines():
            row = json.loads(line)
            rows.append({**row, "start": row["start"] + at, "end": row["end"] + at})
        sounds.append(sound)
        at += len(sound)
    return np.concatenate(sounds), rows


def stretched(filters: npt.NDArray[np.float32], factor: float) -> npt.NDArray[np.float32]:
    """The filters with every frequency multiplied, as a longer or shorter vocal tract does."""
    bins = np.arange(filters.shape[1]) / factor
    return np.stack([np.interp(bins, np.arange(len(row)), row, right=0.0) for row in filters])


class Ears:
    """Log-mel spectrograms on the device, as speech/mel.py makes them, or as other bodies would."""

    def __init__(self, device: str) -> None:
        made = [mel_filters(), *(stretched(mel_filters(), f) for f in TRACTS)]
        self.filters = torch.from_numpy(np.stack(made).astype(np.float32)).to(device)
        self.window = torch.hann_window(400, device=device)

    def __call__(self, rows: Any, chance: random.Random | None = None) -> Any:
        power = torch.stft(rows, 400, 160, window=self.window, return_complex=True)
        power = power[..., :-1].abs() ** 2
        filters = self.filters[:1]
        if chance:
            picked = [chance.choice(range(1, len(self.filters))) for _ in rows]
            picked = [p if chance.random() < 0.75 else 0 for p in picked]
            filters = self.filters[torch.tensor(picked, device=rows.device)]
        logs = torch.log10(torch.clamp(filters @ power, min=1e-10))
        logs = torch.maximum(logs, logs.amax((1, 2), keepdim=True) - 8)
        mel = (logs + 4) / 4
        for row in mel if chance else ():
            if chance and chance.random() < 0.3:  # a band that a device does not pass
                low = chance.randrange(70)
                row[low : low + chance.randint(3, 10)] = row.mean()
        return mel


class Course:
    """One training run's data and vocabulary."""

    def __init__(
        self, base: Path, after: list[Path], folders: list[Path], held: list[Path], device: str
    ) -> None:
        stored = dict(np.load(base))
        self.tokens: list[str] = [str(piece) for piece in stored.pop("tokens")]
        self.start = mean_of(after) if after else expand(stored)
        self.device = device
        self.ears = Ears(device)
        self.ids = {piece: place for place, piece in enumerate(self.tokens)}
        self.begin = [self.ids["<|startoftranscript|>"], self.ids["<|notimestamps|>"]]
        self.end = self.ids["<|endoftext|>"]
        self.tokeniser = Tokeniser(self.tokens)
        self.sound, pieces = self._load(folders)
        self.by_voice: dict[str, list[Piece]] = {}
        for piece in pieces:
            self.by_voice.setdefault(piece.voice, []).append(piece)
        self.held_sound, self.held = self._load(held) if held else (self.sound, [])
        hours = sum(p.end - p.start for p in pieces) / RATE / 3600
        print(f"{len(pieces)} units, {hours:.1f} h, {len(self.by_voice)} voices", flush=True)

    def _load(self, folders: list[Path]) -> tuple[Any, list[Piece]]:
        sound, rows = read_sound(folders)
        pieces = []
        for row in rows:
            kept = [self.ids[p] for p in self.tokeniser.pieces(row["text"]) if p in self.ids]
            gain = gain_of(sound[row["start"] : row["end"]])
            held = str(row["kind"]).startswith("held")
            voice = f"{row['voice']}|{row['kind']}" if held else row["voice"]
            pieces.append(Piece(row["start"], row["end"], gain, kept, voice))
        return torch.from_numpy(sound).to(self.device), pieces

    def batch(self, chance: random.Random) -> tuple[Any, Any]:
        """Mel spectrograms and tokens (padded with -1) of one step."""
        length_s = chance.choice(LENGTHS_S)
        count = int(SECONDS_A_STEP / length_s)
        voices = list(self.by_voice)
        engines = [voice.split(":")[0] for voice in voices]
        weights = [SHARES.get(e, 1.0) / engines.count(e) for e in engines]
        chosen = chance.choices(voices, weights, k=count)
        answering = chance.choices(voices, weights, k=count)
        plans = [
            plan(self.by_voice, length_s * PACE_ROOM, chance, list(pair))
            for pair in zip(chosen, answering, strict=True)
        ]
        rows = compose(self.sound, plans, int(length_s * RATE), chance)
        said = [[t for _, piece in placed for t in piece.tokens] for placed in plans]
        return self.ears(wear(rows, chance), chance), self.pad(said)

    def pad(self, said: list[list[int]]) -> Any:
        """Token rows with their begin and end, padded with -1."""
        full = [[*self.begin, *tokens, self.end] for tokens in said]
        longest = max(map(len, full))
        return torch.tensor([r + [-1] * (longest - len(r)) for r in full], device=self.device)

    def text(self, tokens: list[int]) -> str:
        """The words of the tokens up to the end."""
        pieces = tokens[: tokens.index(self.end)] if self.end in tokens else tokens
        return "".join(self.tokens[t] for t in pieces).replace(SPACE, " ").strip()

    def hear(self, net: Recogniser, pieces: list[Piece], snr: float | None) -> list[str]:
        """What the network hears in the pieces, the likeliest token at each step."""
        torch.manual_seed(7)
        heard: list[str] = []
        for at in range(0, len(pieces), 48):
            some = pieces[at : at + 48]
            length = (max(p.end - p.start for p in some) + 9600) // 320 * 320
            rows = compose(self.held_sound, [[(4800, p)] for p in some], length, random.Random(1))
            added = make_noise(len(some), length, self.device)
            rows = rows + added * (SPEECH_LEVEL * 10 ** (-snr / 20) if snr is not None else 3e-4)
            encoded = net.encode(self.ears(rows))
            tokens = torch.tensor([self.begin] * len(some), device=self.device)
            for _ in range(90):
                scores = net.decode(tokens, encoded)[:, -1]
                scores[:, self.begin] = -1e9
                tokens = torch.cat([tokens, scores.argmax(-1, keepdim=True)], 1)
                if bool((tokens == self.end).any(1).all()):
                    break
            heard += [self.text(row[2:]) for row in tokens.tolist()]
        return heard


def examine(course: Course, net: Recogniser) -> dict[str, Any]:
    """Word error rates of the held sounds by voice and noise, with what was heard."""
    report: dict[str, Any] = {}
    net.eval()
    with torch.no_grad():
        for voice in sorted({piece.voice for piece in course.held}):
            pieces = [piece for piece in course.held if piece.voice == voice]
            truth = [course.text(piece.tokens) for piece in pieces]
            for snr in (None, 20.0, 10.0):
                heard = course.hear(net, pieces, snr)
                name = f"{voice}|{'clean' if snr is None else f'{snr:.0f} dB'}"
                report[name] = {
                    "wer": round(word_errors(truth, heard), 4),
                    "heard": list(zip(truth, heard, strict=True)),
                }
            print(
                voice, [report[k]["wer"] for k in report if k.startswith(voice + "|")], flush=True
            )
    net.train()
    return report


def train(
    course: Course, steps: int, rate: float, seed: int, everything: bool, seconds: float
) -> Recogniser:
    """The trained network: the running mean of its weights over the last steps."""
    chance = random.Random(seed)
    torch.manual_seed(seed)
    net = Recogniser(course.start)
    net.to(course.device)
    net.train_only("" if everything else "decoder")
    learnt = [p for p in net.parameters() if p.requires_grad]
    mean = [p.detach().clone() for p in learnt]
    shares = [ENCODER_SHARE if n.startswith("encoder") else 1.0 for n, p in net.named_parameters()]
    groups = [
        {
            "params": [
                p
                for p, s in zip(net.parameters(), shares, strict=True)
                if s == share and p.requires_grad
            ],
            "share": share,
        }
        for share in sorted(set(shares))
    ]
    optimiser = torch.optim.AdamW([g for g in groups if g["params"]], rate, weight_decay=0.01)
    began, losses = time.time(), []
    for step in range(steps):
        done = max(step / steps, (time.time() - began) / seconds)
        if done >= 1:
            break
        now = rate * min(1, (step + 1) / 150) * (0.02 + 0.98 * 0.5 * (1 + math.cos(math.pi * done)))
        for group in optimiser.param_groups:
            group["lr"] = now * group["share"]
        with torch.no_grad():
            mel, tokens = course.batch(chance)
        with torch.autocast(course.device, torch.bfloat16):
            if everything:
                encoded = net.encode(mel)
            else:
                with torch.no_grad():
                    encoded = net.encode(mel)
            scores = net.decode(tokens[:, :-1].clamp(min=0), encoded)
            target = tokens[:, 1:].clone()
            target[:, 0] = -1
        loss = fn.cross_entropy(
            scores.float().flatten(0, 1), target.flatten(), ignore_index=-1, label_smoothing=0.05
        )
        optimiser.zero_grad()
        loss.backward()
        torch.nn.utils.clip_grad_norm_(learnt, 1.0)
        optimiser.step()
        share = min(AVERAGE, (step + 1) / (step + 10))
        for kept, value in zip(mean, learnt, strict=True):
            kept.mul_(share).add_(value.detach(), alpha=1 - share)
        losses.append(loss.detach())
        if step % 100 == 99 or step < 2:
            level = float(torch.stack(losses[-100:]).mean())
            print(f"step {step + 1} loss {level:.3f} {time.time() - began:.0f} s", flush=True)
    with torch.no_grad():
        for kept, value in zip(mean, learnt, strict=True):
            value.copy_(kept)
    return net


def main() -> None:
    """Reads the arguments, trains, examines and writes the weights."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("base", type=Path)
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--after", type=Path, nargs="*", default=[], help="runs to go on from")
    parser.add_argument("--held", type=Path, nargs="*", default=[])
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--steps", type=int, default=4000)
    parser.add_argument("--seconds", type=float, default=1e9, help="stop after this long at most")
    parser.add_argument("--rate", type=float, default=5e-4)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--all", action="store_true", help="train the encoder too")
    given = parser.parse_args()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    course = Course(given.base, given.after, given.folders, given.held, device)
    net = train(course, given.steps, given.rate, given.seed, given.all, given.seconds)
    given.out.mkdir(parents=True, exist_ok=True)
    weights = net.weights()
    for part in ("encoder", "decoder"):
        some = shrink({k: v for k, v in weights.items() if k.startswith(part)})
        some = {k: v.astype(np.float16) if v.dtype == np.float32 else v for k, v in some.items()}
        np.savez(given.out / f"{part}.npz", allow_pickle=False, **some)
    report = examine(course, net)
    (given.out / "report.json").write_text(json.dumps(report, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
