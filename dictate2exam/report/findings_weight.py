"""What groups of findings say of the leading group of sites, as a table for a reader."""

from collections.abc import Sequence
from dataclasses import dataclass

from dictate2exam.findings.model import Finding
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.regions import read_regions
from dictate2exam.localise.model import EvidenceWeight, Localisation
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import label_of
from dictate2exam.report.view import is_abnormal, region_of, value_text
from dictate2exam.units import Bits

# A group that adds less than this, either way, is summed up with the others like it.
LEAST_BITS = 0.25
NAMED = 4


@dataclass(frozen=True)
class Weighed:
    """One group of findings; its bits are the sums of its findings' bits."""

    label: str
    named: tuple[str, ...]
    more: int
    bits_group: Bits
    bits_against_rival: Bits


def weighed(place: Localisation, record: ExamRecord, lexicon: Lexicon) -> tuple[Weighed, ...]:
    """The findings by region, departures from normal apart, what speaks most for it first.

    Muscles that are paralysed together repeat one another, so that none of them counts for much
    when it is looked at beside the others; together they do.
    """
    regions = read_regions(lexicon.folder)
    findings = {entry.finding.finding_id: entry.finding for entry in record.findings}
    groups: dict[tuple[str, bool], list[EvidenceWeight]] = {}
    for each in place.evidence:
        finding = findings.get(each.finding_id)
        region = region_of(each.item, regions, lexicon)
        departs = finding is not None and is_abnormal(finding)
        groups.setdefault((region.label, departs), []).append(each)
    made = [
        _summed(f"{label}: {'affected' if departs else 'normal'}", within, findings, lexicon)
        for (label, departs), within in groups.items()
    ]
    said = [one for one in made if _counts(one)]
    said.sort(key=lambda one: -one.bits_group)
    rest = [each for one, each in zip(made, groups.values(), strict=True) if not _counts(one)]
    other = [each for within in rest for each in within]
    if other:
        said.append(_summed("All other findings", other, findings, lexicon, names=0))
    return tuple(said)


def _counts(one: Weighed) -> bool:
    return max(abs(one.bits_group), abs(one.bits_against_rival)) >= LEAST_BITS


def _summed(
    label: str,
    within: Sequence[EvidenceWeight],
    findings: dict[str, Finding],
    lexicon: Lexicon,
    names: int = NAMED,
) -> Weighed:
    strongest = sorted(within, key=lambda each: -abs(each.bits_group))
    named = tuple(_named(each, findings.get(each.finding_id), lexicon) for each in strongest)
    return Weighed(
        label=label,
        named=named[:names],
        more=len(named) - len(named[:names]),
        bits_group=sum(each.bits_group for each in within),
        bits_against_rival=sum(each.bits_against_rival for each in within),
    )


def _named(each: EvidenceWeight, finding: Finding | None, lexicon: Lexicon) -> str:
    value = value_text(finding) if finding else each.value.replace("_", " ")
    return f"{label_of(each.item, lexicon)} {value}"


def signed(bits: Bits) -> str:
    """Bits with their sign, nothing as 0."""
    text = f"{bits:+.1f}"
    return "0" if text in {"+0.0", "-0.0"} else text.replace("-", "\N{MINUS SIGN}")
