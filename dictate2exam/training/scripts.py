"""Takes scripts up as natural utterances: `python -m dictate2exam.training.scripts FOLDER...`.

What is said in lines that hold a finding, and every line that names a term, goes to
`speech/natural/examinations.txt` of the lexicon given with --lexicon; the rest, small talk mostly,
to `rooms.txt`, which is talk. Scripts that something is measured on must not be among them.
"""

import argparse
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from dictate2exam.bench.folder import read_folder
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.lexicon.natural import LINE
from dictate2exam.speech.language import spoken_forms
from dictate2exam.speech.spoken import spoken_form
from dictate2exam.speech.typed import SPEAKER

LONGEST = 22  # words of an utterance; longer ones are cut in even parts
_SENTENCE = re.compile(r"(?<=[.!?;])\s+")


def utterances(line: str) -> Iterator[str]:
    """The sentences of a script's line in spoken form, long ones in parts."""
    for sentence in _SENTENCE.split(SPEAKER.sub("", line)):
        words = spoken_form(sentence).split()
        parts = -(-len(words) // LONGEST)
        size = -(-len(words) // parts) if parts else 1
        for at in range(0, len(words), size):
            some = " ".join(words[at : at + size])
            if LINE.fullmatch(some) and " " in some:
                yield some


def sort_lines(folders: Iterable[Path], terms: Iterable[str]) -> tuple[list[str], list[str]]:
    """Utterances of examination and of talk, each once, in the order of the scripts."""
    names = re.compile(rf"\b(?:{'|'.join(map(re.escape, sorted(terms, key=len)[::-1]))})\b")
    examination: dict[str, None] = {}
    talk: dict[str, None] = {}
    for folder in folders:
        for sample in read_folder(folder):
            found = {expected.line for expected in sample.expected}
            text = sample.script.read_text(encoding="utf-8")
            for number, line in enumerate(text.splitlines(), start=1):
                for said in utterances(line):
                    known = number in found or names.search(said)
                    (examination if known else talk).setdefault(said)
        for path in sorted(folder.glob("talk.txt")):
            for line in path.read_text(encoding="utf-8").splitlines():
                examination.update(dict.fromkeys(utterances(line)))
    return list(examination), [said for said in talk if said not in examination]


def take_up(lexicon: Lexicon, folders: Iterable[Path]) -> dict[str, int]:
    """Writes both files into the lexicon's folder; how many utterances each holds."""
    counts = {}
    sorted_lines = sort_lines(folders, spoken_forms(lexicon))
    for name, lines in zip(("examinations", "rooms"), sorted_lines, strict=True):
        path = lexicon.folder / "speech" / "natural" / f"{name}.txt"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        counts[name] = len(lines)
    return counts


def main() -> None:
    """Reads the arguments and writes the files."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--lexicon", type=Path, default=None)
    given = parser.parse_args()
    print(take_up(load_lexicon(given.lexicon, with_users=False), given.folders))


if __name__ == "__main__":
    main()
