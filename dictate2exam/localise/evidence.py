"""Turns observations into factors: which target or sign each is about, and how likely its value."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from dictate2exam.errors import InputError
from dictate2exam.findings.model import MRC_GRADES
from dictate2exam.lexicon.likelihoods import Likelihoods
from dictate2exam.localise import tables
from dictate2exam.localise.cells import CELLS, MODES
from dictate2exam.localise.forward import MOTOR, POTENTIAL, SKIN, Forward
from dictate2exam.localise.likelihood import MASSES, Factor, Hidden, Rowwise, Target, spread_over
from dictate2exam.localise.model import Observation
from dictate2exam.localise.signs import Signs

Floats = npt.NDArray[np.float64]
SILENT = {"not_tested", "uncertain", "not_seen", ""}
IMAGES = ("intact", "avulsed", "pseudomeningocele")
# A hedged grade is the one named this often, else a neighbour (judgement).
HEDGED = 0.6
UNITS = {"d": 1.0, "w": 7.0, "m": 30.4, "y": 365.0}
# Kinds of table that the interval since injury changes.
SLOW = {"wasting", "needle", "conduction"}
# Kinds of item that say nothing about the site.
NO_INFORMATION = {"context", "range", "pulse"}


@dataclass(frozen=True)
class RowTable:
    """Probability of each value in each row.

    `cells` has a line for each bin of `bins`; or two lines, for a fact that holds with `chance` in
    each row and for one that does not; or a line for each row.
    """

    values: tuple[str, ...]
    cells: Floats
    bins: npt.NDArray[np.int64] | None = None
    chance: Floats | None = None

    def at(self, rows: npt.NDArray[np.int64]) -> Floats:
        """Rows by values."""
        if self.bins is not None:
            return np.asarray(self.cells[self.bins[rows]])
        if self.chance is not None:
            holds = self.chance[rows][:, None]
            return np.asarray(holds * self.cells[0] + (1 - holds) * self.cells[1])
        return np.asarray(self.cells[rows])

    def best(self, value: str) -> float:
        """The largest probability that any state of affairs gives the value."""
        column = self.cells[:, self.values.index(value)]
        if self.chance is None:
            return float(column.max())
        extremes = np.array([self.chance.min(), self.chance.max()])
        return float((extremes * column[0] + (1 - extremes) * column[1]).max())


class EvidenceReader:
    """Reads observations against the tables; tables are made once for each interval."""

    def __init__(self, likelihoods: Likelihoods, forward: Forward, signs: Signs) -> None:
        self._model, self._forward, self._signs = likelihoods.model, forward, signs
        self._tables: dict[tuple[str, float | None], Floats] = {}
        self._looked_up: dict[tuple[str, float | None], Floats] = {}

    def table(self, kind: str, interval: float | None = None) -> Floats:
        """The table of one kind of finding (cells by values)."""
        key = (kind, interval)
        if key not in self._tables:
            self._tables[key] = self._make(kind, interval)
        return self._tables[key]

    def _make(self, kind: str, interval: float | None) -> Floats:
        model = self._model
        if kind in {"power", "limited"}:
            return tables.power(model["power"], kind == "limited")
        if kind in {"ten", "isncsci", "words"}:
            return tables.sensation(model["sensation"], kind)
        if kind == "contraction":
            return tables.contraction(model["contraction"])
        if kind == "reflex":
            return tables.reflex(model["reflex"])
        slow = {"wasting": tables.wasting, "needle": tables.needle, "conduction": tables.conduction}
        return slow[kind](model[kind], interval)

    def about(
        self, item: str, scale: str = "", value: str = ""
    ) -> tuple[str, str, tuple[str, ...]]:
        """Target column name, table kind and values of an item; the name is empty when no target.

        A sensation's values depend on its scale, or on the value where no scale is given.
        """
        kind, _, name = item.partition(".")
        if kind == "sensation":
            skin = SKIN + (
                name if SKIN + name in self._forward.column else f"dermatome_{name}_point"
            )
            if scale == "isncsci" and value in tables.ISNCSCI:
                return skin, "isncsci", tables.ISNCSCI
            if value in tables.WORDS:
                return skin, "words", tables.WORDS
            return skin, "ten", tables.TEN
        reflexes: dict[str, str] = self._model["reflex"]["targets"]
        potentials: dict[str, str] = self._model["conduction"]["targets"]
        if kind == "reflex" and name in reflexes:
            return MOTOR + reflexes[name], "reflex", tables.REFLEXES
        if kind == "conduction":
            return POTENTIAL + potentials[name], "conduction", tables.POTENTIALS
        if MOTOR + name not in self._forward.column:
            return "", "", ()
        values = {
            "power": MRC_GRADES,
            "contraction": tables.PRESENCE,
            "wasting": tables.PRESENCE,
            "needle": tables.NEEDLE,
        }
        return (MOTOR + name, kind, values[kind]) if kind in values else ("", "", ())

    def _sign(self, item: str, observed: Observation, interval: float | None) -> Floats | None:
        """Probability of a present (or otherwise positive) finding in each row."""
        kind, _, name = item.partition(".")
        if name.startswith("percussion."):
            place = name.removeprefix("percussion.")
            return self._signs.percussion(place) if place in self._signs.places else None
        if kind == "needle" and name.startswith("paraspinal_"):
            share = tables.due(self._model["needle"], interval)
            return self._signs.paraspinal(name.removeprefix("paraspinal_"), share)
        pattern = f"{item}.{observed.detail.get('pattern', '')}"
        if observed.value == "present" and pattern in self._signs.items:
            return self._signs.present(pattern)
        return self._signs.present(item) if item in self._signs.items else None

    def _rowwise(
        self, number: int, observed: Observation, interval: float | None
    ) -> Rowwise | None:
        item = observed.item
        kind, _, name = item.partition(".")
        if kind == "imaging":
            weights = _weights(observed, IMAGES)
            return Rowwise(number, self._signs.imaging(name.upper()) @ weights)
        chance = self._sign(item, observed, interval)
        if chance is None:
            return None
        values: tuple[str, ...] = tables.NEEDLE if kind == "needle" else tables.PRESENCE
        weights = _weights(observed, values)
        probability = chance * weights[0] + (1 - chance) * weights[1]
        if observed.value == "present" and item == "sign.percussion.supraclavicular":
            towards = self._signs.radiation(observed.detail.get("radiates_to", ""))
            probability = probability if towards is None else probability * towards
        return Rowwise(number, probability)

    def _hidden(self, observed: Observation) -> tuple[str, float, float] | None:
        """Name of the hidden fact, and the finding's probability with and without it."""
        kind, _, name = observed.item.partition(".")
        horner, cord = self._model["horner"], self._model["cord"]
        for fact, so, otherwise in (
            ("horner", horner["if_interrupted"], horner["otherwise"]),
            ("cord", cord["if_injured"], cord["otherwise_signs"]),
        ):
            key = f"{name}_brisk" if kind == "reflex" else name
            if kind in {"sign", "reflex"} and key in so:
                reserve = float(self._model["signs"]["reserve"])
                given = tables.bent_yes(np.array([so[key], otherwise[key]]), reserve)
                if_so, if_not = (float(chance) for chance in given)
                values = tables.REFLEXES if kind == "reflex" else tables.PRESENCE
                weights = _weights(observed, values)
                positive = "brisk" if kind == "reflex" else "present"
                sure = float(weights[values.index(positive)])
                return (
                    fact,
                    sure * if_so + (1 - sure) * (1 - if_so),
                    sure * if_not + (1 - sure) * (1 - if_not),
                )
        return None

    def hidden_fact(self, observed: Observation) -> str:
        """The hidden fact that a finding hangs on with others; empty where there is none."""
        fact = self._hidden(observed)
        return fact[0] if fact else ""

    def row_table(self, observed: Observation, interval: float | None = None) -> "RowTable | None":
        """Probability of each value of an item in any rows; None where the item says nothing.

        `interval` is in days since injury.
        """
        kind, _, name = observed.item.partition(".")
        if kind in NO_INFORMATION or observed.value in SILENT:
            return None
        fact = self._hidden(observed)
        if fact:
            chance = self._signs.interrupted if fact[0] == "horner" else self._signs.cord
            positive = observed.model_copy(
                update={
                    "value": "brisk" if kind == "reflex" else "present",
                    "confidence": 1.0,
                    "detail": {},
                }
            )
            _, if_so, if_not = self._hidden(positive) or ("", 0.0, 0.0)
            values: tuple[str, ...] = ("brisk", "normal") if kind == "reflex" else tables.PRESENCE
            cells = np.array([[if_so, 1 - if_so], [if_not, 1 - if_not]])
            return RowTable(values, cells, chance=chance)
        column, table, named = self.about(observed.item, observed.scale, observed.value)
        if column:
            bins = self._forward.by_mode[self._forward.column[column]]
            slow = interval if table in SLOW else None
            return RowTable(named, self._by_bin(table, slow), bins=bins)
        if kind == "imaging":
            return RowTable(IMAGES, self._signs.imaging(name.upper()))
        sign = self._sign(observed.item, observed, interval)
        if sign is None:
            return None
        values = tables.NEEDLE if kind == "needle" else tables.PRESENCE
        return RowTable(values, np.array([[1.0, 0.0], [0.0, 1.0]]), chance=sign)

    def _by_bin(self, table: str, interval: float | None) -> Floats:
        """Probability of each value for each bin of each mode."""
        key = (table, interval)
        if key not in self._looked_up:
            cells = self.table(table, interval)
            masses = MASSES @ cells.reshape(MODES, len(CELLS), -1)
            self._looked_up[key] = masses.reshape(-1, cells.shape[1])
        return self._looked_up[key]

    def factors(self, observations: Sequence[Observation]) -> list[Factor]:
        """Factors of all observations; those that say nothing make none."""
        interval = interval_of(observations)
        targets: dict[str, Target] = {}
        hidden: dict[str, Hidden] = {}
        made: list[Factor] = []
        for number, observed in enumerate(observations):
            kind = observed.item.partition(".")[0]
            if observed.value in SILENT or kind in NO_INFORMATION:
                continue
            fact = self._hidden(observed)
            if fact:
                chance = self._signs.interrupted if fact[0] == "horner" else self._signs.cord
                hidden.setdefault(fact[0], Hidden(chance)).parts.append((number, *fact[1:]))
                continue
            name, table, values = self.about(observed.item, observed.scale, observed.value)
            if not name:
                rowwise = self._rowwise(number, observed, interval)
                if rowwise:
                    made.append(rowwise)
                continue
            weights = _weights(observed, values)
            limited = table == "power" and observed.detail.get("limited_by")
            slow = interval if table in SLOW else None
            cells = self.table("limited" if limited else table, slow) @ weights
            column = self._forward.column[name]
            targets.setdefault(name, Target(column)).parts.append((number, cells))
        return [*targets.values(), *hidden.values(), *made]


def _known(observed: Observation, values: tuple[str, ...]) -> str:
    if observed.value not in values:
        raise InputError(
            f"{observed.item}: the value {observed.value!r} is none of {', '.join(values)}; "
            f"correct it in the table or record."
        )
    return observed.value


def _weights(observed: Observation, values: tuple[str, ...]) -> Floats:
    """The finding as a distribution over its values."""
    hedged = observed.detail.get("hedged", "") not in {"", "no", "false"}
    sure = HEDGED if hedged else 1.0
    return spread_over(_known(observed, values), values, observed.confidence, sure)


def interval_of(observations: Sequence[Observation]) -> float | None:
    """Days since injury, where a finding says so."""
    for observed in observations:
        if observed.item == "context.interval_days":
            return days_in(observed.value)
    return None


def days_in(text: str) -> float | None:
    """Days out of "21", "21 days", "3 weeks" or "4 months"; None where no number stands."""
    found = re.search(r"(\d+(?:\.\d+)?)\s*([a-z]?)", text.lower())
    return float(found[1]) * UNITS.get(found[2], 1.0) if found else None
