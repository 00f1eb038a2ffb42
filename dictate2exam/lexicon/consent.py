"""What is said before the first recording: lexicon/consent.toml."""

from pathlib import Path

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml, validated

PLACE = "{folder}"  # where an examination is stored, filled in


class ConsentWords(Frozen):
    """The sentences, the question after them, and the version that is kept with the answer."""

    version: str
    sentences: tuple[str, ...]
    question: str


def read_consent(folder: Path, stored_in: Path) -> ConsentWords:
    """The words, with the folder in which the examination is stored."""
    content = read_toml(folder / "consent.toml")
    words = validated(ConsentWords, "consent.toml", "of the whole file", content)
    sentences = tuple(each.replace(PLACE, str(stored_in)) for each in words.sentences)
    return words.model_copy(update={"sentences": sentences})
