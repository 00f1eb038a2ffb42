"""Trains the finder of evidence: `python -m dictate2exam.training.evidence TEXTS.jsonl ...`.

Needs PyTorch and, to be quick, a GPU: three minutes of one H200 do. TEXTS are what
`dictate2exam.training.evidence_texts` wrote. Pieces of them are drawn; in most of them names are
exchanged for others of their kind and left for right, at times commas are left out, and words are
lost, so that the network leans on how things are said. With --held, scripts of those names are not
learnt from, and what is reached on them is printed.
"""

import argparse
import hashlib
import json
import math
import random
import time
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from multiprocessing import get_context
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from dictate2exam.findings.evidence import (
    BUCKETS,
    ENDING,
    FILE,
    LINE,
    NAME,
    NOTHING,
    REPLACED,
    STANDING,
    UNKNOWN,
    WINDOW,
    distances,
    labels,
    stretches,
)

try:
    import torch
    import torch.nn.functional as fn
except ImportError:  # pragma: no cover
    raise SystemExit("Training needs PyTorch 1.13 or later: install torch and try again.") from None

TAGS = 4
EXCHANGED = frozenset({"muscle", "movement", "reflex", "place", "level", "area"})
TURNED = {"left": "right", "right": "left"}
# Chances: names of a piece are exchanged, each of them, sides turned, commas left out, a word lost.
SOME, EACH, TURN, COMMAS, LOST = 0.7, 0.5, 0.5, 0.15, 0.05
BATCH, RATE, WARM_UP, DECAY, AVERAGE = 64, 1e-3, 200, 0.02, 0.998
DROPOUT, WORKERS = 0.2, 12
WIDTH, LAYERS, HEADS = 128, 4, 4
# What the losses count: what a word is, which value a name goes with.
OF_TAG, OF_LINK = 2.0, 0.5
IGNORED = -100
RARE_WORD, RARE_ENDING = 2, 3
# So often a piece is drawn from what the reader alone read, where there is any.
UNPROVEN = 0.3


class Text(NamedTuple):
    """A transcript as learnt: words, what each is by the lexicon, its tag, links of first words of
    a name and of its value, stretches of names that may be exchanged (start, end, kind)."""

    name: str
    words: list[str]
    kinds: list[str]
    tags: list[int]
    links: list[tuple[int, int]]
    names: dict[int, tuple[int, str]]


class Piece(NamedTuple):
    """A part of a text."""

    words: list[str]
    kinds: list[str]
    tags: list[int]
    links: list[tuple[int, int]]


def read_text(row: dict[str, Any]) -> Text:
    """A text out of a row: the last value said of an item stands, earlier ones are replaced."""
    last = {(k["item"], k["side"]): k["reads"] for k in row["links"] if not k["gone"]}
    tags = [NOTHING] * len(row["words"])
    stands = [not k["gone"] and last[k["item"], k["side"]] == k["reads"] for k in row["links"]]
    for good in (False, True):
        for link, standing in zip(row["links"], stands, strict=True):
            if standing is good:
                first, end = link["value"]
                tags[first:end] = [STANDING if good else REPLACED] * (end - first)
    for link in row["links"]:
        first, end = link["name"]
        if link["name"] != link["value"]:
            tags[first:end] = [NAME] * (end - first)
    links = [(k["name"][0], k["value"][0]) for k in row["links"] if k["name"] != k["value"]]
    names = {s: (e, kind) for s, e, kind in stretches(row["kinds"]) if kind in EXCHANGED}
    return Text(row["name"], row["words"], row["kinds"], tags, links, names)


# What a worker draws from; it is inherited, so that nothing is sent to it but numbers.
_courses: list["Course"] = []


def _batch(seed: int) -> list[Piece]:
    return _courses[-1].batch(seed)


class Course:
    """Draws what the network learns from."""

    def __init__(self, proven: list[Text], unproven: list[Text]) -> None:
        self.groups = [
            (group, [len(t.words) ** 0.9 for t in group]) for group in (proven, unproven)
        ]
        self.others: dict[str, list[list[str]]] = defaultdict(list)
        for text in [*proven, *unproven]:
            for start, (end, kind) in text.names.items():
                self.others[kind].append(text.words[start:end])

    def batch(self, seed: int) -> list[Piece]:
        """The pieces of one step."""
        chance = random.Random(seed)
        return [self.draw(chance) for _ in range(BATCH)]

    def draw(self, chance: random.Random) -> Piece:
        """A piece of a text, altered."""
        texts, sizes = self.groups[bool(self.groups[1][0]) and chance.random() < UNPROVEN]
        text = chance.choices(texts, sizes)[0]
        size = WINDOW // chance.choice((1, 1, 2, 4))
        at = chance.randrange(max(1, len(text.words) - size // 2))
        piece = self._altered(text, at, min(len(text.words), at + size), chance)
        if chance.random() < COMMAS:
            piece = _without_commas(piece)
        kept = [word.startswith(LINE) or chance.random() > LOST for word in piece.words]
        words = [w if k else UNKNOWN for w, k in zip(piece.words, kept, strict=True)]
        return piece._replace(words=words)

    def _altered(self, text: Text, at: int, end: int, chance: random.Random) -> Piece:
        turned = TURNED if chance.random() < TURN else {}
        share = EACH if chance.random() < SOME else 0.0
        piece = Piece([], [], [], [])
        places: dict[int, int] = {}
        while at < end:
            places[at] = len(piece.words)
            stop, kind = text.names.get(at, (0, ""))
            if stop and chance.random() < share:
                other = chance.choice(self.others[kind])
                piece.words.extend(other)
                piece.kinds.extend(labels(kind, len(other)))
                piece.tags.extend([text.tags[at]] * len(other))
                at = stop
            else:
                piece.words.append(turned.get(text.words[at], text.words[at]))
                piece.kinds.append(text.kinds[at])
                piece.tags.append(text.tags[at])
                at += 1
        here = [(a, b) for a, b in text.links if a in places and b in places]
        return piece._replace(links=[(places[a], places[b]) for a, b in here])


def whole(text: Text) -> Iterator[Piece]:
    """A text in windows, unaltered."""
    for at in range(0, len(text.words), WINDOW):
        end = at + WINDOW
        links = [(a - at, b - at) for a, b in text.links if at <= a < end and at <= b < end]
        yield Piece(text.words[at:end], text.kinds[at:end], text.tags[at:end], links)


def _without_commas(piece: Piece) -> Piece:
    kept = [at for at, word in enumerate(piece.words) if word != ","]
    places = {at: n for n, at in enumerate(kept)}
    links = [(places[a], places[b]) for a, b in piece.links if a in places and b in places]
    return Piece(
        [piece.words[at] for at in kept],
        [piece.kinds[at] for at in kept],
        [piece.tags[at] for at in kept],
        links,
    )


class Tables:
    """Numbers of words, of their endings and of kinds; 0 is nothing, 1 what is unknown."""

    def __init__(self, texts: Sequence[Text]) -> None:
        words = Counter(word for text in texts for word in text.words)
        endings = Counter(word[-ENDING:] for word in words)
        kinds = Counter(kind for text in texts for kind in text.kinds)
        self.words = ["", UNKNOWN, *(w for w, n in words.items() if n >= RARE_WORD)]
        self.endings = ["", UNKNOWN, *(e for e, n in endings.items() if n >= RARE_ENDING)]
        self.kinds = ["", UNKNOWN, *kinds]
        self._numbers = [
            {entry: n for n, entry in enumerate(table)}
            for table in (self.words, self.endings, self.kinds)
        ]

    def arrays(self, pieces: Sequence[Piece]) -> list[npt.NDArray[np.int64]]:
        """Words, endings, kinds, tags and links, each (pieces, longest)."""
        shape = len(pieces), max(len(piece.words) for piece in pieces)
        made = [np.zeros(shape, np.int64) for _ in range(3)]
        made += [np.full(shape, IGNORED, np.int64) for _ in range(2)]
        words, endings, kinds = self._numbers
        for row, piece in enumerate(pieces):
            size = len(piece.words)
            made[0][row, :size] = [words.get(w, 1) for w in piece.words]
            made[1][row, :size] = [endings.get(w[-ENDING:], 1) for w in piece.words]
            made[2][row, :size] = [kinds.get(k, 1) for k in piece.kinds]
            made[3][row, :size] = piece.tags
            for name, value in piece.links:
                made[4][row, name] = value
        return made


class Block(torch.nn.Module):  # type: ignore[misc]
    """A layer of attention to all words of the window, nearer and farther ones told apart."""

    def __init__(self) -> None:
        super().__init__()
        self.n1, self.n2 = torch.nn.LayerNorm(WIDTH), torch.nn.LayerNorm(WIDTH)
        self.qkv, self.o = torch.nn.Linear(WIDTH, 3 * WIDTH), torch.nn.Linear(WIDTH, WIDTH)
        self.f1, self.f2 = torch.nn.Linear(WIDTH, 4 * WIDTH), torch.nn.Linear(4 * WIDTH, WIDTH)
        self.drop = torch.nn.Dropout(DROPOUT)

    def forward(self, x: Any, bias: Any) -> Any:
        rows, size, _ = x.shape
        split = self.qkv(self.n1(x)).view(rows, size, 3, HEADS, WIDTH // HEADS)
        q, k, v = split.permute(2, 0, 3, 1, 4)
        dropped = DROPOUT if self.training else 0.0
        seen = fn.scaled_dot_product_attention(q, k, v, attn_mask=bias, dropout_p=dropped)
        x = x + self.drop(self.o(seen.transpose(1, 2).reshape(rows, size, WIDTH)))
        return x + self.drop(self.f2(fn.gelu(self.f1(self.n2(x)), approximate="tanh")))


class Network(torch.nn.Module):  # type: ignore[misc]
    """What findings/evidence.py computes, to be trained."""

    def __init__(self, tables: Tables) -> None:
        super().__init__()
        self.w = torch.nn.Embedding(len(tables.words), WIDTH)
        self.s = torch.nn.Embedding(len(tables.endings), WIDTH)
        self.k = torch.nn.Embedding(len(tables.kinds), WIDTH)
        for table in (self.w, self.s, self.k):
            torch.nn.init.normal_(table.weight, std=0.3)
        self.rel = torch.nn.Embedding(BUCKETS, LAYERS * HEADS)
        self.far = torch.nn.Embedding(BUCKETS, 1)
        for table in (self.rel, self.far):
            torch.nn.init.zeros_(table.weight)
        self.bl = torch.nn.ModuleList(Block() for _ in range(LAYERS))
        self.nf = torch.nn.LayerNorm(WIDTH)
        self.tag = torch.nn.Linear(WIDTH, TAGS)
        self.lq, self.lk = torch.nn.Linear(WIDTH, WIDTH), torch.nn.Linear(WIDTH, WIDTH)
        self.drop = torch.nn.Dropout(DROPOUT)

    def forward(self, words: Any, endings: Any, kinds: Any) -> tuple[Any, Any]:
        """Scores (rows, size, tags) of tags and (rows, size, size) of links."""
        size = words.shape[1]
        x = self.drop(self.w(words) + self.s(endings) + self.k(kinds))
        apart = torch.from_numpy(distances(size)).to(words.device)
        bias = self.rel(apart).permute(2, 0, 1).view(LAYERS, HEADS, size, size)
        empty = (words == 0)[:, None, None, :]
        for layer, block in enumerate(self.bl):
            x = block(x, bias[layer][None].masked_fill(empty, -1e4).to(x.dtype))
        x = self.nf(x)
        links = self.lq(x) @ self.lk(x).transpose(1, 2) / math.sqrt(WIDTH) + self.far(apart)[..., 0]
        return self.tag(x), links.masked_fill((words == 0)[:, None, :], -1e4)


def losses(made: tuple[Any, Any], tags: Any, links: Any) -> tuple[Any, Any]:
    """Mean cross entropy of tags and of links."""
    return (
        fn.cross_entropy(made[0].float().flatten(0, 1), tags.flatten(), ignore_index=IGNORED),
        fn.cross_entropy(made[1].float().flatten(0, 1), links.flatten(), ignore_index=IGNORED),
    )


def train(course: Course, tables: Tables, held: list[Text], steps: int, seed: int) -> Network:
    """The network after so many steps, with the running mean of its weights."""
    torch.manual_seed(seed)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    network: Network = Network(tables).to(device)
    mean = {name: value.detach().clone() for name, value in network.state_dict().items()}
    optimizer = torch.optim.AdamW(
        network.parameters(), lr=RATE, weight_decay=DECAY, betas=(0.9, 0.98)
    )
    began, lost = time.monotonic(), np.zeros(2)
    _courses.append(course)
    with get_context("fork").Pool(WORKERS) as pool:
        seeds = range(seed * 10**6, seed * 10**6 + steps)
        for step, pieces in enumerate(pool.imap(_batch, seeds, chunksize=4), start=1):
            slope = 0.02 + 0.49 * (1 + math.cos(math.pi * step / steps))
            optimizer.param_groups[0]["lr"] = RATE * min(1.0, step / WARM_UP) * slope
            given = [torch.from_numpy(array).to(device) for array in tables.arrays(pieces)]
            with torch.autocast(device, dtype=torch.bfloat16):
                made = network(*given[:3])
            of_tag, of_link = losses(made, *given[3:])
            optimizer.zero_grad()
            (OF_TAG * of_tag + OF_LINK * of_link).backward()
            torch.nn.utils.clip_grad_norm_(network.parameters(), 1.0)
            optimizer.step()
            share = min(AVERAGE, step / (step + 10))
            with torch.no_grad():
                for name, value in network.state_dict().items():
                    mean[name].mul_(share).add_(value, alpha=1 - share)
            lost += of_tag.item(), of_link.item()
            if step % 500 == 0:
                print(f"{step}: {lost / 500}, {time.monotonic() - began:.0f} s", flush=True)
                lost[:] = 0
    network.load_state_dict(mean)
    if held:
        print(json.dumps(examine(network.eval(), tables, held, device)), flush=True)
    return network


def examine(network: Network, tables: Tables, held: list[Text], device: str) -> dict[str, Any]:
    """Losses on texts that were not learnt from, and the share of links that are right."""
    pieces = [piece for text in held for piece in whole(text)]
    lost: list[list[float]] = []
    right = there = 0
    with torch.no_grad():
        for at in range(0, len(pieces), BATCH):
            arrays = tables.arrays(pieces[at : at + BATCH])
            given = [torch.from_numpy(array).to(device) for array in arrays]
            made = network(*given[:3])
            lost.append([one.item() for one in losses(made, *given[3:])])
            known = given[4] >= 0
            right += int((made[1].argmax(-1)[known] == given[4][known]).sum())
            there += int(known.sum())
    tag, link = np.nanmean(np.array(lost), axis=0)
    return {"tags": round(tag, 4), "links": round(link, 4), "linked": round(right / there, 4)}


def write(network: Network, tables: Tables, folder: Path) -> None:
    """The weights in half precision with their tables, and their SHA-256."""
    folder.mkdir(parents=True, exist_ok=True)
    sizes = {"width": WIDTH, "layers": LAYERS, "heads": HEADS}
    rows = {"words": tables.words, "endings": tables.endings, "kinds": tables.kinds}
    made = {k: v.float().cpu().numpy().astype(np.float16) for k, v in network.state_dict().items()}
    np.savez_compressed(folder / FILE, meta=json.dumps({**sizes, **rows}), **made)
    digest = hashlib.sha256((folder / FILE).read_bytes()).hexdigest()
    (folder / "SHA256SUMS").write_text(f"{digest}  {FILE}\n", encoding="utf-8")


def main() -> None:
    """Reads the arguments, trains, and writes --out."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("texts", type=Path, nargs="+")
    parser.add_argument("--unproven", type=Path, nargs="*", default=[])
    parser.add_argument("--held", type=Path, default=None, help="a file of names of scripts")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--steps", type=int, default=5000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()

    def read(paths: Sequence[Path]) -> list[Text]:
        lines = [line for p in paths for line in p.read_text(encoding="utf-8").splitlines()]
        return [read_text(json.loads(line)) for line in lines]

    names = set(given.held.read_text(encoding="utf-8").split()) if given.held else set()
    texts, unproven = read(given.texts), read(given.unproven)
    learnt = [text for text in texts if text.name not in names]
    held = [text for text in texts if text.name in names]
    tables = Tables([*learnt, *unproven])
    print(f"{len(learnt)} texts, {sum(len(t.words) for t in learnt)} words; {len(held)} held")
    write(train(Course(learnt, unproven), tables, held, given.steps, given.seed), tables, given.out)


if __name__ == "__main__":
    main()
