"""Localisation put into words: ranked groups of sites, and the roots."""

from collections.abc import Sequence
from dataclasses import dataclass

from dictate2exam.localise.model import Localisation, NextItem, Site
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.report.view import percent
from dictate2exam.units import Bits

# Sites below this probability are not listed one by one.
SHOWN_AT_LEAST = 0.01
SHOWN_AT_MOST = 8
# Items expected to tell less than this are not worth examining for the location.
WORTH_BITS = 0.01
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
        share = percent(first.probability)
        return f"Not settled; most probable so far{side}: {first.sites[0].summary} ({share})."
    return f"Most probable{side}: {first.sites[0].summary}."


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
