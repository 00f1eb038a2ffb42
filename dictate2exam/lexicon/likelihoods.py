"""The numbers of the localisation model: how findings follow from what is lost, and priors."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from dictate2exam.errors import InputError, LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.anatomy import Anatomy
from dictate2exam.lexicon.files import read_csv, read_toml

JUDGEMENT = "judgement"
CITING = (
    "movements",
    "segment_priors",
    "root_priors",
    "root_patterns",
    "pair_priors",
    "signs",
    "percussion",
)


class SegmentPrior(Frozen):
    """One segment's share among single lesions, and the probability that it is wholly lost."""

    segment: str
    weight: float
    complete: float


class RootRange(Frozen):
    """Neighbouring roots that are lesioned together (C5 to T1, both ends included)."""

    first: str
    last: str
    weight: float


class RootPattern(Frozen):
    """A published pattern of pre- and postganglionic roots; `before` says which are torn before."""

    first: str
    last: str
    before: tuple[bool, ...]
    weight: float


class PairPrior(Frozen):
    """Two segments or more lesioned at once."""

    segments: tuple[str, ...]
    weight: float


class SignCause(Frozen):
    """One cause of a sign: `cause` is a kind and its targets, `probability` at full loss."""

    item: str
    baseline: float
    cause: tuple[str, ...]
    probability: float


class PercussionCause(Frozen):
    """How often percussing a place is positive over one lesioned segment."""

    place: str
    baseline: float
    segment: str
    probability: float


@dataclass(frozen=True)
class Likelihoods:
    """All tables of lexicon/likelihoods/; `model` is model.toml as read."""

    model: dict[str, Any]
    movements: dict[str, dict[str, float]]
    segments: tuple[SegmentPrior, ...]
    roots: tuple[RootRange, ...]
    patterns: tuple[RootPattern, ...]
    pairs: tuple[PairPrior, ...]
    signs: tuple[SignCause, ...]
    percussion: tuple[PercussionCause, ...]

    @property
    def version(self) -> str:
        """The version written in model.toml."""
        return str(self.model["version"])

    def in_setting(self, name: str) -> "Likelihoods":
        """The same tables with the priors of who is examined; InputError for an unknown name."""
        _refuse_unknown(name, self.model["setting"])
        chosen: dict[str, dict[str, float]] = self.model["setting"][name]
        classes = {
            key: value if key == "sources" else value * chosen["classes"].get(key, 1.0)
            for key, value in self.model["classes"].items()
        }
        segments = tuple(
            prior.model_copy(
                update={"weight": prior.weight * chosen["segments"].get(prior.segment, 1.0)}
            )
            for prior in self.segments
        )
        return replace(self, model=self.model | {"classes": classes}, segments=segments)


def check_setting(folder: Path, name: str) -> None:
    """Raises InputError where model.toml knows no priors of that name."""
    _refuse_unknown(name, read_toml(folder / "likelihoods" / "model.toml")["setting"])


def _refuse_unknown(name: str, known: Iterable[str]) -> None:
    if name not in known:
        raise InputError(f"There is no setting {name!r}; there are {', '.join(known)}.")


def _number(file: str, row: dict[str, str], column: str) -> float:
    try:
        return float(row[column])
    except ValueError:
        first = next(iter(row.values()))
        raise LexiconError(
            f"likelihoods/{file}, row {first}: {column} must be a number, not {row[column]!r}."
        ) from None


def _movements(rows: list[dict[str, str]]) -> dict[str, dict[str, float]]:
    made: dict[str, dict[str, float]] = {}
    for row in rows:
        made.setdefault(row["movement"], {})[row["muscle"]] = _number(
            "movements.csv", row, "weight"
        )
    for movement, weights in made.items():
        if abs(sum(weights.values()) - 1) > 1e-6:
            raise LexiconError(
                f"likelihoods/movements.csv, {movement}: the weights must sum to one, "
                f"not {sum(weights.values()):.3f}."
            )
    return made


def read_likelihoods(folder: Path) -> Likelihoods:
    """Reads lexicon/likelihoods/."""
    base = folder / "likelihoods"
    movements = read_csv(base / "movements.csv", ("movement", "muscle", "weight", "sources"))
    segments = read_csv(
        base / "segment_priors.csv", ("segment_id", "weight", "complete", "sources")
    )
    roots = read_csv(base / "root_priors.csv", ("first", "last", "weight", "sources"))
    patterns = read_csv(
        base / "root_patterns.csv", ("first", "last", "pattern", "weight", "sources")
    )
    pairs = read_csv(base / "pair_priors.csv", ("segments", "weight", "sources"))
    signs = read_csv(base / "signs.csv", ("item", "baseline", "cause", "probability", "sources"))
    percussion = read_csv(
        base / "percussion.csv", ("place", "baseline", "segment", "probability", "sources")
    )
    return Likelihoods(
        model=read_toml(base / "model.toml"),
        movements=_movements(movements),
        segments=tuple(
            SegmentPrior(
                segment=r["segment_id"],
                weight=_number("segment_priors.csv", r, "weight"),
                complete=_number("segment_priors.csv", r, "complete"),
            )
            for r in segments
        ),
        roots=tuple(
            RootRange(
                first=r["first"].upper(),
                last=r["last"].upper(),
                weight=_number("root_priors.csv", r, "weight"),
            )
            for r in roots
        ),
        patterns=tuple(
            RootPattern(
                first=r["first"].upper(),
                last=r["last"].upper(),
                before=tuple(state == "pre" for state in r["pattern"].split()),
                weight=_number("root_patterns.csv", r, "weight"),
            )
            for r in patterns
        ),
        pairs=tuple(
            PairPrior(
                segments=tuple(r["segments"].split("+")),
                weight=_number("pair_priors.csv", r, "weight"),
            )
            for r in pairs
        ),
        signs=tuple(
            SignCause(
                item=r["item"],
                baseline=_number("signs.csv", r, "baseline"),
                cause=tuple(r["cause"].split(":")),
                probability=_number("signs.csv", r, "probability"),
            )
            for r in signs
        ),
        percussion=tuple(
            PercussionCause(
                place=r["place"],
                baseline=_number("percussion.csv", r, "baseline"),
                segment=r["segment"],
                probability=_number("percussion.csv", r, "probability"),
            )
            for r in percussion
        ),
    )


def _cited(value: Any) -> list[str]:
    """Every source key in nested tables."""
    if not isinstance(value, dict):
        return []
    keys = [str(key) for key in value.get("sources", [])]
    for inner in value.values():
        keys += _cited(inner)
    return keys


def check_likelihoods(folder: Path, anatomy: Anatomy, sources: dict[str, str]) -> list[str]:
    """Plain sentences about dangling names and sources; empty when all is well."""
    found: list[str] = []
    tables = read_likelihoods(folder)
    segments = {segment.segment_id for segment in anatomy.segments}
    muscles = {share.target for share in anatomy.muscle_shares}
    named = (
        [("segment_priors.csv", prior.segment) for prior in tables.segments]
        + [("pair_priors.csv", s) for pair in tables.pairs for s in pair.segments]
        + [("percussion.csv", cause.segment) for cause in tables.percussion]
        + [("model.toml", s) for s in tables.model["other_pairs"]["segments"]]
        + [("model.toml", s) for s in tables.model["inflammatory"]["nerves"]]
        + [
            ("model.toml", s)
            for setting in tables.model["setting"].values()
            for s in setting["segments"]
        ]
    )
    found += [
        f"likelihoods/{file}: {name} is no segment of anatomy/segments.csv."
        for file, name in named
        if name not in segments
    ]
    missing = segments - {prior.segment for prior in tables.segments}
    found += [f"likelihoods/segment_priors.csv lacks the segment {name}." for name in missing]
    found += [
        f"likelihoods/movements.csv, {movement}: {name} is no muscle of anatomy/muscles.csv."
        for movement, weights in tables.movements.items()
        for name in weights
        if name not in muscles
    ]
    readings = {one.reading for one in anatomy.readings}
    found += [
        f"likelihoods/model.toml, variants.readings: {name} stands in only one of model.toml and "
        f"anatomy/readings.csv."
        for name in sorted(readings ^ set(tables.model["variants"]["readings"]))
    ]
    for file in CITING:
        for row in read_csv(folder / "likelihoods" / f"{file}.csv", ("sources",)):
            found += [
                f"likelihoods/{file}.csv cites {key}, which is not in sources.csv."
                for key in row["sources"].split(";")
                if key not in sources and key != JUDGEMENT
            ]
    found += [
        f"likelihoods/model.toml cites {key}, which is not in sources.csv."
        for key in _cited(tables.model)
        if key not in sources and key != JUDGEMENT
    ]
    return found
