"""Localisation in words."""

from examples import place

from dictate2exam.report.places import groups, headline
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
