"""Where the lesion is: sites, marginals and evidence, as written to localisation.json."""

from typing import Literal

from dictate2exam.frozen import Frozen
from dictate2exam.units import Bits, Probability, Side

SiteKind = Literal["none", "lesion", "central", "inflammatory", "non_neurological"]


class Observation(Frozen):
    """One finding as localisation sees it.

    `confidence` is the probability that the value is as written; the rest is spread over the
    neighbouring values. `observation_id` is the finding's id, or the row number of a table.
    """

    observation_id: str
    item: str
    side: Side
    value: str
    scale: str = ""
    detail: dict[str, str] = {}
    confidence: Probability = 1.0


class SegmentInvolved(Frozen):
    """One segment of a site; `ganglion` is na away from a root."""

    segment: str
    ganglion: Literal["pre", "post", "na"]
    extent: Literal["partial", "complete"]


class Site(Frozen):
    """One ranked hypothesis; `tied_with` holds the sites within 0.1 bit of it."""

    site_id: str
    rank: int
    probability: Probability
    kind: SiteKind
    segments: tuple[SegmentInvolved, ...]
    tied_with: tuple[str, ...] = ()
    summary: str


class SiteGroup(Frozen):
    """Sites that hit the same roots above the clavicle, or the same nerves, wherever along them.

    `sites` are the ranked ones, best first; `probability` is of all sites of the group.
    """

    group_id: str
    probability: Probability
    sites: tuple[str, ...]
    summary: str


class RootMarginal(Frozen):
    """One root: probability of involvement, and given involvement its side and extent."""

    involved: Probability
    pre: Probability
    post: Probability
    partial: Probability
    complete: Probability


class Marginals(Frozen):
    """Probability of involvement for each segment, and for each root C5 to T1."""

    segments: dict[str, Probability]
    roots: dict[str, RootMarginal]


class EvidenceWeight(Frozen):
    """What one finding adds, in bits, for the leading site and against its nearest rival.

    The bits of all findings add up to what the examination did to the odds. The rival is the next
    site that is not tied with the first; `bits_group` are for the leading site's group, since sites
    that cannot be told apart halve each other's odds.
    """

    finding_id: str
    item: str
    value: str
    bits_leading: Bits
    bits_against_rival: Bits
    bits_group: Bits = 0.0


class Unexplained(Frozen):
    """A finding that the leading site does not explain, with how surprising it is."""

    finding_id: str
    item: str
    value: str
    surprise_bits: Bits


class NextItem(Frozen):
    """An unexamined item with the information that examining it is expected to give."""

    item: str
    expected_bits: Bits


class ModelVersion(Frozen):
    """Version of the model, content hash of the anatomy data, and whose priors were used."""

    version: str
    anatomy: str
    setting: str = "mixed"


class Localisation(Frozen):
    """Everything that localisation says about one side; `outlook` is what further tests promise.

    `rival` is the site that `evidence` weighs the leading one against; `next_items` are for the
    bedside, `studies` for another visit, both by expected information.
    """

    side: Side
    sites: tuple[Site, ...]
    site_groups: tuple[SiteGroup, ...] = ()
    rival: str = ""
    marginals: Marginals
    evidence: tuple[EvidenceWeight, ...]
    unexplained: tuple[Unexplained, ...]
    next_items: tuple[NextItem, ...]
    studies: tuple[NextItem, ...] = ()
    outlook: str = ""
    provisional: bool
    cautions: tuple[str, ...]
    red_flags: tuple[str, ...] = ()
    model: ModelVersion
