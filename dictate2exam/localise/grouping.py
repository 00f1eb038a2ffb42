"""Sites in groups: which roots, or which nerves, are hit, wherever along them.

Examination tells which roots or nerves are hit far better than where along them, so that the
probability of a lesion of C5 and C6 may be spread over a dozen sites none of which is certain.
"""

import numpy as np
import numpy.typing as npt

from dictate2exam.localise.engine import Engine
from dictate2exam.localise.explain import roots_in_words
from dictate2exam.localise.graph import ROOTS
from dictate2exam.localise.model import Site, SiteGroup

Floats = npt.NDArray[np.float64]


def grouped(engine: Engine, sites: Floats, shown: tuple[Site, ...]) -> tuple[SiteGroup, ...]:
    """The groups of the sites shown, most probable first, each with its sites in their order."""
    numbers, hit = engine.groups
    total = np.bincount(numbers, weights=sites)
    number_of = {site.site_id: int(n) for site, n in zip(engine.sites, numbers, strict=True)}
    members: dict[int, list[Site]] = {}
    for site in shown:
        members.setdefault(number_of[site.site_id], []).append(site)
    made = [
        SiteGroup(
            group_id="+".join(hit[number]).lower().replace(" ", "_"),
            probability=min(float(total[number]), 1.0),
            sites=tuple(site.site_id for site in within),
            summary=within[0].summary if len(within) == 1 else _summary(engine, number),
        )
        for number, within in members.items()
    ]
    return tuple(sorted(made, key=lambda one: -one.probability))


def _summary(engine: Engine, number: int) -> str:
    hit = list(engine.groups[1][number])
    if hit[0] not in ROOTS:
        text = " and ".join(hit)
        return text[0].upper() + text[1:]
    trunk = " or trunk" if number in engine.groups_with_trunk else ""
    return f"{roots_in_words(hit)} {'root' if len(hit) == 1 else 'roots'}{trunk}"
