"""What sounds are like: articulation of each sound letter in lexicon/speech/sounds.csv."""

import csv
from functools import lru_cache
from pathlib import Path

from pydantic import ValidationError

from dictate2exam.errors import LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml
from dictate2exam.lexicon.sounds import PHONES


class Phone(Frozen):
    """One sound letter.

    `place` runs from the lips (0) to the throat (6); `height` from close (0) to open (2); `back`
    from front (0) to back (2); `glide` is 1 of a diphthong; `drop` is the cost, 0 to 1, of the
    sound's being heard where it is not, or not heard where it is.
    """

    phone: str
    kind: str
    place: float = 0.0
    manner: str = ""
    voiced: bool = False
    height: float = 0.0
    back: float = 0.0
    glide: int = 0
    drop: float


class SoundCosts(Frozen):
    """Costs, 0 to 1, of hearing one sound as another; `near` pairs have a cost of their own."""

    voice: float
    place: float
    place_most: float
    manner: float
    manner_near: float
    near_manners: tuple[tuple[str, str], ...]
    height: float
    back: float
    glide: float
    least: float
    kinds: float
    near: tuple[tuple[str, str, float], ...]


@lru_cache(maxsize=4)
def read_phones(folder: Path) -> tuple[tuple[Phone, ...], SoundCosts]:
    """Every sound letter and the costs; LexiconError names what is broken."""
    path = folder / "speech" / "sounds.csv"
    try:
        with path.open(encoding="utf-8", newline="") as file:
            rows = [{k: v for k, v in row.items() if v} for row in csv.DictReader(file)]
        phones = tuple(Phone.model_validate(row) for row in rows)
        costs = SoundCosts.model_validate(read_toml(folder / "speech" / "sound_costs.toml"))
    except FileNotFoundError:
        raise LexiconError(f"The lexicon lacks the file {path.name} ({path}).") from None
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise LexiconError(
            f"speech/sounds.csv or sound_costs.toml, {where}: {first['msg'].lower()}."
        ) from None
    missing = PHONES - {phone.phone for phone in phones}
    if missing:
        raise LexiconError(f"speech/sounds.csv lacks the sound {min(missing)}; add its line.")
    return phones, costs


def cost(one: Phone, other: Phone, costs: SoundCosts) -> float:
    """How unlike two sounds are, 0 (the same) to 1."""
    if one.phone == other.phone:
        return 0.0
    for first, second, own in costs.near:
        if {first, second} == {one.phone, other.phone}:
            return own
    if one.kind != other.kind:
        return costs.kinds
    if one.kind == "vowel":
        total = costs.height * abs(one.height - other.height)
        total += costs.back * abs(one.back - other.back) + costs.glide * abs(
            one.glide - other.glide
        )
        return min(1.0, costs.least + total)
    total = min(costs.place_most, costs.place * abs(one.place - other.place))
    total += costs.voice * (one.voiced != other.voiced)
    if one.manner != other.manner:
        pair = {one.manner, other.manner}
        near = any(set(known) == pair for known in costs.near_manners)
        total += costs.manner_near if near else costs.manner
    return min(1.0, max(costs.least, total))
