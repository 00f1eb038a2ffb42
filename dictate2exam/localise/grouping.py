"""Sites in groups: which roots are hit above the clavicle, whichever side of ganglion and trunk.

Examination tells which roots are hit far better than where along them, so that the probability of a
lesion of C5 and C6 may be spread over a dozen sites none of which is certain.
"""

import numpy as np
import numpy.typing as npt

from dictate2exam.localise.engine import Engine
from dictate2exam.localise.explain import roots_in_words
from dictate2exam.localise.model import Site, SiteGroup

Floats = npt.NDArray[np.float64]


def grouped(engine: Engine, sites: Floats, shown: tuple[Site, ...]) -> tuple[SiteGroup, ...]:
    """The groups of the sites shown, most probable first, each with its sites in their order."""
    numbers, ids = engine.groups
    total = np.bincount(numbers, weights=sites)
    group_of = {site.site_id: ids[n] for site, n in zip(engine.sites, numbers, strict=True)}
    members: dict[str, list[Site]] = {}
    for site in shown:
        members.setdefault(group_of[site.site_id], []).append(site)
    made = [
        SiteGroup(
            group_id=name,
            probability=min(float(total[ids.index(name)]), 1.0),
            sites=tuple(site.site_id for site in within),
            summary=within[0].summary if len(within) == 1 else _summary(engine, name),
        )
        for name, within in members.items()
    ]
    return tuple(sorted(made, key=lambda one: -one.probability))


def _summary(engine: Engine, name: str) -> str:
    roots = [root.upper() for root in name.split("+")]
    noun = "root" if len(roots) == 1 else "roots"
    trunk = " or trunk" if name in engine.groups_with_trunk else ""
    return f"{roots_in_words(roots)} {noun}{trunk}"
