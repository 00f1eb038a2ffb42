"""Trains the finder of stops on punctuated examinations: `python -m dictate2exam.training.stops`.

FOLDERs hold scripts or plain texts (*.txt), one utterance or paragraph a line. Each is cut at
drawn pauses, over and over with other chances, and at times words are lost or misheard, so that
the tagger leans on words more than on pauses. Natural utterances of the lexicon, whose ends alone
are known, are mixed in. Some minutes on one core.
"""

import argparse
import hashlib
import json
import random
import time
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from spacy.lang.en import English
from spacy.language import Language
from spacy.tokens import Doc
from spacy.training import Example
from thinc.api import fix_random_seed

from dictate2exam.findings.nlp import Pipeline, pipeline_for
from dictate2exam.findings.stops import CUT, ENDS, LABELS, OF_CUT
from dictate2exam.findings.word_kinds import NONE, kinds
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.natural import read_natural
from dictate2exam.speech.spoken import spoken_form
from dictate2exam.speech.typed import SPEAKER

STOP = {".": ".", "!": ".", ";": ".", ":": ",", ",": ",", "?": "?"}
UNKNOWN = ""  # what follows a word inside a natural utterance, which has no commas
# Natural files made of scripts, which are there with their stops.
OF_SCRIPTS = frozenset({"examinations", "rooms"})
NATURAL_SHARE = 0.1
NATURAL_RUN = 40  # utterances of one kind after each other


class Chances(NamedTuple):
    """Of a pause at the end of a sentence, at a comma, anywhere else, at the end of a line."""

    sentence: float
    comma: float
    anywhere: float
    line: float


PAUSES = (
    Chances(0.9, 0.5, 0.05, 1.0),
    Chances(0.95, 0.7, 0.08, 1.0),
    Chances(0.8, 0.3, 0.03, 1.0),
    Chances(0.6, 0.15, 0.02, 0.6),
    Chances(1.0, 0.9, 0.12, 1.0),
    Chances(0.97, 0.5, 0.02, 1.0),
)
SHORTEST, LONGEST = 4, 240  # words of a piece
DOCS_A_STEP = 16
RATE = 0.0015
DROPOUT = 0.15
NOISY = 0.3  # of the pieces have misheard words
MISHEARD = 0.04  # of their words
WIDTH = 96
ROWS = {"NORM": 5000, "SUFFIX": 1000, "LEMMA": 300}


class Said(NamedTuple):
    """One text: its words, what follows each, whether a line ends there, what each is."""

    words: list[str]
    stops: list[str]
    ends: list[bool]
    kinds: list[str]


def stopped_words(line: str) -> list[tuple[str, str]]:
    """The words of a line in spoken form, each with the stop that follows it."""
    made: list[tuple[str, str]] = []
    for piece in SPEAKER.sub("", line).split():
        words = spoken_form(piece).split()
        stop = STOP.get(piece.rstrip("\"')”’")[-1:], NONE)
        dash = piece[-1] in "-–—"
        if words:
            made += [(word, NONE) for word in words[:-1]]
            made.append((words[-1], "," if dash and stop == NONE else stop))
        elif made and made[-1][1] == NONE:
            made[-1] = (made[-1][0], "," if dash else stop)
    if made and made[-1][1] not in ENDS:
        made[-1] = (made[-1][0], ".")
    return made


def read_said(lines: Iterable[list[tuple[str, str]]], pipeline: Pipeline) -> Said:
    """Lines of words with their stops as one text."""
    said = Said([], [], [], [])
    for line in lines:
        words = [word for word, _ in line]
        said.words.extend(words)
        said.stops.extend(stop for _, stop in line)
        said.ends.extend([*[False] * (len(line) - 1), True])
        said.kinds.extend(kinds(words, pipeline))
    return said


def read_folders(folders: Iterable[Path], pipeline: Pipeline) -> list[Said]:
    """Every text of the folders; an empty line parts two in one file."""
    files = [path for folder in folders for path in sorted(folder.glob("*.txt"))]
    texts = [text for path in files for text in path.read_text(encoding="utf-8").split("\n\n")]
    return [read_said(filter(None, map(stopped_words, t.splitlines())), pipeline) for t in texts]


def read_unstopped(pipeline: Pipeline) -> list[Said]:
    """Natural utterances of the lexicon, one kind after the other."""
    made = []
    for kind, lines in read_natural(pipeline.lexicon.folder).items():
        if kind in OF_SCRIPTS:
            continue
        said = [[(word, UNKNOWN) for word in line.split()] for line in lines]
        ended = [[*words[:-1], (words[-1][0], ".")] for words in said if words]
        for at in range(0, len(ended), NATURAL_RUN):
            made.append(read_said(ended[at : at + NATURAL_RUN], pipeline))
    return made


def paused(said: Said, odds: Chances, chance: random.Random) -> tuple[list[str], ...]:
    """Words with cuts among them, what each is, and the label of each."""
    words, lemmas, labels = [], [], []
    for word, stop, end, kind in zip(*said, strict=True):
        words.append(word)
        lemmas.append(kind)
        labels.append(stop)
        pause = odds.sentence if stop in ENDS else odds.comma if stop == "," else odds.anywhere
        if chance.random() < (odds.line if end else pause):
            words.append(CUT)
            lemmas.append("CUT")
            labels.append(OF_CUT)
    return words, lemmas, labels


class Course:
    """Draws what the tagger learns from."""

    def __init__(self, texts: list[Said], natural: list[Said], nlp: Language, seed: int) -> None:
        self.texts, self.natural, self.nlp = texts, natural, nlp
        self.sizes = [len(said.words) for said in texts]
        self.chance = random.Random(seed)

    def draw(self) -> Example:
        """A piece of a text, cut at drawn pauses."""
        chance = self.chance
        said = chance.choices(self.texts, self.sizes)[0]
        if self.natural and chance.random() < NATURAL_SHARE:
            said = chance.choice(self.natural)
        words, lemmas, labels = paused(said, chance.choice(PAUSES), chance)
        size = round(SHORTEST * (LONGEST / SHORTEST) ** (chance.random() ** 0.5))
        at = chance.randrange(max(1, len(words) - size // 2))
        words, lemmas, labels = (every[at : at + size] for every in (words, lemmas, labels))
        if chance.random() < NOISY:
            misheard = [w != CUT and chance.random() < MISHEARD for w in words]
            words = [chance.choice(words) if m else w for w, m in zip(words, misheard, strict=True)]
        vocab = self.nlp.vocab
        truth = Doc(vocab, words=words, tags=labels)
        return Example(Doc(vocab, words=words, lemmas=lemmas), truth)


def untrained() -> Language:
    """A pipeline of one tagger: hashed words, endings and kinds under a window of convolutions."""
    nlp = English()
    embed = {
        "@architectures": "spacy.MultiHashEmbed.v2",
        "width": WIDTH,
        "attrs": list(ROWS),
        "rows": list(ROWS.values()),
        "include_static_vectors": False,
    }
    encode = {
        "@architectures": "spacy.MaxoutWindowEncoder.v2",
        "width": WIDTH,
        "depth": 4,
        "window_size": 2,
        "maxout_pieces": 3,
    }
    tok2vec = {"@architectures": "spacy.Tok2Vec.v2", "embed": embed, "encode": encode}
    model = {
        "@architectures": "spacy.Tagger.v2",
        "tok2vec": tok2vec,
        "nO": None,
        "normalize": False,
    }
    tagger: Any = nlp.add_pipe("tagger", config={"model": model})
    for label in LABELS:
        tagger.add_label(label)
    return nlp


def train(course: Course, steps: int) -> Language:
    """The pipeline after so many steps, with the running mean of its weights."""
    nlp = course.nlp
    optimizer = nlp.initialize(lambda: [course.draw() for _ in range(20)])
    began, lost = time.monotonic(), 0.0
    for step in range(1, steps + 1):
        optimizer.learn_rate = RATE * (1 - step / steps) + 1e-5
        losses: dict[str, float] = {}
        examples = [course.draw() for _ in range(DOCS_A_STEP)]
        nlp.update(examples, sgd=optimizer, losses=losses, drop=DROPOUT)
        lost += losses["tagger"]
        if step % 100 == 0:
            print(f"{step}: loss {lost / 100:.1f}, {time.monotonic() - began:.0f} s", flush=True)
            lost = 0.0
    with nlp.use_params(optimizer.averages):
        mean = nlp.to_bytes()
    return nlp.from_bytes(mean)


def examine(nlp: Language, texts: Sequence[Said]) -> dict[str, Any]:
    """Precision and recall of each stop in texts, paused as most often."""
    counts: Counter[tuple[str, str]] = Counter()
    tagger: Any = nlp.get_pipe("tagger")
    for number, said in enumerate(texts):
        words, lemmas, labels = paused(said, PAUSES[0], random.Random(number))
        scores = tagger.model.predict([Doc(nlp.vocab, words=words, lemmas=lemmas)])[0]
        found = [tagger.labels[at] for at in np.asarray(scores).argmax(axis=1)]
        counts.update(pair for pair in zip(labels, found, strict=True) if pair[0] != OF_CUT)
    made = {}
    for name, group in ((",", {","}), ("?", {"?"}), ("sentence", set(ENDS))):
        both = sum(n for (true, got), n in counts.items() if true in group and got in group)
        said_so = sum(n for (_, got), n in counts.items() if got in group)
        there = sum(n for (true, _), n in counts.items() if true in group)
        made[name] = {
            "precision": round(both / max(1, said_so), 3),
            "recall": round(both / max(1, there), 3),
            "there": there,
        }
    return made


def write(nlp: Language, folder: Path) -> None:
    """The pipeline's files with their SHA-256."""
    nlp.to_disk(folder)
    meta = json.loads((folder / "meta.json").read_text(encoding="utf-8"))
    meta |= {"name": "stops", "spacy_version": ">=3.8,<4.0"}
    (folder / "meta.json").write_text(json.dumps(meta, indent=1) + "\n", encoding="utf-8")
    files = [p for p in sorted(folder.rglob("*")) if p.is_file() and p.suffix != ".md"]
    sums = [
        f"{hashlib.sha256(p.read_bytes()).hexdigest()}  {p.relative_to(folder).as_posix()}\n"
        for p in files
        if p.name != "SHA256SUMS"
    ]
    (folder / "SHA256SUMS").write_text("".join(sums), encoding="utf-8")


def main() -> None:
    """Reads the arguments, trains, prints what is reached on --held, and writes --out."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--held", type=Path, nargs="*", default=[])
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--steps", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    fix_random_seed(given.seed)
    pipeline = pipeline_for(load_lexicon(with_users=False))
    texts = read_folders(given.folders, pipeline)
    print(f"{len(texts)} texts, {sum(len(t.words) for t in texts)} words", flush=True)
    course = Course(texts, read_unstopped(pipeline), untrained(), given.seed)
    nlp = train(course, given.steps)
    for folder in given.held:
        print(folder.name, json.dumps(examine(nlp, read_folders([folder], pipeline))), flush=True)
    write(nlp, given.out)


if __name__ == "__main__":
    main()
