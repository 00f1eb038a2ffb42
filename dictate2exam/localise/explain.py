"""Says what a posterior means: sites in words, marginals, what each finding adds, what is left."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from dictate2exam.localise.engine import Engine
from dictate2exam.localise.graph import ROOTS
from dictate2exam.localise.hypotheses import SiteKey
from dictate2exam.localise.model import (
    Marginals,
    RootMarginal,
    SegmentInvolved,
    Site,
)

Floats = npt.NDArray[np.float64]
SHOWN_MASS, SHOWN_LEAST = 0.9995, 10
# Rows this far (in nats) below the best cannot matter when a single finding is left out.
DEPTH = 24.0
RIVALS = {
    "none": "No lesion",
    "central": "Upper motor neurone weakness (central), no lesion of the plexus",
    "inflammatory": "Patchy inflammation of several nerves (neuralgic amyotrophy)",
    "non_neurological": "Weakness from pain or another cause outside the nerves",
}
_SIDES = {"pre": "preganglionic", "post": "postganglionic"}


@dataclass(frozen=True)
class Posterior:
    """Probability of each row and of each site."""

    rows: Floats
    sites: Floats


def ganglion(level: str) -> str:
    """Side of the ganglion of a segment of this level: pre, post, or na away from a root."""
    if level == "preganglionic":
        return "pre"
    return "post" if level in {"spinal_nerve_postganglionic", "ventral_ramus"} else "na"


def configuration_mass(engine: Engine, rows: Floats) -> Floats:
    """Probability of each configuration, over the arrangements of roots."""
    count = len(engine.hypotheses.configurations)
    mass = np.bincount(engine.forward.configuration, weights=rows, minlength=count)
    return np.asarray(mass, dtype=np.float64)


def _nerves(engine: Engine, own: list[int], mass: Floats) -> tuple[str, ...]:
    """The nerves that are more probably inflamed than not; else the most probable one."""
    inflamed: dict[str, float] = {}
    for at in own:
        for name in engine.hypotheses.configurations[at].lost:
            inflamed[name] = inflamed.get(name, 0.0) + float(mass[at])
    total = sum(float(mass[at]) for at in own)
    chosen = tuple(name for name, chance in inflamed.items() if chance > total / 2)
    return chosen or tuple(sorted(inflamed, key=lambda name: -inflamed[name])[:1])


def _segments(engine: Engine, site: SiteKey, number: int, mass: Floats) -> list[SegmentInvolved]:
    """The segments of a site with the more probable extent of each."""
    made = engine.hypotheses.configurations
    own = [at for at in engine.by_site_configurations[number] if mass[at] > 0]
    names = site.segments
    if site.kind == "inflammatory":
        names = _nerves(engine, own, mass)
    found = []
    for name in names:
        whole = sum(mass[at] for at in own if made[at].lost.get(name) == 1.0)
        total = sum(mass[at] for at in own if name in made[at].lost)
        found.append(
            SegmentInvolved(
                segment=name,
                ganglion=ganglion(engine.graph.levels[name]),  # type: ignore[arg-type]
                extent="complete" if whole * 2 >= total else "partial",
            )
        )
    return found


def roots_in_words(roots: list[str]) -> str:
    """Roots as a reader names them: C5 to C7, or C5 and T1."""
    if len(roots) < 2:
        return "".join(roots)
    numbers = [ROOTS.index(root) for root in roots]
    if len(roots) > 2 and numbers == list(range(numbers[0], numbers[-1] + 1)):
        return f"{roots[0]} to {roots[-1]}"
    return ", ".join(roots[:-1]) + f" and {roots[-1]}"


def summary(engine: Engine, site: SiteKey, segments: Sequence[SegmentInvolved]) -> str:
    """One line for a person."""
    labels = engine.labels
    if site.kind != "lesion":
        named = ", ".join(labels[s.segment] for s in segments)
        return RIVALS[site.kind] + (f": {named}" if named else "")
    if len(segments) == 1:
        only = segments[0]
        text = labels[only.segment]
        parts = [text[0].upper() + text[1:], only.extent]
        side = only.ganglion
        if engine.graph.levels[only.segment] == "trunk":
            side = "post"
        if side in _SIDES:
            parts.append(_SIDES[side])
        return "; ".join(parts)
    groups: dict[tuple[str, str], list[str]] = {}
    others = []
    for segment in segments:
        root = segment.segment.split("_")[0].upper()
        if segment.ganglion == "na" or root not in ROOTS:
            text = labels[segment.segment]
            others.append(f"{text[0].upper() + text[1:]}, {segment.extent}")
            continue
        where = {
            "preganglionic": "preganglionic (avulsion)",
            "ramus_distal": "postganglionic, after the early branches",
            "ramus": "postganglionic",
            "ramus_proximal": "postganglionic, before the early branches",
            "spinal_nerve": "postganglionic, at the foramen",
        }[segment.segment.split("_", 1)[1]]
        if where == "postganglionic":
            known = [key for key in groups if key[0].startswith("postganglionic")]
            where = known[0][0] if known and known[0][1] == segment.extent else where
        groups.setdefault((where, segment.extent), []).append(root)
    said = [
        f"{roots_in_words(roots)} {where}, {extent}" for (where, extent), roots in groups.items()
    ]
    return "; ".join(said + others)


def ranked(engine: Engine, posterior: Posterior, tie_bits: float) -> tuple[Site, ...]:
    """Sites from the most probable down, as many as hold nearly all of the probability."""
    order = np.argsort(-posterior.sites, kind="stable")
    cumulated = np.cumsum(posterior.sites[order])
    count = max(SHOWN_LEAST, int(np.searchsorted(cumulated, SHOWN_MASS)) + 1)
    shown = [int(number) for number in order[:count]]
    mass = configuration_mass(engine, posterior.rows)
    bits = np.log2(np.maximum(posterior.sites, 1e-300))
    made = []
    for rank, number in enumerate(shown, start=1):
        site = engine.sites[number]
        segments = _segments(engine, site, number, mass)
        made.append(
            Site(
                site_id=site.site_id,
                rank=rank,
                probability=float(min(posterior.sites[number], 1.0)),
                kind=site.kind,
                segments=tuple(segments),
                tied_with=tuple(
                    engine.sites[other].site_id
                    for other in shown
                    if other != number and abs(bits[other] - bits[number]) < tie_bits
                ),
                summary=summary(engine, site, segments),
            )
        )
    return tuple(made)


def marginals(engine: Engine, posterior: Posterior) -> Marginals:
    """Involvement of each segment and of each root, over all rows."""
    mass = configuration_mass(engine, posterior.rows)
    some_mass = np.flatnonzero(mass > 1e-12)
    mass = mass[some_mass]
    involved = np.clip(mass @ engine.involved[some_mass], 0, 1)
    roots = {}
    for root, states in engine.root_states.items():
        some, pre, complete = (float(value) for value in mass @ states[some_mass])
        share = 1 / some if some > 0 else 0.0
        roots[root] = RootMarginal(
            involved=min(some, 1.0),
            pre=min(pre * share, 1.0),
            post=max(0.0, 1 - pre * share) if some > 0 else 0.0,
            partial=max(0.0, 1 - complete * share) if some > 0 else 0.0,
            complete=min(complete * share, 1.0),
        )
    return Marginals(
        segments={name: float(involved[at]) for at, name in enumerate(engine.graph.segments)},
        roots=roots,
    )
