"""What each finding adds for the leading site and against its rival, and what does not fit it.

A finding is worth much where it is the first to say a thing and little where others have said it:
the number depends on what counts as known. Here every finding is added in eight orders (that of the
lexicon's items, begun at every quarter, and back) and gets the mean: what repeats itself shares its
worth, nothing depends on the order of speaking, and all findings together make up exactly what the
examination did to the odds.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log2

import numpy as np
import numpy.typing as npt

from dictate2exam.localise.engine import Engine, normalised
from dictate2exam.localise.likelihood import Factor
from dictate2exam.localise.model import EvidenceWeight, Observation, Unexplained
from dictate2exam.units import Bits

Floats = npt.NDArray[np.float64]
# Rows this far (in nats) below the best cannot matter when a single finding is left out.
DEPTH = 24.0
# Weights are scaled up below this sum.
RUN_OUT = 1e-100
# Odds are told apart up to this many to one.
LEAST = 1e-12


@dataclass(frozen=True)
class Contest:
    """The leading site and the next one that the examination can tell from it, by number.

    `group` says of each row whether it is of the leading site's group (see `Engine.groups`).
    """

    leading: int
    rival: int
    group: npt.NDArray[np.bool_]


def contest(engine: Engine, sites: Floats, tie_bits: Bits) -> Contest:
    """The sites that the findings are weighed between; the rival may be tied if all are."""
    order = np.argsort(-sites, kind="stable")
    bits = np.log2(np.maximum(sites, 1e-300))
    leading = int(order[0])
    apart = (int(n) for n in order[1:] if bits[leading] - bits[n] >= tie_bits)
    numbers, _ = engine.groups
    group = (numbers == numbers[leading])[engine.forward.site_of]
    return Contest(leading, next(apart, int(order[1])), group)


def _sequences(numbers: list[int]) -> list[list[int]]:
    """The orders in which findings are added: begun at every quarter, forwards and backwards."""
    begins = sorted({len(numbers) * quarter // 4 for quarter in range(4)})
    turned = [numbers[begin:] + numbers[:begin] for begin in begins]
    return [order for one in turned for order in (one, one[::-1])]


def added(
    engine: Engine, factors: Sequence[Factor], order: Sequence[int], between: Contest
) -> dict[int, Floats]:
    """Bits that each finding adds for the site, against the rival and for the group, by its number.

    `order` names the findings; the sums are the change from the priors to the posterior.
    """
    owner = {number: factor for factor in factors for number in factor.numbers}
    known = [number for number in order if number in owner]
    alone = {number: owner[number].likelihood(engine.forward, None, (number,)) for number in known}
    rows = [np.flatnonzero(engine.forward.site_of == n) for n in (between.leading, between.rival)]
    rows.append(np.flatnonzero(between.group))
    bits = {number: np.zeros(3) for number in known}
    sequences = _sequences(known)
    prior = np.exp(engine.forward.log_prior)
    for sequence in sequences:
        weights = prior.copy()
        held: dict[int, tuple[tuple[int, ...], Floats]] = {}
        before = _standing(weights, rows)
        for number in sequence:
            factor = owner[number]
            if len(factor.numbers) == 1:
                weights *= alone[number]
            else:
                taken, so_far = held.get(id(factor), ((), np.ones(1)))
                among = (*taken, number)
                together = factor.likelihood(engine.forward, None, among)
                weights *= together / so_far
                held[id(factor)] = (among, together)
            after = _standing(weights, rows)
            bits[number] += (after - before) / len(sequences)
            before = after
    return bits


def _standing(weights: Floats, rows: Sequence[npt.NDArray[np.int64]]) -> Floats:
    """Log odds of the leading site, its log ratio to the rival, log odds of its group, in bits.

    Scales weights that run out, in place.
    """
    total = float(weights.sum())
    if total < RUN_OUT:
        weights /= total
        total = 1.0
    first, second, group = (float(weights[own].sum()) / total for own in rows)
    held = [log2(max(one, LEAST)) for one in (first, 1 - first, second, group, 1 - group)]
    return np.array([held[0] - held[1], held[0] - held[2], held[3] - held[4]])


def weigh(
    engine: Engine,
    observations: Sequence[Observation],
    factors: Sequence[Factor],
    order: Sequence[int],
    between: Contest,
) -> tuple[EvidenceWeight, ...]:
    """The bits of every finding, in the order in which the findings came; silent ones have none."""
    bits = added(engine, factors, order, between)
    nothing = np.zeros(3)
    return tuple(
        EvidenceWeight(
            finding_id=observed.observation_id,
            item=observed.item,
            value=observed.value,
            bits_leading=round(float(bits.get(number, nothing)[0]), 4),
            bits_against_rival=round(float(bits.get(number, nothing)[1]), 4),
            bits_group=round(float(bits.get(number, nothing)[2]), 4),
        )
        for number, observed in enumerate(observations)
    )


def unexplained(
    engine: Engine,
    observations: Sequence[Observation],
    factors: Sequence[Factor],
    log_weights: Floats,
    leading: int,
    least: Bits,
) -> tuple[Unexplained, ...]:
    """Findings that the leading site, fitted to all the others, does not explain; worst first."""
    rows = np.flatnonzero(
        (engine.forward.site_of == leading) & (log_weights > log_weights.max() - DEPTH)
    )
    made = []
    for factor in factors:
        full = factor.log(engine.forward, rows)
        for number in factor.numbers:
            rest = [other for other in factor.numbers if other != number]
            without = factor.log(engine.forward, rows, rest) if rest else 0.0
            chances = normalised(log_weights[rows] - full + without)
            observed = observations[number]
            surprise = _surprise(engine, observed, rows, chances)
            if surprise >= least:
                made.append(
                    Unexplained(
                        finding_id=observed.observation_id,
                        item=observed.item,
                        value=observed.value,
                        surprise_bits=round(surprise, 3),
                    )
                )
    return tuple(sorted(made, key=lambda one: (-one.surprise_bits, one.finding_id)))


def _surprise(
    engine: Engine, observed: Observation, rows: npt.NDArray[np.int64], chances: Floats
) -> Bits:
    """Bits by which another state of what was examined would explain the value better."""
    table = engine.reader.row_table(observed)
    if table is None or observed.value not in table.values:
        return 0.0
    found = chances @ table.at(rows)[:, table.values.index(observed.value)]
    return float(np.log2(table.best(observed.value)) - np.log2(max(float(found), 1e-12)))
