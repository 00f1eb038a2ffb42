"""Terms that a user has added: added.toml, in a lexicon folder or in the user's data folder.

The user's file is read on top of the packaged lexicon, which is never changed itself.
"""

import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated

from pydantic import Field

from dictate2exam.errors import InputError, LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml, validated
from dictate2exam.lexicon.items import build_items
from dictate2exam.lexicon.sounds import PHONES, Pronunciation
from dictate2exam.lexicon.terms import Term

NAME = "added.toml"
HEAD = """\
# Terms added with 'dictate2exam lexicon add'; edit or remove them freely, then run
# 'dictate2exam lexicon check'. `item` is an item of 'dictate2exam items', or sign.NAME for a sign
# of its own. `sounds` gives ways of saying a word in the sound letters of the CMU Pronouncing
# Dictionary, likeliest first.
"""
SPOKEN = re.compile(r"[a-z']+(?: [a-z']+)*")
NEW_SIGN = re.compile(r"sign\.[a-z][a-z_]*")


class AddedTerm(Frozen):
    """A way of saying an item that exists, or a sign of its own, with its sounds by word."""

    said: Annotated[str, Field(pattern=f"^{SPOKEN.pattern}$")]
    item: str
    sounds: dict[str, tuple[str, ...]] = {}


def user_file() -> Path:
    """The user's own added.toml, whether it exists or not."""
    base = os.environ.get("XDG_DATA_HOME") or os.path.join(os.path.expanduser("~"), ".local/share")
    return Path(base) / "dictate2exam" / NAME


def read_added(paths: Iterable[Path]) -> tuple[AddedTerm, ...]:
    """The added terms of those files that exist; LexiconError names file and entry."""
    found: list[AddedTerm] = []
    for path in paths:
        if not path.is_file():
            continue
        content = read_toml(path)
        entries = content.get("term", [])
        if set(content) - {"term"} or not isinstance(entries, list):
            raise LexiconError(f"{path}: write each added term as a table that begins [[term]].")
        for number, entry in enumerate(entries, start=1):
            term = validated(AddedTerm, str(path), f"term {number}", entry)
            for word, ways in term.sounds.items():
                wrong = [s for way in ways for s in way.split() if s not in PHONES]
                if wrong or not all(way.split() for way in ways):
                    what = f"{wrong[0]} is no sound letter" if wrong else "a way has no sounds"
                    raise LexiconError(f"{path}, entry {term.said}, sounds of {word}: {what}.")
            found.append(term)
    return tuple(found)


def term_of(item_id: str, terms: tuple[Term, ...]) -> Term | None:
    """The term whose item this is."""
    for term in terms:
        if any(item.item_id == item_id for item in build_items((term,))):
            return term
    return None


def with_added(terms: tuple[Term, ...], added: tuple[AddedTerm, ...]) -> tuple[Term, ...]:
    """The terms with the added ways of saying them, and new signs at the end."""
    found = {(term.category, term.term_id): term for term in terms}
    for each in added:
        term = term_of(each.item, tuple(found.values()))
        if term is None:
            if not NEW_SIGN.fullmatch(each.item):
                raise LexiconError(
                    f"{NAME}, entry {each.said}: there is no item {each.item}; 'dictate2exam "
                    "items' lists them all, and sign.NAME makes a sign of its own."
                )
            name = each.item.partition(".")[2]
            term = Term(category="sign", term_id=name, label=each.said, spoken=())
        key = (term.category, term.term_id)
        found[key] = term.model_copy(update={"spoken": (*term.spoken, each.said)})
    return tuple(sorted(found.values(), key=lambda term: term.is_group))


def added_sounds(added: tuple[AddedTerm, ...]) -> tuple[tuple[str, Pronunciation], ...]:
    """Each word with each of its ways, in the order of the files."""
    ways = ((word, tuple(way.split())) for t in added for word, all_ in t.sounds.items()
            for way in all_)  # fmt: skip
    return tuple(dict.fromkeys(ways))


def keep_term(path: Path, term: AddedTerm) -> None:
    """Writes the file anew with one more term; InputError where it can't be written."""
    lines = [HEAD]
    for each in (*read_added([path]), term):
        lines += ["[[term]]", f'said = "{each.said}"', f'item = "{each.item}"']
        for word, ways in each.sounds.items():
            listed = ", ".join(f'"{way}"' for way in ways)
            lines.append(f'sounds."{word}" = [{listed}]')
        lines.append("")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        work = path.with_suffix(".new")
        work.write_text("\n".join(lines), encoding="utf-8")
        work.replace(path)
    except OSError as error:
        raise InputError(f"{path} cannot be written: {error.strerror or error}.") from None
