"""Everything that is computed once for a lexicon: graph, hypotheses, predictions, tables."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.likelihoods import Likelihoods, read_likelihoods
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.evidence import EvidenceReader
from dictate2exam.localise.forward import Forward, build_forward
from dictate2exam.localise.graph import Graph, build_graph
from dictate2exam.localise.hypotheses import Hypotheses, SiteKey, enumerate_hypotheses
from dictate2exam.localise.likelihood import Factor
from dictate2exam.localise.model import Observation
from dictate2exam.localise.signs import Signs

Floats = npt.NDArray[np.float64]
_BUILT: dict[str, "Engine"] = {}


@dataclass(frozen=True)
class Engine:
    """The model of one lexicon; build it with `engine_for`."""

    tables: Likelihoods
    graph: Graph
    hypotheses: Hypotheses
    forward: Forward
    signs: Signs
    reader: EvidenceReader
    labels: dict[str, str]

    @property
    def sites(self) -> list[SiteKey]:
        """All sites, by number."""
        return self.hypotheses.sites

    @cached_property
    def by_site_configurations(self) -> list[list[int]]:
        """The configurations of each site."""
        made: list[list[int]] = [[] for _ in self.sites]
        for at, configuration in enumerate(self.hypotheses.configurations):
            made[configuration.site].append(at)
        return made

    @cached_property
    def site_prior(self) -> Floats:
        """Probability of each site before any finding."""
        return self.by_site(np.exp(self.forward.log_prior))

    def log_weights(self, factors: list[Factor]) -> Floats:
        """Log of prior times likelihood of each row (not normalised)."""
        total = self.forward.log_prior.copy()
        for factor in factors:
            total += factor.log(self.forward, None)
        return total

    def by_site(self, rows: Floats) -> Floats:
        """Sums of row probabilities over each site."""
        return np.bincount(self.forward.site_of, weights=rows, minlength=len(self.sites))


    def predict(
        self, observed: Observation, rows: npt.NDArray[np.int64], weights: Floats
    ) -> tuple[tuple[str, ...], Floats] | None:
        """Values of an observation's item with their chances over weighted rows; None if silent."""
        table = self.reader.row_table(observed)
        if table is None:
            return None
        values, chances = table
        return values, np.asarray(weights @ chances(rows))


def normalised(log_weights: Floats) -> Floats:
    """Probabilities from logs of weights."""
    raised = np.exp(log_weights - log_weights.max())
    return np.asarray(raised / raised.sum())


def build_engine(lexicon: Lexicon, tables: Likelihoods | None = None) -> Engine:
    """The model of a lexicon, or of the same anatomy with other tables."""
    tables = tables or read_likelihoods(lexicon.folder)
    graph = build_graph(lexicon.anatomy, tables)
    hypotheses = enumerate_hypotheses(tables, graph)
    forward = build_forward(lexicon, tables, graph, hypotheses)
    signs = Signs(tables, graph, forward)
    return Engine(
        tables=tables,
        graph=graph,
        hypotheses=hypotheses,
        forward=forward,
        signs=signs,
        reader=EvidenceReader(tables, forward, signs),
        labels={s.segment_id: s.label for s in lexicon.anatomy.segments},
    )


def engine_for(lexicon: Lexicon) -> Engine:
    """The model of a lexicon, built on first use in this process."""
    if lexicon.hash not in _BUILT:
        _BUILT[lexicon.hash] = build_engine(lexicon)
    return _BUILT[lexicon.hash]
