"""Writes the texts that the domain listener learns from: `python -m dictate2exam.training.text`.

More than half are natural utterances of the lexicon, alone and in pairs, a tenth sentences of
its templates; the rest is general English, WordNet's glosses of bodies and illnesses, talk of the
examination room, and words in no order at all, so that the listener learns to hear what was said
rather than what is usually said. Each line of the output is one unit: `text` is what is to be
written, `say` what a synthesiser is given (commas make pauses, letters are spelled to be said).
"""

import argparse
import json
import random
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from dictate2exam.lexicon.files import read_toml
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.lexicon.natural import read_natural
from dictate2exam.speech.sentences import Grammar, sentences
from dictate2exam.speech.spoken import number_words

TALK = ("instruction", "ask", "reply", "teaching", "room_talk")
SHARES = {
    "examination": 0.11,
    "natural": 0.55,
    "talk": 0.03,
    "general": 0.20,
    "gloss": 0.05,
    "mixed": 0.03,
    "short": 0.03,
}
GLOSSED = {"08", "26", "29"}  # WordNet's files of the body, of states and of bodily care
COMMA_CHANCE = 0.06  # after a word: a pause inside a statement
PAIR_CHANCE = 0.4  # of a natural utterance: another of its kind follows in the same breath
_LETTER = re.compile(r"(?<= )a(?= [b-z](?: |$))|^a(?= [b-z](?: |$))")


def spoken_lines(text: str) -> Iterator[str]:
    """Sentences of ordinary prose as lower-case words; lines with odd characters are left out."""
    for line in re.split(r"(?<=[.!?;:])\s+|\n\s*\n|\"|--|[()\[\]]", text):
        line = " ".join(line.split()).replace("’", "'").lower()
        line = re.sub(r"\d{1,4}", lambda found: " " + number_words(int(found.group())) + " ", line)
        line = re.sub(r"(?<![a-z])'|'(?![a-z])", " ", line)
        if re.search(r"[^a-z' ,.!?;:-]", line):
            continue
        words = re.sub(r"[^a-z' ]", " ", line).split()
        if 2 <= len(words) <= 20 and all(len(word) < 15 for word in words):
            yield " ".join(words)


def read_general(paths: Iterable[Path]) -> list[str]:
    """Distinct sentences of prose files, of WordNet's examples (data.*) and of YAML talks."""
    found: dict[str, None] = {}
    for path in paths:
        text = path.read_text(encoding="utf-8", errors="ignore")
        if path.name.startswith("data."):
            parts: Iterable[str] = re.findall(r'"([^"]+)"', text)
        elif path.suffix in {".yml", ".yaml"}:
            parts = re.findall(r"^\s*-\s+(?:-\s+)?['\"]?(.+?)['\"]?$", text, re.MULTILINE)
        else:
            parts = re.split(r"\n%\n", text)
        for part in parts:
            for line in spoken_lines(part):
                found.setdefault(line)
    return list(found)


def read_glosses(paths: Iterable[Path]) -> list[str]:
    """Distinct glosses of WordNet's files (data.*) on bodies, states and bodily care."""
    found: dict[str, None] = {}
    for path in paths:
        for line in path.read_text(encoding="utf-8", errors="ignore").splitlines():
            head, bar, gloss = line.partition("|")
            if bar and not line.startswith("  ") and head.split()[1] in GLOSSED:
                for text in spoken_lines(re.sub("[()]", "", gloss.partition('"')[0])):
                    found.setdefault(text)
    return list(found)


class Speller:
    """Turns a text into what a synthesiser is given."""

    def __init__(self, lexicon: Lexicon, chance: random.Random) -> None:
        self.ways: dict[str, list[str]] = {}
        for path in sorted((lexicon.folder / "speech").glob("templates*.toml")):
            self.ways.update(read_toml(path).get("say", {}))
        self.chance = chance

    def spell(self, text: str) -> str:
        """`text` with commas for pauses and, half the time, terms spelled as they are said."""
        words = _LETTER.sub("ay", text).split()
        spelled = self.chance.random() < 0.5
        said: list[str] = []
        for word in words:
            ways = self.ways.get(word)
            said.append(self.chance.choice(ways) if ways and spelled else word)
            if len(word) > 1 and self.chance.random() < COMMA_CHANCE:
                said[-1] += ","
        return " ".join(said).rstrip(",")


def natural_texts(lexicon: Lexicon, count: int, chance: random.Random) -> list[str]:
    """`count` natural utterances, each as often as any other, some followed by one of their kind.

    They repeat where there are fewer; a comma parts the two of a pair half the time.
    """
    kinds = {kind: lines for kind, lines in read_natural(lexicon.folder).items() if lines}
    every = [(kind, line) for kind, lines in kinds.items() for line in lines]
    made: list[str] = []
    while every and len(made) < count:
        for kind, line in chance.sample(every, len(every)):
            if chance.random() < PAIR_CHANCE:
                line += chance.choice((", ", " ")) + chance.choice(kinds[kind])
            made.append(line)
    return made[:count]


def units(
    lexicon: Lexicon, general: list[str], glosses: list[str], count: int, seed: int
) -> list[dict[str, str]]:
    """`count` units in the SHARES, in random order; natural utterances may repeat."""
    chance = random.Random(seed)
    grammar = Grammar(lexicon)
    speller = Speller(lexicon, chance)
    exam_kinds = [kind for kind in grammar.start if kind not in TALK]
    wanted = {kind: int(count * share) for kind, share in SHARES.items()}
    domain = sentences(lexicon, wanted["examination"] * 2, seed, exam_kinds)
    texts = {
        "examination": list(dict.fromkeys(domain)),
        "talk": list(dict.fromkeys(sentences(lexicon, wanted["talk"] * 6, seed + 1, TALK))),
        "general": chance.sample(general, min(len(general), wanted["general"])),
        "gloss": chance.sample(glosses, min(len(glosses), wanted["gloss"])),
        "natural": natural_texts(lexicon, wanted["natural"], chance),
    }
    words = [w for s in domain[:4000] for w in s.split()]
    words += [w for s in chance.sample(general, min(len(general), 4000)) for w in s.split()]
    texts["mixed"] = [
        " ".join(chance.choices(words, k=chance.randint(2, 9))) for _ in range(wanted["mixed"])
    ]
    slots = ("muscle", "movement", "grade", "level", "sign", "reflex", "score", "digit", "area")
    texts["short"] = [
        " ".join(grammar.say(chance.choice(slots), chance) for _ in range(chance.randint(1, 2)))
        for _ in range(wanted["short"])
    ]
    made = [
        {"kind": kind, "text": text.replace(",", ""), "say": speller.spell(text)}
        for kind, lines in texts.items()
        for text in lines[: wanted[kind]]
    ]
    chance.shuffle(made)
    return made


def main() -> None:
    """Reads the arguments and writes the units, one JSON object a line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("general", nargs="+", type=Path, help="files of general English")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--count", type=int, default=24000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    glosses = read_glosses(path for path in given.general if path.name.startswith("data."))
    made = units(load_lexicon(), read_general(given.general), glosses, given.count, given.seed)
    with given.out.open("w", encoding="utf-8") as handle:
        for unit in made:
            handle.write(json.dumps(unit) + "\n")
    print(f"{len(made)} units written to {given.out}")


if __name__ == "__main__":
    main()
