"""Says in plain sentences what is wrong in the lexicon, and where."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.added import read_added, with_added
from dictate2exam.lexicon.anatomy import Anatomy, read_anatomy
from dictate2exam.lexicon.cautions import read_cautions
from dictate2exam.lexicon.conflicts import read_comparisons, read_conflicts
from dictate2exam.lexicon.files import read_csv, read_toml
from dictate2exam.lexicon.items import Item, build_items
from dictate2exam.lexicon.likelihoods import check_likelihoods
from dictate2exam.lexicon.live import check_live
from dictate2exam.lexicon.natural import read_natural
from dictate2exam.lexicon.phrases import read_phrases
from dictate2exam.lexicon.protocols import protocol_names, read_protocol
from dictate2exam.lexicon.red_flags import read_flag_rules
from dictate2exam.lexicon.regions import read_regions
from dictate2exam.lexicon.sounds import read_sounds
from dictate2exam.lexicon.terms import Term, read_terms

# Shares are written with two or three decimals.
SUM_TOLERANCE = 0.006
Key = TypeVar("Key")


def check_lexicon(folder: Path, added: tuple[Path, ...] = ()) -> list[str]:
    """Every problem as one sentence that begins with the file's name; empty when all is well.

    `added` are files of terms that the user has added.
    """
    return list(dict.fromkeys(_problems(folder, added)))


def _problems(folder: Path, added: tuple[Path, ...]) -> Iterator[str]:
    for path in sorted(folder.rglob("*.toml")):
        try:
            read_toml(path)
        except LexiconError as error:
            yield str(error)
    yield from _tried(lambda: list(_sources(folder)))
    yield from _tried(lambda: list(_anatomy(read_anatomy(folder))))
    yield from _tried(lambda: list(_terms(_all_terms(folder, added), read_anatomy(folder))))
    yield from _tried(lambda: list(_rules(folder)))
    yield from _tried(lambda: list(_likelihoods(folder)))
    for name, read in (("phrases", read_phrases), ("speech", read_sounds)):
        if (folder / name).is_dir():
            yield from _tried(partial(_readable, read, folder))
    yield from _tried(partial(_readable, read_natural, folder))
    yield from _tried(lambda: list(check_live(folder, _all_terms(folder, added))))


def _all_terms(folder: Path, added: tuple[Path, ...]) -> tuple[Term, ...]:
    return with_added(read_terms(folder), read_added(added))


def _readable(read: Callable[[Path], object], folder: Path) -> list[str]:
    """Nothing, if the reader raises nothing."""
    read(folder)
    return []


def _likelihoods(folder: Path) -> list[str]:
    rows = read_csv(folder / "sources.csv", ("key", "citation"))
    sources = {row["key"]: row["citation"] for row in rows}
    return check_likelihoods(folder, read_anatomy(folder), sources)


def _tried(check: Callable[[], Iterable[str]]) -> Iterator[str]:
    """What a check finds; a file that can't be read at all is its own problem."""
    try:
        yield from check()
    except LexiconError as error:
        yield str(error)


def _sources(folder: Path) -> Iterator[str]:
    """Every source key in use must be in sources.csv."""
    rows = read_csv(folder / "sources.csv", ("key", "citation", "read"))
    keys = [row["key"] for row in rows]
    for key in sorted({key for key in keys if keys.count(key) > 1}):
        yield f"sources.csv: the key {key} stands on more than one line; give each its own."
    known = {*keys, "judgement", "practice", ""}
    for path in sorted(folder.rglob("*.csv")):
        if path.name == "sources.csv":
            continue
        for number, row in enumerate(read_csv(path, ()), start=2):
            for key in (row.get("sources") or row.get("source") or "").split(";"):
                if key.strip() not in known:
                    yield (
                        f"{path.relative_to(folder)}, line {number}: the source {key.strip()!r} "
                        f"is not in sources.csv; add it there or correct it."
                    )
    for path in sorted(folder.rglob("*.toml")):
        for where, key in _keys(read_toml(path), ""):
            if key not in known:
                yield (
                    f"{path.relative_to(folder)}, {where}: the source {key!r} is not in "
                    f"sources.csv; add it there or correct it."
                )


def _keys(content: Any, where: str) -> Iterator[tuple[str, str]]:
    """Every source key named in nested tables, with where it stands."""
    if isinstance(content, list):
        for number, entry in enumerate(content, start=1):
            yield from _keys(entry, f"{where}[{number}]")
    if not isinstance(content, dict):
        return
    for name, entry in content.items():
        here = f"{where}.{name}" if where else str(name)
        if name in ("sources", "source") and isinstance(entry, (list, str)):
            keys = entry if isinstance(entry, list) else [entry]
            yield from ((where or "top", key) for key in keys if isinstance(key, str))
        else:
            yield from _keys(entry, here)


def _anatomy(anatomy: Anatomy) -> Iterator[str]:
    """Shares and path weights sum to one; paths are known segments that follow each other."""
    for file, shares in (
        ("muscles.csv", anatomy.muscle_shares),
        ("sensory.csv", anatomy.sensory_shares),
    ):
        for share in shares:
            if not 0 <= share.low <= share.mid <= share.high <= 1:
                yield (
                    f"anatomy/{file}: the share of {share.root} in {share.target} must have "
                    f"low <= mid <= high between 0 and 1."
                )
        for target, total in _not_one((share.target, share.mid) for share in shares):
            yield (
                f"anatomy/{file}: the shares (mid) of {target} sum to {total:.3f}, not to 1; "
                f"correct the share of one of its roots."
            )
    yield from _readings(anatomy)
    yield from _segments(anatomy)
    yield from _paths(anatomy)


def _readings(anatomy: Anatomy) -> Iterator[str]:
    """Each reading gives a muscle shares that sum to one, of roots that muscles.csv gives it."""
    known = {(share.target, share.root) for share in anatomy.muscle_shares}
    for one in anatomy.readings:
        if (one.target, one.root) not in known:
            yield (
                f"anatomy/readings.csv: {one.reading} gives {one.root} a share of {one.target}, "
                f"which muscles.csv does not; add it there, from zero if need be."
            )
    summed = _not_one(((one.reading, one.target), one.share) for one in anatomy.readings)
    for (reading, target), total in summed:
        yield (
            f"anatomy/readings.csv: the shares of {target} in {reading} sum to {total:.3f}, "
            f"not to 1; correct the share of one of its roots."
        )


def _not_one(parts: Iterable[tuple[Key, float]]) -> list[tuple[Key, float]]:
    """The keys whose parts don't sum to one, with their sums."""
    sums: dict[Key, float] = defaultdict(float)
    for key, part in parts:
        sums[key] += part
    return [(key, total) for key, total in sums.items() if abs(total - 1) > SUM_TOLERANCE]


def _segments(anatomy: Anatomy) -> Iterator[str]:
    parents = {segment.segment_id: segment.parents for segment in anatomy.segments}
    if len(parents) != len(anatomy.segments):
        yield "anatomy/segments.csv: a segment_id stands on more than one line."
    for segment in anatomy.segments:
        if not segment.label or not segment.nerve:
            yield f"anatomy/segments.csv: {segment.segment_id} needs a label and a nerve."
    for name, above in parents.items():
        for parent in above:
            if parent not in parents:
                yield f"anatomy/segments.csv: {name} has the parent {parent}, which is no segment."
    done: set[str] = set()
    for start in parents:
        cycle = _cycle(start, parents, done)
        if cycle:
            yield f"anatomy/segments.csv: the parents run in a circle: {' > '.join(cycle)}."
            return


def _cycle(start: str, parents: dict[str, tuple[str, ...]], done: set[str]) -> list[str]:
    """The first circle reached from a segment, as names; empty if there is none."""
    trail: list[str] = []
    stack: list[tuple[str, bool]] = [(start, False)]
    while stack:
        name, leaving = stack.pop()
        if leaving:
            trail.pop()
            done.add(name)
        elif name in trail:
            return [*trail[trail.index(name) :], name]
        elif name not in done:
            trail.append(name)
            stack.append((name, True))
            stack += [(parent, False) for parent in parents.get(name, ())]
    return []


def _paths(anatomy: Anatomy) -> Iterator[str]:
    parents = {segment.segment_id: segment.parents for segment in anatomy.segments}
    for path in anatomy.paths:
        for segment in path.segments:
            if segment not in parents:
                yield (
                    f"anatomy/paths.csv: the path of {path.root} to {path.target} names "
                    f"{segment}, which is not in segments.csv."
                )
        for above, below in zip(path.segments, path.segments[1:], strict=False):
            if below in parents and above in parents and above not in parents[below]:
                yield (
                    f"anatomy/paths.csv: the path of {path.root} to {path.target} has a gap: "
                    f"{below} does not follow {above} in segments.csv."
                )
    summed = _not_one(((path.target, path.root), path.weight) for path in anatomy.paths)
    for (target, root), total in summed:
        yield (
            f"anatomy/paths.csv: the path weights of {root} to {target} sum to {total:.3f}, "
            f"not to 1."
        )
    led = {(path.target, path.root) for path in anatomy.paths}
    for share in (*anatomy.muscle_shares, *anatomy.sensory_shares):
        if (share.target, share.root) not in led:
            yield (
                f"anatomy/paths.csv: there is no path of {share.root} to {share.target}, which "
                f"has a share of it."
            )


def _terms(terms: tuple[Term, ...], anatomy: Anatomy) -> Iterator[str]:
    """Members, parts and levels exist; nothing is said for two things of one category."""
    known = {(term.category, term.term_id) for term in terms}
    said: dict[tuple[str, str], list[str]] = defaultdict(list)
    for term in terms:
        where = f"terms: {term.category}.{term.term_id}"
        for member in (*(term.members or ()), *term.parts):
            if (term.category, member) not in known:
                yield f"{where} names {member}, which is no {term.category} of the lexicon."
        if term.means and ("level", term.means) not in known:
            yield f"{where} means {term.means}, which is no level of the lexicon."
        for form in term.spoken:
            said[(term.category, form)].append(term.term_id)
            if form != form.lower() or form != " ".join(form.split()):
                yield f"{where}: the spoken form {form!r} must be lower case with single spaces."
    for (category, form), owners in said.items():
        if len(owners) > 1:
            yield (
                f"terms: {form!r} is said for {' and for '.join(sorted(owners))}, both of the "
                f"category {category}; leave it with one of them."
            )
    shared = {share.target for share in anatomy.muscle_shares}
    wholes = {term.term_id for term in terms if term.parts or term.is_group}
    for term in terms:
        if term.category == "muscle" and term.term_id not in shared | wholes:
            yield (
                f"terms: muscle.{term.term_id} has no shares in anatomy/muscles.csv; add its "
                f"roots there."
            )
    areas = {share.target for share in anatomy.sensory_shares}
    for term in terms:
        area = f"dermatome_{term.term_id}_point" if term.category == "level" else term.term_id
        if term.category in ("level", "area") and not term.is_group and area not in areas:
            yield (
                f"terms: {term.category}.{term.term_id} has no shares of {area} in "
                f"anatomy/sensory.csv; add its roots there."
            )


def _rules(folder: Path) -> Iterator[str]:
    """Protocols, red flags, conflicts and regions name items and values that exist."""
    items = {item.item_id: item for item in build_items(read_terms(folder))}
    for name in protocol_names(folder):
        where = f"protocols/{name}.toml"
        asked = [requirement.item for requirement in read_protocol(folder, name).requirements]
        for item in sorted({item for item in asked if asked.count(item) > 1}):
            yield f"{where}: {item} is asked for more than once; leave one of them."
        for requirement in read_protocol(folder, name).requirements:
            for item in (requirement.item, *requirement.alternatives):
                yield from _known(where, item, (), items)
    for name, rule in read_flag_rules(folder).flags.items():
        for item, values in rule.findings.items():
            yield from _known(f"red_flags.toml, flags.{name}", item, values, items)
    for conflict in read_conflicts(folder):
        for condition in conflict.all:
            if "{muscle}" not in condition.item:
                where = f"conflicts.toml, {conflict.name}"
                yield from _known(where, condition.item, condition.values, items)
    read_comparisons(folder)
    for region in read_regions(folder):
        for item in region.items:
            yield from _known(f"regions.toml, {region.label}", item, (), items)
    read_cautions(folder)


def _known(where: str, item: str, values: tuple[str, ...], items: dict[str, Item]) -> Iterator[str]:
    if item.endswith("*"):
        if not any(known.startswith(item[:-1]) for known in items):
            yield f"{where}: no item begins with {item[:-1]}."
        return
    if item not in items:
        yield f"{where}: there is no item {item}; 'dictate2exam items' lists them all."
        return
    for value in values:
        if value not in items[item].values:
            yield (
                f"{where}: {value!r} is no value of {item}; it takes "
                f"{', '.join(items[item].values)}."
            )
