"""Word-sequence models: Witten-Bell estimates, mixing with a background, ARPA files."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

START, END = "<s>", "</s>"
NEVER = -99.0  # log10 of what is never predicted (the start mark), by custom of the ARPA format
SMALLEST = 1e-9

Gram = tuple[str, ...]


@dataclass
class NGrams:
    """A back-off model: probabilities of n-grams, and the weight with which each context backs off.

    `probability[n-1]` maps n-grams to P(last word | words before); `backoff` maps contexts.
    """

    probability: list[dict[Gram, float]]
    backoff: dict[Gram, float] = field(default_factory=dict)

    @property
    def order(self) -> int:
        """Length of the longest n-gram."""
        return len(self.probability)

    @property
    def words(self) -> list[str]:
        """The vocabulary with the end mark, without the start mark, in order."""
        return sorted(gram[0] for gram in self.probability[0] if gram[0] != START)

    def of(self, word: str, context: Gram = ()) -> float:
        """P(word | context), backing off as far as needed; 0 for a word outside the vocabulary."""
        gram = (*context, word)[-self.order :]
        weight = 1.0
        while len(gram) > 1:
            found = self.probability[len(gram) - 1].get(gram)
            if found is not None:
                return weight * found
            weight *= self.backoff.get(gram[:-1], 1.0)
            gram = gram[1:]
        return weight * self.probability[0].get(gram, 0.0)

    def log_probability(self, sentence: str) -> float:
        """Natural log of a sentence with its end; words outside the vocabulary count as 1e-9."""
        context: Gram = (START,)
        total = 0.0
        for word in [*sentence.split(), END]:
            total += math.log(max(self.of(word, context), SMALLEST))
            context = (*context, word)[-(self.order - 1) :]
        return total


def witten_bell(sentences: Iterable[str], order: int = 3, extra: Iterable[str] = ()) -> NGrams:
    """An interpolated Witten-Bell model of sentences of words parted by spaces.

    `extra` words enter the vocabulary even if no sentence has them.
    """
    counts: list[Counter[Gram]] = [Counter() for _ in range(order)]
    for sentence in sentences:
        words = [START, *sentence.split(), END]
        for length in range(1, order + 1):
            first = 1 if length == 1 else 0  # the start mark is never predicted
            counts[length - 1].update(
                zip(*(words[first + shift :] for shift in range(length)), strict=False)
            )
    vocabulary = {gram[0] for gram in counts[0]} | set(extra)
    tokens, types = sum(counts[0].values()), len(counts[0])
    uniform = 1.0 / len(vocabulary)
    share = types / (tokens + types)
    unigrams: dict[Gram, float] = {
        (word,): (1 - share) * counts[0][(word,)] / max(tokens, 1) + share * uniform
        for word in vocabulary
    }
    model = NGrams(probability=[unigrams], backoff={})
    for length in range(2, order + 1):
        seen: Counter[Gram] = Counter()
        followers: Counter[Gram] = Counter()
        for gram, count in counts[length - 1].items():
            seen[gram[:-1]] += count
            followers[gram[:-1]] += 1
        level: dict[Gram, float] = {}
        lower = model.probability[-1]
        for gram, count in counts[length - 1].items():
            context = gram[:-1]
            level[gram] = (count + followers[context] * lower[gram[1:]]) / (
                seen[context] + followers[context]
            )
        model.probability.append(level)
        for context, total in seen.items():
            model.backoff[context] = followers[context] / (total + followers[context])
    return model


def _of(model: NGrams, gram: Gram) -> float:
    """P(last word | words before), found at once where the model has the n-gram."""
    if len(gram) <= len(model.probability):
        found = model.probability[len(gram) - 1].get(gram)
        if found is not None:
            return found
    return model.of(gram[-1], gram[:-1])


def mix(domain: NGrams, background: NGrams, share: float) -> NGrams:
    """`share` of the background and the rest of the domain, over both vocabularies.

    Every n-gram that either has gets the exact mixture; the back-off weights are worked out anew,
    so that each context still sums to one.
    """
    unigrams = {
        gram: (1 - share) * domain.probability[0].get(gram, 0.0)
        + share * background.probability[0].get(gram, 0.0)
        for gram in set(domain.probability[0]) | set(background.probability[0])
    }
    total = sum(unigrams.values())
    made = NGrams(probability=[{gram: p / total for gram, p in unigrams.items()}], backoff={})
    for length in range(2, domain.order + 1):
        grams = set(domain.probability[length - 1])
        if length <= background.order:
            grams |= set(background.probability[length - 1])
        level = {
            gram: (1 - share) * _of(domain, gram) + share * _of(background, gram) for gram in grams
        }
        made.probability.append(level)
        made.backoff.update(_backoff(level, made))
    return made


def _backoff(level: dict[Gram, float], made: NGrams) -> dict[Gram, float]:
    here: defaultdict[Gram, float] = defaultdict(float)
    below: defaultdict[Gram, float] = defaultdict(float)
    for gram, probability in level.items():
        here[gram[:-1]] += probability
        below[gram[:-1]] += _of(made, gram[1:])
    scale: dict[Gram, float] = {}
    for context, used in here.items():
        if used >= 1 - SMALLEST:  # rounding: leave a crumb for what was not seen
            for gram in [g for g in level if g[:-1] == context]:
                level[gram] *= (1 - 1e-6) / used
            used = 1 - 1e-6
        scale[context] = (1 - used) / max(1 - below[context], SMALLEST)
    return scale


def write_arpa(model: NGrams, path: Path) -> None:
    """Writes the model in ARPA format, log10, sorted."""
    lines = ["\\data\\"]
    first = dict(model.probability[0])
    first.setdefault((START,), 0.0)
    levels = [first, *model.probability[1:]]
    lines += [f"ngram {length}={len(level)}" for length, level in enumerate(levels, start=1)]
    for length, level in enumerate(levels, start=1):
        lines.append(f"\n\\{length}-grams:")
        backoff = model.backoff if length < len(levels) else {}
        for gram in sorted(level):
            probability = level[gram]
            log = math.log10(probability) if probability > 0 else NEVER
            line = f"{log:.4f} {' '.join(gram)}"
            behind = backoff.get(gram)
            if behind is not None:
                line += f" {math.log10(max(behind, SMALLEST)):.4f}"
            lines.append(line)
    lines.append("\n\\end\\\n")
    path.write_text("\n".join(lines), encoding="utf-8")
