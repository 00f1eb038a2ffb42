"""Puts the listeners' readings side by side and says how sure each word is.

The words stay those of the domain listener; the others vote by sound, since a free listener
spells terms as it likes. A word's probability is a logistic sum whose weights stand in the lexicon.
"""

import math
from collections.abc import Sequence

from dictate2exam.lexicon.hearing import ConfidenceWeights
from dictate2exam.speech.model import Reading, Word
from dictate2exam.speech.pronounce import Pronouncer
from dictate2exam.units import Probability

GAP_COST = 0.8
ALIKE_COST = 0.4
LOUD_ENOUGH_DB = 20.0
CLASSES = (
    ("P", "B", "T", "D", "K", "G"),
    ("CH", "JH", "SH", "ZH"),
    ("F", "V", "TH", "DH", "S", "Z", "HH"),
    ("M", "N", "NG"),
    ("L", "R", "W", "Y"),
    ("IY", "IH", "EH", "EY", "AE"),
    ("AA", "AO", "AH", "ER", "AW", "AY"),
    ("UW", "UH", "OW", "OY"),
)
CLASS_OF = {sound: number for number, sounds in enumerate(CLASSES) for sound in sounds}


def sound_cost(one: str, other: str) -> float:
    """0 for the same sound letter, 0.4 within a broad class, else 1."""
    if one == other:
        return 0.0
    return ALIKE_COST if CLASS_OF[one] == CLASS_OF[other] else 1.0


# The same as a table: the alignment asks for it thousands of times an utterance.
COSTS = {one: {other: sound_cost(one, other) for other in CLASS_OF} for one in CLASS_OF}


def align(first: Sequence[str], second: Sequence[str]) -> list[float]:
    """For each sound of the first its cost (0 to 1) in the best alignment with the second.

    Sounds of the second that have no partner are charged to the sound of the first before them.
    """
    rows, columns = len(first), len(second)
    if not rows:
        return []
    table = [[column * GAP_COST for column in range(columns + 1)]]
    for row in range(1, rows + 1):
        above = table[-1]
        change = COSTS[first[row - 1]]
        left = row * GAP_COST
        line = [left]
        for other, beside, over in zip(second, above, above[1:], strict=False):
            best, over, left = beside + change[other], over + GAP_COST, left + GAP_COST
            if over < best:
                best = over
            if left < best:
                best = left
            left = best
            line.append(best)
        table.append(line)
    costs = [0.0] * rows
    row, column = rows, columns
    while row or column:
        here = table[row][column]
        if row and column:
            cost = COSTS[first[row - 1]][second[column - 1]]
            if abs(here - table[row - 1][column - 1] - cost) < 1e-9:
                costs[row - 1] += cost
                row, column = row - 1, column - 1
                continue
        if row and abs(here - table[row - 1][column] - GAP_COST) < 1e-9:
            costs[row - 1] += 1.0
            row -= 1
        else:
            costs[max(row - 1, 0)] += GAP_COST / 2
            column -= 1
    return [min(1.0, cost) for cost in costs]


def agreement(words: Sequence[Word], other: str, pronouncer: Pronouncer) -> list[float]:
    """How alike another reading sounds at the place of each word: 1 the same, 0 not at all."""
    spans: list[tuple[int, int]] = []
    sounds: list[str] = []
    for word in words:
        start = len(sounds)
        sounds += pronouncer.ways(word.text, both_sides=False)[0]
        spans.append((start, len(sounds)))
    heard = [s for word in other.split() for s in pronouncer.ways(word, both_sides=False)[0]]
    costs = align(sounds, heard)
    return [1 - sum(costs[start:end]) / (end - start) for start, end in spans]


def probability(
    posterior: Probability | None,
    agreements: Sequence[float],
    score: float | None,
    snr_db: float,
    weights: ConfidenceWeights,
) -> Probability:
    """How likely a word is right, given its posterior, the other readings, gate and noise."""
    best = max(agreements, default=0.5)
    mean = sum(agreements) / len(agreements) if agreements else 0.5
    total = (
        weights.constant
        + weights.posterior * (2 * (0.8 if posterior is None else posterior) - 1)
        + weights.best_agreement * (2 * best - 1)
        + weights.mean_agreement * (2 * mean - 1)
        + weights.gate * max(-1.0, min(2.0, 0.0 if score is None else score))
        + weights.noise * max(0.0, LOUD_ENOUGH_DB - snr_db)
    )
    return max(weights.lowest, min(weights.highest, 1 / (1 + math.exp(-total))))


def combine(
    domain: Reading,
    others: Sequence[Reading],
    score: float | None,
    snr_db: float,
    weights: ConfidenceWeights,
    pronouncer: Pronouncer,
    too_noisy: bool = False,
) -> tuple[Word, ...]:
    """The domain listener's words, each with an honest probability of being right."""
    columns = [agreement(domain.words, other.text, pronouncer) for other in others]
    highest = weights.too_noisy_highest if too_noisy else weights.highest
    made = []
    for place, word in enumerate(domain.words):
        sure = probability(
            word.confidence, [column[place] for column in columns], score, snr_db, weights
        )
        made.append(word.model_copy(update={"confidence": round(min(sure, highest), 4)}))
    return tuple(made)
