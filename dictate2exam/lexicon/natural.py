"""What people really say in such a room: lexicon/speech/natural/KIND.txt, one utterance a line."""

import re
from pathlib import Path

from dictate2exam.errors import LexiconError

LINE = re.compile(r"[a-z']+(?: [a-z']+)*")


def read_natural(folder: Path) -> dict[str, list[str]]:
    """Utterances in spoken form by kind (the file's name); empty where the lexicon has none.

    Raises LexiconError naming file and line where a line is not lower-case words.
    """
    found: dict[str, list[str]] = {}
    for path in sorted((folder / "speech" / "natural").glob("*.txt")):
        try:
            lines = path.read_text(encoding="utf-8").splitlines()
        except UnicodeDecodeError as error:
            raise LexiconError(f"{path.name} of the lexicon is not UTF-8 text: {error}.") from None
        for number, line in enumerate(lines, start=1):
            if line and not LINE.fullmatch(line):
                raise LexiconError(
                    f"speech/natural/{path.name}, line {number}: write lower-case words with "
                    f"single spaces, numbers as words and letters apart, not {line!r}."
                )
        found[path.stem] = [line for line in lines if line]
    return found
