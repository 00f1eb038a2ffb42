"""Puts one reading beside another, word by word, by their sound."""

from collections.abc import Sequence

from dictate2exam.speech.combine import align
from dictate2exam.speech.model import Word
from dictate2exam.speech.pronounce import Pronouncer

GAP = 0.8

# What another reading has at one word of the domain reading, and what it has before it.
Slot = tuple[str, tuple[str, ...]]


def slots(
    domain: Sequence[Word], other: Sequence[str], pronouncer: Pronouncer
) -> tuple[list[Slot], tuple[str, ...]]:
    """Per word of the domain reading the other's word there ("" if none) and those put in before.

    The last part are the words that the other reading has after the end.
    """

    def sounds(word: str) -> tuple[str, ...]:
        return pronouncer.ways(word, both_sides=False)[0]

    first = [word.text for word in domain]
    rows, columns = len(first), len(other)
    memory: dict[tuple[str, str], float] = {}

    def cost(one: str, two: str) -> float:
        if one == two:
            return 0.0
        if (one, two) not in memory:
            costs = align(sounds(one), sounds(two))
            memory[one, two] = 0.3 + 0.9 * sum(costs) / len(costs)
        return memory[one, two]

    table = [[column * GAP for column in range(columns + 1)]]
    for row in range(1, rows + 1):
        line = [row * GAP]
        for column in range(1, columns + 1):
            line.append(
                min(
                    table[-1][column - 1] + cost(first[row - 1], other[column - 1]),
                    table[-1][column] + GAP,
                    line[-1] + GAP,
                )
            )
        table.append(line)
    there = [""] * rows
    before: list[list[str]] = [[] for _ in range(rows + 1)]
    row, column = rows, columns
    while row or column:
        here = table[row][column]
        if row and column:
            change = cost(first[row - 1], other[column - 1])
            if abs(here - table[row - 1][column - 1] - change) < 1e-9:
                row, column = row - 1, column - 1
                there[row] = other[column]
                continue
        if row and abs(here - table[row - 1][column] - GAP) < 1e-9:
            row -= 1
        else:
            column -= 1
            before[row].insert(0, other[column])
    return [(there[n], tuple(before[n])) for n in range(rows)], tuple(before[rows])
