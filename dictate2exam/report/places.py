"""Localisation put into words: ranked groups of sites, and the roots."""

from collections.abc import Sequence
from dataclasses import dataclass

from dictate2exam.localise.model import Localisation, NextItem, Site, SiteGroup
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.report.view import percent
from dictate2exam.units import Bits

# Sites below this probability are not listed one by one.
SHOWN_AT_LEAST = 0.01
SHOWN_AT_MOST = 8
WITHIN_AT_MOST = 6
# Groups below this are one line, without their sites.
OPENED_AT_LEAST = 0.1
ROOT_AT_LEAST = 0.05
# Items expected to tell less than this change little, as `little_bits` of the model has it.
WORTH_BITS = 0.05
# Below this the leading site is less probable than all others together.
SETTLED_AT_LEAST = 0.5


@dataclass(frozen=True)
class Group:
    """Sites that the examination can't tell apart, as one entry of the ranking."""

    rank: int
    sites: tuple[Site, ...]

    @property
    def tied(self) -> bool:
        """Whether the entry holds more than one site."""
        return len(self.sites) > 1

    @property
    def probability(self) -> float:
        """Of all its sites together."""
        return sum(site.probability for site in self.sites)


def groups(place: Localisation) -> tuple[Group, ...]:
    """The leading sites, tied ones together, in order; the improbable tail is left out."""
    made: list[Group] = []
    used: set[str] = set()
    by_id = {site.site_id: site for site in place.sites}
    for site in place.sites:
        if site.site_id in used:
            continue
        if (made and site.probability < SHOWN_AT_LEAST) or len(made) >= SHOWN_AT_MOST:
            break
        ties = [by_id[i] for i in site.tied_with if i in by_id and i not in used]
        members = (site, *(tie for tie in ties if tie.site_id != site.site_id))
        used |= {member.site_id for member in members}
        made.append(Group(rank=len(made) + 1, sites=members))
    return tuple(made)


@dataclass(frozen=True)
class Ranked:
    """One group of sites with those of them that are worth a line; `more` are left out.

    A single site, or a group that is improbable, has no lines below its own.
    """

    group: SiteGroup
    sites: tuple[Site, ...]
    more: int
    tied: bool


def ranking(place: Localisation) -> tuple[Ranked, ...]:
    """The groups of sites, most probable first, without the improbable tail.

    A site is a group of its own where a localisation of an earlier version names none.
    """
    by_id = {site.site_id: site for site in place.sites}
    made: list[Ranked] = []
    alone = (
        SiteGroup(
            group_id=site.site_id,
            probability=site.probability,
            sites=(site.site_id,),
            summary=site.summary,
        )
        for site in place.sites
    )
    for group in place.site_groups or alone:
        if (made and group.probability < SHOWN_AT_LEAST) or len(made) >= SHOWN_AT_MOST:
            break
        sites = [by_id[name] for name in group.sites]
        worth = [site for site in sites if site.probability >= SHOWN_AT_LEAST][:WITHIN_AT_MOST]
        if group.probability < OPENED_AT_LEAST or len(sites) == 1:
            worth = []
        tied = len(sites) == 1 and bool(sites[0].tied_with)
        made.append(Ranked(group, tuple(worth), len(sites) - len(worth), tied))
    return tuple(made)


def leading_group(place: Localisation) -> str:
    """The group that the leading site is in, in words."""
    first = place.sites[0]
    mine = (group.summary for group in place.site_groups if first.site_id in group.sites)
    return next(mine, first.summary)


def rival_of(place: Localisation) -> str:
    """The site that the findings are weighed against, in words; empty where none is named."""
    return next((site.summary for site in place.sites if site.site_id == place.rival), "")


def headline(place: Localisation) -> str:
    """The result in one sentence, a tie said as a tie."""
    if not place.sites:
        return "Nothing could be located."
    first = groups(place)[0]
    side = f" ({place.side})" if place.side != "none" else ""
    if first.tied:
        names = "; or ".join(site.summary for site in first.sites[:4])
        more = f"; or {len(first.sites) - 4} more" if len(first.sites) > 4 else ""
        return f"Cannot be told apart{side}: {names}{more}."
    if first.probability < SETTLED_AT_LEAST:
        near = next((one for one in place.site_groups if first.sites[0].site_id in one.sites), None)
        if near and len(near.sites) > 1 and near.probability >= SETTLED_AT_LEAST:
            return (
                f"Most probable{side}: {near.summary} ({percent(near.probability)}). Where in "
                f"it is not settled; first {first.sites[0].summary} ({percent(first.probability)})."
            )
        share = percent(first.probability)
        return f"Not settled; most probable so far{side}: {first.sites[0].summary} ({share})."
    return f"Most probable{side}: {first.sites[0].summary}."


def roots_in_question(place: Localisation) -> bool:
    """Whether any root C5 to T1 has a chance worth a table."""
    return any(one.involved >= ROOT_AT_LEAST for one in place.marginals.roots.values())


def gaps_by_cost(record: ExamRecord, places: Sequence[Localisation]) -> list[tuple[Question, Bits]]:
    """What of the protocol was not examined and blocks nothing, the costliest first.

    The cost is the information about the site that examining it is expected to give, in bits; 0
    where there is no localisation to tell.
    """
    known = {
        (item.item, place.side): item.expected_bits for place in places for item in place.next_items
    }
    gaps = [
        (question, known.get((question.item, question.side), 0.0))
        for question in record.questions
        if question.state == "open" and not question.blocking and question.kind == "gap"
    ]
    return sorted(gaps, key=lambda gap: -gap[1])


def worthwhile(place: Localisation) -> tuple[NextItem, ...]:
    """The unexamined items that would tell anything to speak of, best first."""
    return tuple(item for item in place.next_items if item.expected_bits >= WORTH_BITS)
