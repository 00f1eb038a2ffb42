"""Terms: what is examined, by category, with how people say it."""

from pathlib import Path
from typing import Any

from pydantic import ValidationError

from dictate2exam.errors import LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml

# Files that hold a single category; the others name the category as the outer key.
SINGLE = {"muscles.toml": "muscle", "movements.toml": "movement"}


class Term(Frozen):
    """One named thing.

    `category` is muscle, movement, level, place, area, sign, percussion, posture, reflex, pulse,
    bulk, conduction or context; `spoken` are ways of saying it in lower case; `misheard` are what
    recognisers make of it where no other thing bears that name; `parts` are the parts of a whole
    that has an item of its own; `members` the terms that a group is written out as (a group has no
    item); `means` the level that a place stands for.
    """

    category: str
    term_id: str
    label: str
    spoken: tuple[str, ...]
    misheard: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    members: tuple[str, ...] | None = None
    means: str = ""
    sources: tuple[str, ...] = ()

    @property
    def aloud(self) -> tuple[str, ...]:
        """The ways of saying it without the commas that part written ones."""
        return tuple(dict.fromkeys(form.replace(" ,", "") for form in self.spoken))

    @property
    def is_group(self) -> bool:
        """Whether the name stands for several items and has none of its own."""
        return self.members is not None


def _read_entry(file: str, category: str, term_id: str, entry: Any) -> Term:
    if not isinstance(entry, dict):
        raise LexiconError(f"{file}: {category}.{term_id} must be a table with label and spoken.")
    try:
        return Term(category=category, term_id=term_id, **entry)
    except (ValidationError, TypeError) as error:
        first = error.errors()[0] if isinstance(error, ValidationError) else None
        where = ".".join(str(part) for part in first["loc"]) if first else ""
        what = first["msg"].lower() if first else str(error)
        raise LexiconError(f"{file}, entry {category}.{term_id}, key {where}: {what}.") from None


def read_terms(folder: Path) -> tuple[Term, ...]:
    """All terms of lexicon/terms/, groups last."""
    terms: list[Term] = []
    for path in sorted((folder / "terms").glob("*.toml")):
        content = read_toml(path)
        if path.name in SINGLE:
            content = {SINGLE[path.name]: content}
        for category, entries in content.items():
            for term_id, entry in entries.items():
                terms.append(_read_entry(path.name, category, term_id, entry))
    return tuple(sorted(terms, key=lambda term: term.is_group))
