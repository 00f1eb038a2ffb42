"""Everything that is computed once for a lexicon: graph, hypotheses, predictions, tables."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.likelihoods import (
    Likelihoods,
    check_likelihoods,
    read_likelihoods,
)
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.cache import cached_forward
from dictate2exam.localise.evidence import EvidenceReader
from dictate2exam.localise.forward import Forward, build_forward
from dictate2exam.localise.graph import ROOTS, Graph, build_graph
from dictate2exam.localise.hypotheses import Hypotheses, SiteKey, enumerate_hypotheses, group_of
from dictate2exam.localise.likelihood import Factor
from dictate2exam.localise.signs import Signs

Floats = npt.NDArray[np.float64]
# Levels above the clavicle and behind the ganglion.
BEHIND = ("spinal_nerve_postganglionic", "ventral_ramus", "trunk")
_BUILT: dict[tuple[str, str], "Engine"] = {}


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
    setting: str

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
    def involved(self) -> Floats:
        """One where a configuration (row) lesions a segment (column)."""
        return np.asarray((self.forward.lost > 0).astype(np.float64))

    @cached_property
    def root_states(self) -> dict[str, Floats]:
        """Configurations by (involved, torn before the ganglion, wholly lost), for each root.

        A root is involved where its fibres are lesioned above the clavicle.
        """
        made = {}
        for root in ROOTS:
            before = self.forward.lost[:, self.graph.at(f"{root.lower()}_preganglionic")]
            behind = [
                at
                for at, name in enumerate(self.graph.segments)
                if self.graph.levels[name] in BEHIND and root in self.graph.fibres[name]
            ]
            worst = np.maximum(before, self.forward.lost[:, behind].max(axis=1))
            states = np.stack([worst > 0, before > 0, worst == 1.0], axis=1)
            made[root] = states.astype(np.float64)
        return made

    @cached_property
    def groups(self) -> tuple[npt.NDArray[np.int64], tuple[tuple[str, ...], ...]]:
        """The group of each site, and what each group hits: roots, or nerves, or the site's id."""
        known: dict[tuple[str, ...], int] = {}
        numbers = []
        for site in self.sites:
            hit = group_of(site, self.graph) or (site.site_id,)
            numbers.append(known.setdefault(hit, len(known)))
        return np.array(numbers), tuple(known)

    @cached_property
    def groups_with_trunk(self) -> frozenset[int]:
        """The numbers of the groups that a trunk is in."""
        numbers, _ = self.groups
        return frozenset(
            int(n) for n, site in zip(numbers, self.sites, strict=True) if "trunk" in site.site_id
        )

    def log_weights(self, factors: list[Factor]) -> Floats:
        """Log of prior times likelihood of each row (not normalised)."""
        total: Floats = self.forward.log_prior.copy()
        for factor in factors:
            total += factor.log(self.forward, None)
        return total

    def by_site(self, rows: Floats) -> Floats:
        """Sums of row probabilities over each site."""
        sums = np.bincount(self.forward.site_of, weights=rows, minlength=len(self.sites))
        return np.asarray(sums, dtype=np.float64)


def normalised(log_weights: Floats) -> Floats:
    """Probabilities from logs of weights."""
    raised = np.exp(log_weights - log_weights.max())
    return np.asarray(raised / raised.sum())


def build_engine(
    lexicon: Lexicon,
    tables: Likelihoods | None = None,
    setting: str = "mixed",
    keep: bool = False,
) -> Engine:
    """The model of a lexicon, or of the same anatomy with other tables; `setting` names its priors.

    With `keep` the predictions are taken from the user's cache folder, or left there.

    Raises LexiconError for a broken anatomy or for tables with dangling names.
    """
    if tables is None:
        problems = check_likelihoods(lexicon.folder, lexicon.anatomy, lexicon.sources)
        if problems:
            raise LexiconError(problems[0])
        tables = read_likelihoods(lexicon.folder)
    graph = build_graph(lexicon.anatomy, tables)
    hypotheses = enumerate_hypotheses(tables, graph)
    forward = (
        cached_forward(lexicon, tables, lambda: build_forward(lexicon, tables, graph, hypotheses))
        if keep
        else build_forward(lexicon, tables, graph, hypotheses)
    )
    signs = Signs(tables, graph, forward)
    return Engine(
        tables=tables,
        graph=graph,
        hypotheses=hypotheses,
        forward=forward,
        signs=signs,
        reader=EvidenceReader(tables, forward, signs),
        labels={s.segment_id: s.label for s in lexicon.anatomy.segments},
        setting=setting,
    )


def engine_for(lexicon: Lexicon, setting: str = "mixed") -> Engine:
    """The model of a lexicon for who is examined, built on first use in this process."""
    key = (lexicon.hash, setting)
    if key not in _BUILT:
        plain = _BUILT.get((lexicon.hash, "mixed")) or build_engine(lexicon, keep=True)
        _BUILT[lexicon.hash, "mixed"] = plain
        if setting != "mixed":
            _BUILT[key] = build_engine(
                lexicon, plain.tables.in_setting(setting), setting, keep=True
            )
    return _BUILT[key]
