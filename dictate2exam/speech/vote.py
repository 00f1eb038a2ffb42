"""Two readings that agree outvote a third: word by word, on readings aligned by sound.

Listeners with different ears rarely make the same mistake, so the same other word from both of
them is better than a word of which the domain listener was not sure. Nothing is ever voted away: a
word that only the domain listener heard stays, and its probability says the rest.
"""

from collections.abc import Sequence

from dictate2exam.speech.combine import align
from dictate2exam.speech.model import Reading, Word
from dictate2exam.speech.pronounce import Pronouncer

GAP = 0.8
AGREED = 0.9  # posterior of a word that was voted in
# A word at least so probable is not outvoted: the neural listener's words are right in 97 to 99.9
# of a hundred above this, more often than two weaker listeners that agree.
SURE = 0.8

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


def vote(domain: Reading, others: Sequence[Reading], pronouncer: Pronouncer) -> Reading:
    """The domain reading with what two others agree on against it; unchanged with fewer than two.

    A word voted in gets the time of the word that it replaces, or a moment between two words.
    """
    if len(others) < 2 or not domain.words:
        return domain
    views = [slots(domain.words, reading.text.split(), pronouncer) for reading in others[:2]]
    (first, first_end), (second, second_end) = views
    words: list[Word] = []
    for place, word in enumerate(domain.words):
        words += _inserted(first[place][1], second[place][1], word.start_s)
        one, two = first[place][0], second[place][0]
        sure = word.confidence is not None and word.confidence >= SURE
        if one and one == two and one != word.text and not sure:
            word = word.model_copy(update={"text": one, "confidence": AGREED})
        words.append(word)
    words += _inserted(first_end, second_end, domain.words[-1].end_s)
    if tuple(words) == domain.words:
        return domain
    return Reading(
        listener=domain.listener, text=" ".join(word.text for word in words), words=tuple(words)
    )


def _inserted(one: tuple[str, ...], two: tuple[str, ...], moment: float) -> list[Word]:
    if not one or one != two:
        return []
    return [Word(text=text, start_s=moment, end_s=moment, confidence=AGREED) for text in one]
