"""The words by which examiner and patient are told apart: lexicon/speech/turns.toml."""

from functools import lru_cache
from pathlib import Path

from dictate2exam.errors import LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml
from dictate2exam.lexicon.phrases import read_phrases


class Turns(Frozen):
    """Phrases of either, words of answers, and how many words an answer has at most."""

    examiner: tuple[str, ...]
    patient: tuple[str, ...]
    answer: frozenset[str]
    longest_answer: int


@lru_cache(maxsize=4)
def read_turns(folder: Path) -> Turns:
    """Reads the words, with questions, instructions and patients' phrases of phrases/talk.toml.

    LexiconError names the key that is missing or wrong.
    """
    content = read_toml(folder / "speech" / "turns.toml")
    phrases = read_phrases(folder)
    examiner: list[str] = []
    for scope in phrases.scopes:
        if scope.name == "question":
            examiner += (*scope.offered, *scope.starting, *scope.open)
        if scope.name == "instruction":
            examiner += scope.forward
    try:
        return Turns(
            examiner=(*content["examiner"]["words"], *(p for p in examiner if " " in p)),
            patient=(*content["patient"]["words"], *phrases.patient, *phrases.patient_pain),
            answer=frozenset(content["answer"]["words"]),
            longest_answer=int(content["answer"]["longest"]),
        )
    except (KeyError, TypeError, ValueError) as error:
        raise LexiconError(f"turns.toml is not of its shape: {error}.") from None
