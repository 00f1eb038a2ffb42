"""Draws examinations from the model with its own assumptions broken, to measure it honestly.

Shares come from anywhere in their published range, the examiner's noise is doubled, 30 in 100 items
are missing and one finding in fifty is simply wrong. What doubled noise is in a grade is plain:
twice the spread. In a sign it can be read in two ways (`Misreading`), and both are measured. Beside
them examinations are drawn with nothing broken, which no ranking can beat.
"""

import copy
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.likelihoods import Likelihoods
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.protocols import read_protocol
from dictate2exam.localise.cells import LOWER
from dictate2exam.localise.engine import Engine
from dictate2exam.localise.evidence import EvidenceReader, RowTable
from dictate2exam.localise.forward import MOTOR, SKIN, composites
from dictate2exam.localise.model import Observation
from dictate2exam.localise.next_items import probe
from dictate2exam.localise.signs import Signs
from dictate2exam.localise.tables import TEN

Floats = npt.NDArray[np.float64]
MISSING, WRONG, NOISE = 0.3, 0.02, 2.0
# Signs and reflexes: half the log odds (the same noise on the scale of doubt; the harsher one), or
# twice as many misread; or nothing is broken at all.
Misreading = Literal["halved_log_odds", "doubled_errors", "as_assumed"]


def items_of(lexicon: Lexicon, protocol: str) -> list[str]:
    """The items of a protocol that say something about the site."""
    kinds = ("power", "sensation", "sign", "reflex", "posture")
    return [
        requirement.item
        for requirement in read_protocol(lexicon.folder, protocol).requirements
        if requirement.item.startswith(kinds)
    ]


def _without_reserve(tables: Likelihoods) -> Likelihoods:
    model = copy.deepcopy(tables.model)
    for kind in ("reflex", "signs"):
        model[kind]["reserve"] = 1.0
    return replace(tables, model=model)


@dataclass(frozen=True)
class Drawn:
    """One invented examination with the configuration behind it."""

    configuration: int
    observations: list[Observation]


class Drawer:
    """Draws from one engine; `seed` makes the same examinations again.

    The reserve that the ranking reckons with is left out: it is no part of how people are examined.
    """

    def __init__(
        self,
        engine: Engine,
        lexicon: Lexicon,
        seed: int,
        misreading: Misreading = "halved_log_odds",
    ) -> None:
        self._engine, self._chance = engine, np.random.default_rng(seed)
        self._misreading = misreading
        self._broken = misreading != "as_assumed"
        self._noise = NOISE if self._broken else 1.0
        tables = _without_reserve(engine.tables) if self._broken else engine.tables
        self._signs = Signs(tables, engine.graph, engine.forward)
        self._reader = EvidenceReader(tables, engine.forward, self._signs)
        weights = np.array([made.weight for made in engine.hypotheses.configurations])
        self._weights = weights / weights.sum()
        self._whole = composites(lexicon, engine.tables)
        anatomy = lexicon.anatomy
        self._ranges: dict[str, list[tuple[str, float, float]]] = {}
        for share in anatomy.muscle_shares + anatomy.sensory_shares:
            self._ranges.setdefault(share.target, []).append((share.root, share.low, share.high))
        self._paths: dict[tuple[str, str], list[tuple[int, float]]] = {}
        for at, path in enumerate(anatomy.paths):
            key = (path.target, path.root)
            self._paths.setdefault(key, []).append((at, path.weight))

    def _surviving(self, target: str, kept: Floats) -> float:
        """What survives of a target, with shares drawn evenly from their ranges."""
        drawn = [(r, self._chance.uniform(low, high)) for r, low, high in self._ranges[target]]
        total = sum(share for _, share in drawn)
        first = second = 0.0
        for root, share in drawn:
            for at, weight in self._paths[target, root]:
                part = share / total * weight
                first += part * kept[at]
                second += part * kept[at] ** 2
        uneven = float(self._engine.tables.model["extent"]["unevenness"])
        return self._about(first, (first - second) * uneven)

    def _about(self, mean: float, variance: float) -> float:
        if variance <= 1e-9 or not 0 < mean < 1:
            return min(max(mean, 0.0), 1.0)
        size = mean * (1 - mean) / variance - 1
        return float(self._chance.beta(mean * size, (1 - mean) * size))

    def _limited(self, row: int, target: str) -> float:
        """What a weakness that is no lesion leaves of a target."""
        mean = float(self._engine.forward.means[row, self._engine.forward.column[target]])
        uneven = float(self._engine.tables.model["non_neurological"]["giving_way"])
        return self._about(mean, mean * (1 - mean) * uneven)

    def _score(self, model: dict[str, list[float]], surviving: float, cuts: Sequence[float]) -> int:
        place = np.interp(surviving, model["surviving"], model["position"])
        noise = float(np.interp(surviving, model["surviving"], model["spread"]))
        return int(
            np.searchsorted(cuts, place + self._noise * noise * self._chance.standard_normal())
        )

    def _misread(self, chances: Floats) -> int:
        """An index drawn from chances as the misreading bends them; doubled up to even odds."""
        if not self._broken:
            return int(self._chance.choice(len(chances), p=chances / chances.sum()))
        if self._misreading == "halved_log_odds":
            weights = np.sqrt(np.maximum(chances, 0))
            return int(self._chance.choice(len(weights), p=weights / weights.sum()))
        best = int(np.argmax(chances))
        rest = 1 - float(chances[best])
        share = min(NOISE * rest, max(rest, 0.5))
        weights = chances * share / max(rest, 1e-300)
        weights[best] = 1 - share
        return int(self._chance.choice(len(weights), p=weights))

    def _chances(
        self, observed: Observation, table: RowTable, row: int, cache: dict[str, float]
    ) -> Floats:
        """Chances of the values; findings that hang on one hidden fact share it."""
        fact = self._reader.hidden_fact(observed)
        if not fact or table.chance is None:
            return np.asarray(table.at(np.array([row]))[0])
        if fact not in cache:
            cache[fact] = float(self._chance.random() < table.chance[row])
        return np.asarray(table.cells[0] if cache[fact] else table.cells[1])

    def _value(self, observed: Observation, row: int, cache: dict[str, float], kept: Floats) -> str:
        reader = self._reader
        table = reader.row_table(observed)
        if table is None:
            return ""
        if self._broken and self._chance.random() < WRONG:
            return str(self._chance.choice(table.values))
        name, kind, values = reader.about(observed.item, observed.scale, observed.value)
        model = self._engine.tables.model
        lower = self._engine.hypotheses.configurations[row].mode == LOWER
        if kind not in {"power", "ten"}:
            return table.values[self._misread(self._chances(observed, table, row, cache))]
        prefix, target = (MOTOR if name.startswith(MOTOR) else SKIN), name.partition(":")[2]
        surviving = 0.0 if lower else self._limited(row, name)
        parts = self._whole.get(target, {target: 1.0}) if lower else {}
        for part, weight in parts.items():
            key = prefix + part
            if key not in cache:
                cache[key] = self._surviving(part, kept)
            surviving += weight * cache[key]
        if kind == "power":
            return values[self._score(model["power"], surviving, model["power"]["boundaries"])]
        scale = model["sensation"]
        cuts = [scale["absent_below"], *[n + 0.5 for n in range(1, 9)], scale["normal_above"]]
        return TEN[self._score(scale, surviving, cuts)]

    def draw(self, items: Sequence[str], missing: float | None = None) -> Drawn:
        """One examination of the given items, `missing` of them left out (30 in 100)."""
        if missing is None:
            missing = MISSING if self._broken else 0.0
        row = int(self._chance.choice(len(self._weights), p=self._weights))
        lost = self._engine.forward.lost[row]
        passed = 1 - self._engine.graph.through * lost[None, :]
        kept = passed.prod(axis=1)
        cache: dict[str, float] = {}
        found = []
        for item in items:
            if self._chance.random() < missing:
                continue
            value = self._value(probe(item), row, cache, kept)
            if value:
                found.append(Observation(observation_id=item, item=item, side="right", value=value))
        return Drawn(row, found)
