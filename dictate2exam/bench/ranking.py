"""Where the true site stands among the ranked sites of a localisation."""

from dictate2exam.bench.model import Truth
from dictate2exam.localise.model import Localisation


def rank_of_truth(localisations: list[Localisation], truth: Truth, side: str) -> int | None:
    """Rank of the true site on its side, ties with the first counting as first; None: unranked.

    A normal arm is rank 1 where no lesion comes first or nothing was localised.
    """
    here = [found for found in localisations if found.side == side]
    if not here:
        return 1 if truth.kind == "none" and not localisations else None
    sites = here[0].sites
    wanted = frozenset(truth.segments)
    for site in sites:
        segments = frozenset(part.segment for part in site.segments)
        if site.kind != truth.kind or (wanted and segments != wanted):
            continue
        if sites[0].site_id in site.tied_with:
            return 1
        return site.rank
    return None
