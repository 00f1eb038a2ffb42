"""Localises the lesion: exact enumeration of all hypotheses, one result a side."""

from collections.abc import Sequence

from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.engine import Engine, engine_for, normalised
from dictate2exam.localise.evidence import NO_INFORMATION, SILENT, interval_of
from dictate2exam.localise.explain import Posterior, marginals, ranked
from dictate2exam.localise.grouping import grouped
from dictate2exam.localise.model import Localisation, ModelVersion, Observation
from dictate2exam.localise.next_items import STUDIES, next_items, outlook
from dictate2exam.localise.weigh import contest, unexplained, weigh
from dictate2exam.units import Side

_HEALTHY = {
    "power": {"5"},
    "contraction": {"present"},
    "sensation": {"10", "normal"},
    "sign": {"absent"},
    "wasting": {"absent"},
    "posture": {"absent"},
    "reflex": {"normal"},
    "conduction": {"normal"},
    "needle": {"normal"},
    "imaging": {"intact"},
}
_NO_DEFICIT = {"sign.scar", "sign.open_wound", "sign.bruit", "sign.clavicle_deformity"}
# Signs of the cord count for both arms, whichever side they were seen on.
_MIDLINE = {"sign.plantar_extensor", "sign.clonus", "reflex.knee", "reflex.ankle"}


def is_deficit(observed: Observation) -> bool:
    """Whether a finding is abnormal in a way that has a place."""
    kind = observed.item.partition(".")[0]
    if kind in NO_INFORMATION or observed.value in SILENT or observed.item in _NO_DEFICIT:
        return False
    healthy = _HEALTHY.get(kind, set())
    if kind == "sensation" and observed.scale == "isncsci":
        healthy = {"2", "normal"}
    return observed.value not in healthy


def sides_to_localise(observations: Sequence[Observation]) -> list[Side]:
    """The sides with deficits; with none, the side that was examined most."""
    with_deficit: list[Side] = [
        side
        for side in ("left", "right")
        if any(o.side == side and o.item not in _MIDLINE and is_deficit(o) for o in observations)
    ]
    if with_deficit:
        return with_deficit
    counts = {side: sum(o.side == side for o in observations) for side in ("left", "right")}
    if not any(counts.values()):
        return ["none"]
    return ["left" if counts["left"] >= counts["right"] else "right"]


def _check(observations: Sequence[Observation], lexicon: Lexicon) -> None:
    for observed in observations:
        if observed.item not in lexicon.items:
            raise InputError(
                f"Finding {observed.observation_id}: {observed.item!r} is no item; "
                f"`dictate2exam items --json` lists them all."
            )


def localise_side(
    observations: Sequence[Observation],
    engine: Engine,
    lexicon: Lexicon,
    side: Side,
    provisional: bool = False,
    red_flags: Sequence[str] = (),
    cautions: Sequence[str] = (),
) -> Localisation:
    """One side from its observations (all of them are used, whatever their side says)."""
    answers = engine.tables.model["answers"]
    tie_bits = float(answers["tie_bits"])
    factors = engine.reader.factors(observations)
    log_weights = engine.log_weights(factors)
    rows = normalised(log_weights)
    posterior = Posterior(rows=rows, sites=engine.by_site(rows))
    between = contest(engine, posterior.sites, tie_bits)
    place_of = {item: at for at, item in enumerate(lexicon.items)}
    order = sorted(
        range(len(observations)),
        key=lambda n: (place_of[observations[n].item], observations[n].value, n),
    )
    examined = [o.item for o in observations if o.value not in SILENT]
    interval = interval_of(observations)
    left = next_items(engine, lexicon, examined, rows, interval=interval)
    studies = next_items(engine, lexicon, examined, rows, kinds=STUDIES, interval=interval)
    sites = ranked(engine, posterior, tie_bits)
    return Localisation(
        side=side,
        sites=sites,
        site_groups=grouped(engine, posterior.sites, sites),
        rival=engine.sites[between.rival].site_id,
        marginals=marginals(engine, posterior),
        evidence=weigh(engine, observations, factors, order, between),
        unexplained=unexplained(
            engine,
            observations,
            factors,
            log_weights,
            between.leading,
            float(answers["unexplained_bits"]),
        ),
        next_items=left,
        studies=studies,
        outlook=outlook(left, studies, sites, lexicon, answers),
        provisional=provisional,
        cautions=tuple(cautions),
        red_flags=tuple(red_flags),
        model=ModelVersion(
            version=engine.tables.version, anatomy=lexicon.hash, setting=engine.setting
        ),
    )


def localise(
    observations: Sequence[Observation],
    lexicon: Lexicon,
    provisional: bool = False,
    red_flags: Sequence[str] = (),
    cautions: Sequence[str] = (),
    setting: str = "mixed",
) -> list[Localisation]:
    """The lesion's site on each side that has deficits, or on the examined side when none has.

    Findings without a side count for every side; `setting` is mixed, trauma or non_trauma and
    chooses the priors. Raises InputError for an unknown item or value.
    """
    _check(observations, lexicon)
    engine = engine_for(lexicon, setting)
    return [
        localise_side(
            [o for o in observations if o.side in (side, "none") or o.item in _MIDLINE],
            engine,
            lexicon,
            side,
            provisional,
            red_flags,
            cautions,
        )
        for side in sides_to_localise(observations)
    ]
