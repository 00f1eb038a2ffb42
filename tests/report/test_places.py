"""Localisation in words."""

from examples import finding, place, record

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.model import EvidenceWeight, SiteGroup
from dictate2exam.report.findings_weight import signed, weighed
from dictate2exam.report.places import groups, headline, ranking
from dictate2exam.report.view import percent


def test_tied_sites_are_one_group() -> None:
    first, second = groups(place(tie=True))
    assert [site.site_id for site in first.sites] == ["a", "b"]
    assert first.tied and not second.tied
    assert (first.rank, second.rank) == (1, 2)


def test_the_improbable_tail_is_left_out() -> None:
    assert "z" not in {site.site_id for group in groups(place()) for site in group.sites}


def test_a_tie_names_every_site() -> None:
    assert headline(place(tie=True)) == "Cannot be told apart (right): Site a; or Site b."


def test_percentages_never_claim_certainty() -> None:
    assert [percent(p) for p in (0, 0.001, 0.5, 0.999, 1)] == ["0%", "<1%", "50%", ">99%", "100%"]


def test_a_leader_below_one_half_is_not_settled() -> None:
    one = place()
    doubtful = one.model_copy(
        update={"sites": (one.sites[0].model_copy(update={"probability": 0.3}), *one.sites[1:])}
    )
    assert headline(doubtful) == "Not settled; most probable so far (right): Site a (30%)."


def test_what_groups_of_findings_add_is_the_sum_of_their_findings() -> None:
    lexicon = load_lexicon()
    made = record([finding("f001", "power.deltoid", "0"), finding("f002", "power.grip", "5", at=1)])
    weights = (("f001", "power.deltoid", "0", 2.0), ("f002", "power.grip", "5", 0.5))
    evidence = tuple(
        EvidenceWeight(
            finding_id=name,
            item=item,
            value=value,
            bits_leading=0.0,
            bits_against_rival=0.1,
            bits_group=bits,
        )
        for name, item, value, bits in weights
    )
    found = place().model_copy(update={"evidence": evidence})
    rows = weighed(found, made, lexicon)
    assert [row.label for row in rows] == ["Shoulder: affected", "Fingers and thumb: normal"]
    assert [row.bits_group for row in rows] == [2.0, 0.5]
    assert rows[0].named == ("deltoid 0",)


def test_bits_have_their_sign() -> None:
    assert [signed(bits) for bits in (1.26, 0.01, -0.4)] == ["+1.3", "0", "\N{MINUS SIGN}0.4"]


def test_sites_of_one_group_are_listed_below_it() -> None:
    one = place()
    both = ("a", "b")
    near = SiteGroup(group_id="c5+c6", probability=0.95, sites=both, summary="C5 and C6 roots")
    far = SiteGroup(group_id="c", probability=0.04, sites=("c",), summary="Site c")
    shown = ranking(one.model_copy(update={"site_groups": (near, far)}))
    assert [site.site_id for site in shown[0].sites] == ["a", "b"]
    assert shown[1].sites == () and shown[1].more == 1
    doubtful = one.model_copy(
        update={
            "sites": (one.sites[0].model_copy(update={"probability": 0.4}), *one.sites[1:]),
            "site_groups": (near, far),
        }
    )
    assert headline(doubtful).startswith("Most probable (right): C5 and C6 roots (95%).")
