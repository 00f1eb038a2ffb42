"""Protocols: which items an examination asks for, and without which nothing can be located."""

from collections.abc import Collection, Iterator
from pathlib import Path

from pydantic import Field

from dictate2exam.errors import InputError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml, validated
from dictate2exam.lexicon.terms import Term


class Minimum(Frozen):
    """At least `count` findings of these kinds, else a blocking gap asks `question`."""

    kinds: tuple[str, ...]
    count: int = Field(ge=1)
    question: str


class Requirement(Frozen):
    """One item of a protocol.

    `alternatives` (key `or`) count as the same examination; `key` is the level whose key muscle
    function or key sensory point it is; `donor` says what it may serve as a donor for; `how` is
    how it is commonly examined; a requirement that is not `required` raises no question; one that
    `blocks` must be examined before the lesion is located.
    """

    item: str
    alternatives: tuple[str, ...] = Field(default=(), alias="or")
    required: bool = True
    blocks: bool = False
    key: str = ""
    donor: str = ""
    how: str = ""


class Section(Frozen):
    """A part of the examination, in the order in which it is usually done."""

    section: str
    label: str
    items: tuple[Requirement, ...]


class Protocol(Frozen):
    """One file of lexicon/protocols/; `name` is the name of the file."""

    name: str
    label: str
    sources: tuple[str, ...] = ()
    minimum: tuple[Minimum, ...] = ()
    sections: tuple[Section, ...]

    @property
    def requirements(self) -> Iterator[Requirement]:
        """Every requirement in order."""
        for section in self.sections:
            yield from section.items


def protocol_names(folder: Path) -> tuple[str, ...]:
    """The protocols that the lexicon holds, by name."""
    return tuple(sorted(path.stem for path in (folder / "protocols").glob("*.toml")))


def read_protocol(folder: Path, name: str) -> Protocol:
    """The named protocol; an unknown name raises InputError listing the known ones."""
    known = protocol_names(folder)
    if name not in known:
        raise InputError(f"There is no protocol {name!r}; the lexicon holds {', '.join(known)}.")
    content = read_toml(folder / "protocols" / f"{name}.toml")
    return validated(
        Protocol, f"protocols/{name}.toml", "of the whole file", content | {"name": name}
    )


def covers(requirement: str, examined: Collection[str], terms: dict[tuple[str, str], Term]) -> bool:
    """Whether an item counts as examined: itself, a part of it, or a whole that it is part of."""
    kind, _, name = requirement.partition(".")
    if name == "*":
        return any(item.startswith(f"{kind}.") for item in examined)
    if requirement in examined:
        return True
    term = terms.get(("muscle", name))
    if term and any(f"{kind}.{part}" in examined for part in term.parts):
        return True
    return any(
        name in whole.parts and f"{kind}.{whole.term_id}" in examined
        for (category, _), whole in terms.items()
        if category == "muscle"
    )
