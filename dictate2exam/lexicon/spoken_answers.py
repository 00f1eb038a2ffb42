"""How questions are answered by voice: lexicon/phrases/answers.toml."""

from functools import lru_cache
from pathlib import Path
from typing import Literal

from pydantic import ValidationError

from dictate2exam.errors import LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml

Act = Literal["keep", "no", "reject", "skip", "later", "undo", "again"]
FILE = "phrases/answers.toml"


class SpokenAnswers(Frozen):
    """Every act, suggestion and side with the ways of saying it; fillers mean nothing."""

    act: dict[Act, tuple[str, ...]]
    choice: tuple[tuple[str, ...], ...]
    side: dict[Literal["left", "right", "both"], tuple[str, ...]]
    filler: tuple[str, ...]


@lru_cache(maxsize=4)
def read_spoken_answers(folder: Path) -> SpokenAnswers:
    """Reads the ways of answering; LexiconError where a part is missing or two mean the same."""
    content = read_toml(folder / "phrases" / "answers.toml")
    try:
        made = SpokenAnswers(
            act=content["act"],
            choice=content["choice"]["words"],
            side=content["side"],
            filler=content["filler"]["words"],
        )
    except KeyError as error:
        raise LexiconError(f"{FILE} lacks the key {error.args[0]}; add it.") from None
    except (ValidationError, TypeError) as error:
        raise LexiconError(f"{FILE} is not of its shape: {str(error).splitlines()[0]}.") from None
    ways = [*made.act.items(), *((str(n), words) for n, words in enumerate(made.choice))]
    said: dict[str, str] = {}
    for name, phrases in (*ways, *made.side.items()):
        for phrase in phrases:
            if said.setdefault(phrase, name) != name:
                raise LexiconError(
                    f"{FILE}: {phrase!r} means both {said[phrase]} and {name}; remove one."
                )
    return made
