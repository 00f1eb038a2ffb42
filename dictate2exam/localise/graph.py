"""The anatomy as arrays: which segments each share runs through, under each arrangement of roots.

A target is a muscle, a skin area or the sympathetic outflow to the eye. `through[p, s]` is one
where path p runs through segment s; `shares[v][p, t]` is what path p carries of target t in
arrangement v: usual, prefixed, postfixed, with a median-ulnar crossing, and the usual one as each
source reads it where sources disagree about the shares.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.anatomy import Anatomy, Share
from dictate2exam.lexicon.likelihoods import Likelihoods

Floats = npt.NDArray[np.float64]

# Shares are written with two or three decimals.
SUM_TOLERANCE = 0.006
ROOTS = ("C5", "C6", "C7", "C8", "T1")
OUTFLOW = "oculosympathetic_outflow"
SUPRACLAVICULAR = {"preganglionic", "spinal_nerve_postganglionic", "ventral_ramus", "trunk"}
VARIANTS = ("usual", "prefixed", "postfixed", "crossing")
_ORDER = {root: at for at, root in enumerate(("XI", "C2", "C3", "C4", *ROOTS, "T2"))}


@dataclass(frozen=True)
class SecondNerve:
    """A nerve that a target has in `present` of limbs; each of its paths with the main one's."""

    target: int
    present: float
    paths: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Graph:
    """Names and arrays; `tilt[t]` is the dispersion that the published range of shares gives.

    `arrangements` names the arrays of `shares`, with their probabilities in `chances`.
    `fibres` are the roots that a segment carries, `nerves` what it is a stretch of.
    The first `usual_paths` paths are those of the lexicon; the others are the crossing's.
    """

    segments: tuple[str, ...]
    levels: dict[str, str]
    targets: tuple[str, ...]
    through: Floats
    arrangements: tuple[str, ...]
    chances: Floats
    shares: tuple[Floats, ...]
    usual_paths: int
    tilt: Floats
    second_nerves: tuple[SecondNerve, ...]
    fibres: dict[str, frozenset[str]]
    nerves: dict[str, str]

    def at(self, segment: str) -> int:
        """Column of a segment."""
        return self.segments.index(segment)


def _shifted(shares: list[Share], towards: float, prefixed: set[str]) -> dict[str, float]:
    """Shares moved towards the upper (positive) or lower ends of their ranges; sums to one.

    The roots `prefixed` supply the target in a prefixed plexus alone.
    """
    ordered = sorted(shares, key=lambda share: _ORDER[share.root])
    last = max(len(ordered) - 1, 1)
    moved = {}
    for at, share in enumerate(ordered):
        pull = towards * (1 - 2 * at / last) if len(ordered) > 1 else 0.0
        room = share.high - share.mid if pull > 0 else share.mid - share.low
        moved[share.root] = share.mid + pull * room
        if share.root in prefixed:
            moved[share.root] = share.high if towards > 0 else share.low
    total = sum(moved.values())
    return {root: value / total for root, value in moved.items()}


def _tilt(shares: list[Share], deviations: float) -> float:
    spread = sum(((share.high - share.low) / deviations) ** 2 for share in shares)
    room = sum(share.mid * (1 - share.mid) for share in shares)
    return min(spread / room, 0.5) if room > 0 else 0.0


def _refuse_broken(anatomy: Anatomy) -> None:
    """Raises LexiconError for shares that don't sum to one, and for a path with a gap."""
    parents = {segment.segment_id: segment.parents for segment in anatomy.segments}
    shares: dict[str, float] = {}
    for share in anatomy.muscle_shares + anatomy.sensory_shares:
        shares[share.target] = shares.get(share.target, 0.0) + share.mid
    remedy = "; `dictate2exam lexicon check` lists everything that is wrong."
    for target, total in shares.items():
        if abs(total - 1) > SUM_TOLERANCE:
            raise LexiconError(f"The shares of {target} sum to {total:.3f}, not to one" + remedy)
    supplied = {(s.target, s.root) for s in anatomy.muscle_shares + anatomy.sensory_shares}
    for path in anatomy.paths:
        where = f"The path of {path.root} to {path.target}"
        if path.target != OUTFLOW and (path.target, path.root) not in supplied:
            raise LexiconError(f"{where} belongs to no share of that root" + remedy)
        if len(set(path.segments)) < len(path.segments):
            raise LexiconError(f"{where} runs in a circle" + remedy)
        for above, below in zip((None, *path.segments), path.segments, strict=False):
            if below not in parents or (above and above not in parents[below]):
                raise LexiconError(f"{where} has a gap before {below}" + remedy)


def _detours(anatomy: Anatomy, crossing: dict[str, Any]) -> list[tuple[int, tuple[str, ...]]]:
    """Paths of the median-ulnar crossing: the path that each leaves, and its own segments."""
    leaves = tuple(crossing["leaves"])
    made = []
    for at, path in enumerate(anatomy.paths):
        first = path.segments.index(leaves[0]) if leaves[0] in path.segments else -1
        stretch = path.segments[first : first + len(leaves)]
        if path.target in crossing["targets"] and stretch == leaves and path.root in {"C8", "T1"}:
            after = path.segments[first + len(leaves) :]
            made.append((at, (*path.segments[:first], *crossing["takes"], *after)))
    return made


def _second_nerves(
    anatomy: Anatomy, model: dict[str, Any], targets: tuple[str, ...]
) -> tuple[SecondNerve, ...]:
    made = []
    for name, held in model.items():
        own = [at for at, path in enumerate(anatomy.paths) if path.target == name]
        second = [at for at in own if held["through"] in anatomy.paths[at].segments]
        main = {anatomy.paths[at].root: at for at in own if at not in second}
        pairs = tuple((at, main[anatomy.paths[at].root]) for at in second)
        made.append(SecondNerve(targets.index(name), float(held["present"]), pairs))
    return tuple(made)


def build_graph(anatomy: Anatomy, likelihoods: Likelihoods) -> Graph:
    """Arrays of the cited anatomy; LexiconError where shares or paths are broken."""
    _refuse_broken(anatomy)
    by_target: dict[str, list[Share]] = {}
    for share in anatomy.muscle_shares + anatomy.sensory_shares:
        by_target.setdefault(share.target, []).append(share)
    outflow: dict[str, float] = likelihoods.model["horner"]["outflow"]
    by_target[OUTFLOW] = [
        Share(target=OUTFLOW, root=root, low=part, mid=part, high=part, sources=())
        for root, part in outflow.items()
    ]
    targets = tuple(by_target)
    segments = tuple(segment.segment_id for segment in anatomy.segments)
    column = {name: at for at, name in enumerate(segments)}
    crossing = likelihoods.model["crossing"]
    detours = _detours(anatomy, crossing)
    through = np.zeros((len(anatomy.paths) + len(detours), len(segments)))
    for at, (_, run) in enumerate(detours, start=len(anatomy.paths)):
        through[at, [column[name] for name in run]] = 1
    fibres: dict[str, set[str]] = {name: set() for name in segments}
    for at, path in enumerate(anatomy.paths):
        for name in path.segments:
            through[at, column[name]] = 1
            fibres[name].add(path.root)
    shift = float(likelihoods.model["variants"]["shift"])
    only = set(likelihoods.model["variants"]["prefixed_only"])
    prefixed: dict[str, set[str]] = {}
    for path in anatomy.paths:
        if only & set(path.segments):
            prefixed.setdefault(path.target, set()).add(path.root)
    readings: dict[str, dict[str, dict[str, float]]] = {}
    for one in anatomy.readings:
        readings.setdefault(one.reading, {}).setdefault(one.target, {})[one.root] = one.share
    arrangements = (*VARIANTS, *readings)
    towards_of = {"prefixed": shift, "postfixed": -shift}
    arrays = []
    for name in arrangements:
        moved = {
            target: _shifted(shares, towards_of.get(name, 0.0), prefixed.get(target, set()))
            for target, shares in by_target.items()
        }
        for target, read in readings.get(name, {}).items():
            total = sum(read.values())
            moved[target] = {root: read.get(root, 0.0) / total for root in moved[target]}
        carried = np.zeros((len(through), len(targets)))
        for at, path in enumerate(anatomy.paths):
            carried[at, targets.index(path.target)] = moved[path.target][path.root] * path.weight
        if name == "crossing":
            part = float(crossing["share"])
            for at, (origin, _) in enumerate(detours, start=len(anatomy.paths)):
                carried[at] = carried[origin] * part
                carried[origin] *= 1 - part
        arrays.append(carried)
    variants = likelihoods.model["variants"]
    chances = [float((variants | variants["readings"])[name]) for name in arrangements]
    deviations = float(likelihoods.model["extent"]["range_deviations"])
    return Graph(
        segments=segments,
        levels={segment.segment_id: segment.level for segment in anatomy.segments},
        targets=targets,
        through=through,
        arrangements=arrangements,
        chances=np.array(chances) / sum(chances),
        shares=tuple(arrays),
        usual_paths=len(anatomy.paths),
        tilt=np.array([_tilt(by_target[target], deviations) for target in targets]),
        second_nerves=_second_nerves(anatomy, likelihoods.model["second_nerve"], targets),
        fibres={name: frozenset(roots) for name, roots in fibres.items()},
        nerves={segment.segment_id: segment.nerve for segment in anatomy.segments},
    )
