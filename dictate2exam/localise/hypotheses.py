"""The hypotheses: sites, and under each site the configurations of how much is lost where.

A site is a set of segments (with the side of the ganglion in their names) or a rival that is no
lesion of the plexus. A configuration gives each of its segments a lost fraction.
"""

from dataclasses import dataclass, field
from itertools import combinations, pairwise, product
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.likelihoods import Likelihoods, RootRange
from dictate2exam.localise.cells import LOWER, PAIN, UPPER
from dictate2exam.localise.graph import ROOTS, SUPRACLAVICULAR, Graph
from dictate2exam.localise.model import SiteKind

Floats = npt.NDArray[np.float64]

# What a trunk may carry: C4 and T2 join in some.
CARRIED = {*ROOTS, "C4", "T2"}
PRE = {root: f"{root.lower()}_preganglionic" for root in ROOTS}
FORAMINAL = {root: f"{root.lower()}_spinal_nerve" for root in ROOTS}
NEAR = {r: f"{r.lower()}_ramus_proximal" if r < "C8" else f"{r.lower()}_ramus" for r in ROOTS}
FAR = {r: f"{r.lower()}_ramus_distal" if r < "C8" else f"{r.lower()}_ramus" for r in ROOTS}


@dataclass(frozen=True)
class SiteKey:
    """What a site is, before any finding."""

    site_id: str
    kind: SiteKind
    segments: tuple[str, ...]


def group_of(site: SiteKey, graph: Graph) -> tuple[str, ...]:
    """What a site hits, wherever along it: roots C5 to T1 above the clavicle, else nerves.

    Empty for what is no lesion of segments.
    """
    if not site.segments or site.kind != "lesion":
        return ()
    above = [graph.levels[name] in SUPRACLAVICULAR for name in site.segments]
    hit: set[str] = set()
    for name in site.segments:
        own = name.partition("_")[0].upper()
        hit |= {own} if graph.levels[name] != "trunk" else graph.fibres[name]
    if all(above) and hit <= CARRIED and hit & set(ROOTS):
        return tuple(root for root in ROOTS if root in hit)
    return tuple(sorted({graph.nerves[name] for name in site.segments}))


@dataclass(frozen=True)
class Configuration:
    """One way in which a site can be: lost fraction by segment, and how weakness arises.

    `severity` and `region` serve the rivals (fraction lost at full loss; muscles concerned).
    """

    site: int
    weight: float
    lost: dict[str, float]
    mode: int = LOWER
    severity: float = 0.0
    region: tuple[str, ...] = ()
    sensory: bool = False


@dataclass
class Hypotheses:
    """All sites and configurations, filled by `enumerate_hypotheses`."""

    sites: list[SiteKey] = field(default_factory=list)
    configurations: list[Configuration] = field(default_factory=list)
    _known: dict[str, int] = field(default_factory=dict)

    def site(self, kind: SiteKind, segments: tuple[str, ...], site_id: str = "") -> int:
        """The number of a site, made when it is new."""
        name = site_id or "+".join(segments)
        if name not in self._known:
            self._known[name] = len(self.sites)
            self.sites.append(SiteKey(name, kind, segments))
        return self._known[name]

    def add(self, site: int, weight: float, lost: dict[str, float], **more: Any) -> None:
        """One configuration of a site."""
        self.configurations.append(Configuration(site, weight, lost, **more))

    def lost_matrix(self, graph: Graph) -> Floats:
        """Lost fraction of each segment (columns) in each configuration (rows)."""
        column = {name: at for at, name in enumerate(graph.segments)}
        matrix = np.zeros((len(self.configurations), len(graph.segments)))
        for at, made in enumerate(self.configurations):
            for name, fraction in made.lost.items():
                matrix[at, column[name]] = fraction
        return matrix


def _single(into: Hypotheses, tables: Likelihoods, mass: float) -> None:
    grid = tables.model["extent"]["partial"]
    total = sum(prior.weight for prior in tables.segments)
    for prior in tables.segments:
        site = into.site("lesion", (prior.segment,))
        share = mass * prior.weight / total
        into.add(site, share * prior.complete, {prior.segment: 1.0})
        for fraction in grid:
            into.add(site, share * (1 - prior.complete) / len(grid), {prior.segment: fraction})


def _patterns(roots: tuple[str, ...], tables: Likelihoods) -> list[tuple[tuple[str, ...], float]]:
    """Segments of each pre- and postganglionic pattern of these roots, with its probability."""
    model = tables.model["preganglionic"]
    near, foraminal = float(model["proximal_rupture"]), float(model["foraminal"])
    made: list[tuple[tuple[str, ...], float]] = []
    published = {
        one.before: one.weight
        for one in tables.patterns
        if (one.first, one.last) == (roots[0], roots[-1])
    }
    for pattern in product((True, False), repeat=len(roots)):
        weight = 1.0
        for root, torn in zip(roots, pattern, strict=True):
            weight *= model[root] if torn else 1 - model[root]
        for above, below in pairwise(pattern):
            weight *= 1.0 if above == below else model["inversion" if above else "change"]
        if published:
            weight = published.get(pattern, weight * float(model["unpublished"]))
        names = tuple(PRE[r] if torn else FAR[r] for r, torn in zip(roots, pattern, strict=True))
        made.append((names, weight))
    total = sum(weight for _, weight in made)
    behind = (1 - near - foraminal) / total
    spread = [(names, weight * behind) for names, weight in made]
    if any(NEAR[r] != FAR[r] for r in roots):
        spread.append((tuple(NEAR[r] for r in roots), near))
    spread.append((tuple(FORAMINAL[r] for r in roots), foraminal))
    whole = sum(weight for _, weight in spread)
    return [(names, weight / whole) for names, weight in spread]


def _root_extents(count: int, model: dict[str, Any]) -> list[tuple[tuple[float, ...], float]]:
    """Lost fractions of `count` roots at once, with the probability of each combination."""
    whole, even = float(model["root_complete"]), float(model["root_even_partial"])
    grid, mixed = model["root_partial"], float(model["mixed_partial"])
    made = [((1.0,) * count, whole)]
    made += [((fraction,) * count, even / len(grid)) for fraction in grid]
    uneven = [
        combination
        for combination in product((1.0, mixed), repeat=count)
        if len(set(combination)) > 1
    ]
    made += [(combination, (1 - whole - even) / len(uneven)) for combination in uneven]
    return made


def _roots(into: Hypotheses, tables: Likelihoods, mass: float) -> None:
    total = sum(span.weight for span in tables.roots)
    for span in tables.roots:
        roots = _between(span)
        extents = _root_extents(len(roots), tables.model["extent"])
        for names, probability in _patterns(roots, tables):
            site = into.site("lesion", names)
            share = mass * span.weight / total * probability
            for fractions, weight in extents:
                into.add(site, share * weight, dict(zip(names, fractions, strict=True)))


def _between(span: RootRange) -> tuple[str, ...]:
    return ROOTS[ROOTS.index(span.first) : ROOTS.index(span.last) + 1]


def _nested(a: str, b: str, graph: Graph) -> bool:
    """Whether every path through one runs through the other, so that the pair says nothing new."""
    usual = graph.through[: graph.usual_paths]
    first, second = usual[:, graph.at(a)], usual[:, graph.at(b)]
    both = float((first * second).sum())
    return bool(both >= min(first.sum(), second.sum()))


def _pairs(into: Hypotheses, tables: Likelihoods, graph: Graph) -> None:
    classes, extent = tables.model["classes"], tables.model["extent"]
    whole, part = float(extent["pair_complete"]), float(extent["pair_partial"])
    named = [(pair.segments, pair.weight) for pair in tables.pairs]
    taken = {frozenset(segments) for segments, _ in named}
    peripheral = tables.model["other_pairs"]["segments"]
    weight_of = {prior.segment: prior.weight for prior in tables.segments}
    other = [
        ((a, b), weight_of[a] * weight_of[b])
        for a, b in combinations(peripheral, 2)
        if frozenset((a, b)) not in taken and not _nested(a, b, graph)
    ]
    for pairs, mass in ((named, classes["pair"]), (other, classes["other_pair"])):
        total = sum(weight for _, weight in pairs)
        for segments, weight in pairs:
            site = into.site("lesion", segments)
            for fractions in product((1.0, part), repeat=len(segments)):
                chance = 1.0
                for fraction in fractions:
                    chance *= whole if fraction == 1.0 else 1 - whole
                lost = dict(zip(segments, fractions, strict=True))
                into.add(site, mass * weight / total * chance, lost)


def _inflammatory(into: Hypotheses, tables: Likelihoods, mass: float) -> None:
    model = tables.model["inflammatory"]
    nerves: dict[str, float] = model["nerves"]
    site = into.site("inflammatory", (), "inflammatory")
    for size, name in ((1, "one"), (2, "two"), (3, "three")):
        sets = list(combinations(nerves, size))
        weights = [float(np.prod([nerves[nerve] for nerve in chosen])) for chosen in sets]
        total = sum(weights)
        for chosen, weight in zip(sets, weights, strict=True):
            share = mass * model[name] * weight / total
            into.add(site, share * model["complete"], dict.fromkeys(chosen, 1.0))
            for fraction in model["partial"]:
                rest = share * (1 - model["complete"]) / len(model["partial"])
                into.add(site, rest, dict.fromkeys(chosen, fraction))


def _rivals(into: Hypotheses, tables: Likelihoods) -> None:
    classes = tables.model["classes"]
    central, pain = tables.model["central"], tables.model["non_neurological"]
    site = into.site("central", (), "central")
    grid = central["severity"]
    for severity, sensory in product(grid, (False, True)):
        into.add(
            site,
            classes["central"] / len(grid) / 2,
            {},
            mode=UPPER,
            severity=severity,
            sensory=sensory,
        )
    site = into.site("non_neurological", (), "non_neurological")
    regions: dict[str, list[str]] = pain["regions"]
    chosen = [(name,) for name in regions] + [tuple(regions)]
    cases = list(product(chosen, pain["severity"]))
    for names, severity in cases:
        muscles = tuple(muscle for name in names for muscle in regions[name])
        into.add(
            site,
            classes["non_neurological"] / len(cases),
            {},
            mode=PAIN,
            severity=severity,
            region=muscles,
        )


def enumerate_hypotheses(tables: Likelihoods, graph: Graph) -> Hypotheses:
    """Every site with its configurations; the weights sum to the sum of the classes."""
    classes = tables.model["classes"]
    into = Hypotheses()
    into.add(into.site("none", (), "none"), classes["none"], {})
    _single(into, tables, classes["segment"])
    _roots(into, tables, classes["roots"])
    _pairs(into, tables, graph)
    _inflammatory(into, tables, classes["inflammatory"])
    _rivals(into, tables)
    return into
