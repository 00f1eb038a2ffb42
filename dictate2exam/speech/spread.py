"""Gives words times where a listener gives none: spread over the utterance by their length."""

from dictate2exam.speech.model import Word
from dictate2exam.units import Seconds


def spread_words(text: str, start_s: Seconds, end_s: Seconds) -> tuple[Word, ...]:
    """The words of a text, each with a share of the time in proportion to its letters."""
    words = text.split()
    total = sum(len(word) + 1 for word in words)
    made: list[Word] = []
    passed = 0
    for word in words:
        begin = start_s + (end_s - start_s) * passed / total
        passed += len(word) + 1
        end = start_s + (end_s - start_s) * passed / total
        made.append(Word(text=word, start_s=round(begin, 3), end_s=round(end, 3)))
    return tuple(made)
