"""Word error rates."""

from collections.abc import Sequence


def word_distance(truth: Sequence[str], heard: Sequence[str]) -> int:
    """The fewest insertions, deletions and replacements of words between the two."""
    row = list(range(len(heard) + 1))
    for place, wanted in enumerate(truth, 1):
        last, row[0] = row[0], place
        for k, word in enumerate(heard, 1):
            last, row[k] = row[k], min(row[k] + 1, row[k - 1] + 1, last + (wanted != word))
    return row[-1]


def word_errors(truths: Sequence[str], heards: Sequence[str]) -> float:
    """Word errors over words said, from 0 up; texts are compared as they are written."""
    pairs = [(t.split(), h.split()) for t, h in zip(truths, heards, strict=True)]
    errors = sum(word_distance(truth, heard) for truth, heard in pairs)
    return errors / max(1, sum(len(truth) for truth, _ in pairs))
