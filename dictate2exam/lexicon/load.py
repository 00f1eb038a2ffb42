"""The lexicon as one frozen object, loaded once and passed as an argument."""

import hashlib
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.added import NAME, added_sounds, read_added, user_file, with_added
from dictate2exam.lexicon.anatomy import Anatomy, read_anatomy
from dictate2exam.lexicon.check import check_lexicon
from dictate2exam.lexicon.files import content_hash, find_folder, read_csv
from dictate2exam.lexicon.items import Item, build_items
from dictate2exam.lexicon.personal import Mishearing
from dictate2exam.lexicon.sounds import Pronunciation
from dictate2exam.lexicon.terms import Term, read_terms


@dataclass(frozen=True)
class Lexicon:
    """Everything in lexicon/ that more than one room needs; `sources` maps key to citation.

    `personal` is what one examiner has confirmed, empty unless an examiner is named;
    `added` are the terms that the user has added, `added_sounds` the sounds of their words.

    Rooms with files of their own (speech, likelihoods, protocols, phrases) read them from `folder`
    through their reader in dictate2exam/lexicon/.
    """

    folder: Path
    hash: str
    terms: tuple[Term, ...]
    anatomy: Anatomy
    sources: dict[str, str]
    personal: tuple[Mishearing, ...] = ()
    added: tuple[str, ...] = ()
    added_sounds: tuple[tuple[str, Pronunciation], ...] = ()

    @cached_property
    def by_id(self) -> dict[tuple[str, str], Term]:
        """Terms by (category, id); a group shares its category with its members."""
        return {(term.category, term.term_id): term for term in self.terms}

    @cached_property
    def wholes_of(self) -> dict[str, tuple[str, ...]]:
        """The muscles that a muscle is a part of, groups apart."""
        found: dict[str, tuple[str, ...]] = {}
        for whole in self.terms:
            if whole.category == "muscle" and not whole.is_group:
                for part in whole.parts:
                    found[part] = (*found.get(part, ()), whole.term_id)
        return found

    @cached_property
    def items(self) -> dict[str, Item]:
        """The closed list of items by id."""
        return {item.item_id: item for item in build_items(self.terms)}


def load_lexicon(path: Path | None = None, with_users: bool = True) -> Lexicon:
    """Reads and checks the lexicon; a broken file raises LexiconError naming file and remedy.

    Terms that the user has added come on top of the packaged lexicon, unless `with_users` is off.
    """
    folder = find_folder(path)
    files = added_files(folder, with_users)
    return _load(folder, tuple((file, file.read_bytes()) for file in files))


def added_files(folder: Path, with_users: bool = True) -> tuple[Path, ...]:
    """Those files of added terms that exist: the folder's own; for the packaged one the user's."""
    files = [folder / NAME]
    if with_users and folder == find_folder():
        files.append(user_file())
    return tuple(file for file in files if file.is_file())


@lru_cache(maxsize=4)
def _load(folder: Path, files: tuple[tuple[Path, bytes], ...]) -> Lexicon:
    paths = tuple(file for file, _ in files)
    problems = check_lexicon(folder, paths)
    if problems:
        more = len(problems) - 1
        rest = f" ({more} more: dictate2exam lexicon check)" if more else ""
        raise LexiconError(problems[0] + rest)
    sources = read_csv(folder / "sources.csv", ("key", "citation", "read"))
    added = read_added(paths)
    digest = content_hash(folder)
    for file, content in files:
        if folder not in file.parents:
            digest = hashlib.sha256(digest.encode() + content).hexdigest()
    return Lexicon(
        folder=folder,
        hash=digest,
        terms=with_added(read_terms(folder), added),
        anatomy=read_anatomy(folder),
        sources={row["key"]: row["citation"] for row in sources},
        added=tuple(term.said for term in added),
        added_sounds=added_sounds(added),
    )
