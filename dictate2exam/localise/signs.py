"""Probability of a sign in every row: signs of weakness, percussion, root and cord signs.

A sign has a baseline and independent causes (noisy or); a cause works in full when its target is
wholly lost or its segment wholly lesioned.
"""

from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.likelihoods import Likelihoods, SignCause
from dictate2exam.localise.cells import PAIN, UPPER
from dictate2exam.localise.forward import MOTOR, Forward
from dictate2exam.localise.graph import OUTFLOW, ROOTS, SUPRACLAVICULAR, Graph
from dictate2exam.localise.tables import bent_yes

Floats = npt.NDArray[np.float64]


class Signs:
    """Row-wise probabilities, each computed once on first use."""

    def __init__(self, tables: Likelihoods, graph: Graph, forward: Forward) -> None:
        self._tables, self._graph, self._forward = tables, graph, forward
        self._made: dict[str, Floats] = {}
        self._reserve = float(tables.model["signs"]["reserve"])
        self._on_images = set(tables.model["signs"]["on_images"])
        self.items = {cause.item for cause in tables.signs}
        self.places = {cause.place for cause in tables.percussion}

    @cached_property
    def _mode_factor(self) -> Floats:
        model = self._tables.model["signs"]
        factors = np.ones(len(self._forward.modes))
        factors[self._forward.modes == UPPER] = float(model["central_factor"])
        factors[self._forward.modes == PAIN] = float(model["pain_factor"])
        return factors

    def _rows(self, by_configuration: Floats) -> Floats:
        return by_configuration[self._forward.configuration]

    def _worst(self, segments: set[str]) -> Floats:
        columns = [at for at, name in enumerate(self._graph.segments) if name in segments]
        return self._rows(self._forward.lost[:, columns].max(axis=1))

    def _loss(self, target: str) -> Floats:
        return 1 - self._forward.means[:, self._forward.column[MOTOR + target]]

    def _weight(self, cause: SignCause) -> Floats:
        """How fully a cause works in each row (0 to 1)."""
        kind, *names = cause.cause
        model = self._tables.model["signs"]
        if kind in {"loss", "both", "movement"}:
            loss = np.ones(len(self._forward.modes))
            for name in names:
                loss = loss * self._loss(name)
            bent: Floats = loss ** float(model["steepness"]) * self._mode_factor
            return bent
        if kind == "hemi":
            gained = np.minimum(1, self._loss(names[0]) * float(model["phrenic_gain"]))
            return np.asarray(gained * self._mode_factor)
        if kind == "pre":
            chosen = {"any": ROOTS, "upper": ROOTS[:3], "lower": ROOTS[2:]}[names[0]]
            return self._worst({f"{root.lower()}_preganglionic" for root in chosen})
        levels = self._graph.levels
        if names == ["supraclavicular"]:
            return self._worst({name for name in levels if levels[name] in SUPRACLAVICULAR})
        return self._worst(set(levels))

    def present(self, item: str) -> Floats:
        """Probability that a sign of signs.csv is present."""
        if item not in self._made:
            clear = np.ones(len(self._forward.modes))
            for cause in (c for c in self._tables.signs if c.item == item):
                base = cause.baseline
                clear = clear * (1 - cause.probability * self._weight(cause))
            self._made[item] = 1 - (1 - base) * clear
            if item not in self._on_images:
                self._made[item] = bent_yes(self._made[item], self._reserve)
        return self._made[item]

    def percussion(self, place: str) -> Floats:
        """Probability that percussing a place is positive."""
        key = f"percussion.{place}"
        if key not in self._made:
            clear = np.ones(len(self._forward.lost))
            for cause in (c for c in self._tables.percussion if c.place == place):
                base = cause.baseline
                lost = self._forward.lost[:, self._graph.at(cause.segment)]
                reach = np.where(lost > 0, 0.5 + 0.5 * lost, 0)
                clear = clear * (1 - cause.probability * reach)
            self._made[key] = self._rows(bent_yes(1 - (1 - base) * clear, self._reserve))
        return self._made[key]

    @cached_property
    def _behind(self) -> dict[str, Floats]:
        """Worst loss of each root's fibres behind the ganglion and above the clavicle."""
        levels, fibres = self._graph.levels, self._graph.fibres
        wanted = SUPRACLAVICULAR - {"preganglionic"}
        return {
            root: self._worst({s for s in levels if levels[s] in wanted and root in fibres[s]})
            for root in ROOTS
        }

    def radiation(self, words: str) -> Floats | None:
        """Probability that a supraclavicular sign radiates to these words; None when unknown."""
        model = self._tables.model["radiation"]
        text = words.lower()
        hits = [r for r in ROOTS if any(word in text for word in model["words"][r])]
        if not hits:
            return None
        miss, hit = float(model["miss"]), float(model["hit"])
        weights = {root: miss + hit * self._behind[root] for root in ROOTS}
        total = sum(weights.values())
        return np.asarray(sum(weights[root] for root in hits) / total)

    def before(self, root: str) -> Floats:
        """Loss of a root before its ganglion."""
        return self._worst({f"{root.lower()}_preganglionic"})

    def imaging(self, root: str) -> Floats:
        """Rows by (intact, avulsed, pseudomeningocele)."""
        model = self._tables.model["imaging"]
        before = self.before(root) > 0
        behind = (self._behind[root] > 0) & ~before
        state = np.where(before, 0, np.where(behind, 1, 2))
        avulsed = np.array(model["avulsed"])[state]
        outpouching = np.array(model["pseudomeningocele"])[state]
        return np.stack([1 - avulsed - outpouching, avulsed, outpouching], axis=1)

    def paraspinal(self, root: str, due: float) -> Floats:
        """Probability that the paraspinal muscles of a root are denervated."""
        model = self._tables.model["needle"]
        near = self._worst({f"{root.lower()}_preganglionic", f"{root.lower()}_spinal_nerve"})
        base, full = float(model["paraspinal_other"]), float(model["paraspinal_proximal"])
        return base + due * (full - base) * near

    @cached_property
    def interrupted(self) -> Floats:
        """Probability that the sympathetic outflow to the eye is interrupted."""
        model: dict[str, Any] = self._tables.model["horner"]["interruption"]
        loss = 1 - self._forward.means[:, self._forward.column[OUTFLOW]]
        main = max(self._tables.model["horner"]["outflow"].values())
        base, full = float(model["base"]), float(model["complete"])
        chance = base + (full - base) * np.minimum(1, loss / main)
        central = self._forward.modes == UPPER
        return np.where(central, float(model["central"]), chance)

    @cached_property
    def cord(self) -> Floats:
        """Probability that the cord is injured."""
        model = self._tables.model["cord"]
        base, torn = float(model["otherwise"]), float(model["if_preganglionic"])
        roots = np.zeros(len(self._forward.modes))
        for root in ROOTS:
            roots = roots + self.before(root)
        chance = np.where(self._forward.modes == UPPER, float(model["if_central"]), base)
        return np.asarray(chance + torn * roots)
