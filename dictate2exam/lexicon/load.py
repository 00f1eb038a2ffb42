"""The lexicon as one frozen object, loaded once and passed as an argument."""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.anatomy import Anatomy, read_anatomy
from dictate2exam.lexicon.check import check_lexicon
from dictate2exam.lexicon.files import content_hash, find_folder, read_csv
from dictate2exam.lexicon.items import Item, build_items
from dictate2exam.lexicon.personal import Mishearing
from dictate2exam.lexicon.terms import Term, read_terms


@dataclass(frozen=True)
class Lexicon:
    """Everything in lexicon/ that more than one room needs; `sources` maps key to citation.

    `personal` is what one examiner has confirmed, empty unless an examiner is named.

    Rooms with files of their own (speech, likelihoods, protocols, phrases) read them from `folder`
    through their reader in dictate2exam/lexicon/.
    """

    folder: Path
    hash: str
    terms: tuple[Term, ...]
    anatomy: Anatomy
    sources: dict[str, str]
    personal: tuple[Mishearing, ...] = ()

    @cached_property
    def by_id(self) -> dict[tuple[str, str], Term]:
        """Terms by (category, id); a group shares its category with its members."""
        return {(term.category, term.term_id): term for term in self.terms}

    @cached_property
    def items(self) -> dict[str, Item]:
        """The closed list of items by id."""
        return {item.item_id: item for item in build_items(self.terms)}


@lru_cache(maxsize=4)
def load_lexicon(path: Path | None = None) -> Lexicon:
    """Reads and checks the lexicon; a broken file raises LexiconError naming file and remedy."""
    folder = find_folder(path)
    problems = check_lexicon(folder)
    if problems:
        more = len(problems) - 1
        rest = f" ({more} more: dictate2exam lexicon check)" if more else ""
        raise LexiconError(problems[0] + rest)
    sources = read_csv(folder / "sources.csv", ("key", "citation", "read"))
    return Lexicon(
        folder=folder,
        hash=content_hash(folder),
        terms=read_terms(folder),
        anatomy=read_anatomy(folder),
        sources={row["key"]: row["citation"] for row in sources},
    )
