"""Phrases of the vocabulary found in a text, by their first word and their lengths."""

from collections.abc import Iterable, Sequence

Form = tuple[str, ...]


class Forms:
    """Phrases to be found in a text.

    A set of the vocabulary's own tuples: spaCy's PhraseMatcher takes 100 MB for its 95,000 phrases.
    """

    def __init__(self, forms: Iterable[Form]) -> None:
        self._known = frozenset(forms)
        sizes: dict[str, set[int]] = {}
        for form in self._known:
            if form:
                sizes.setdefault(form[0], set()).add(len(form))
        self._sizes = {first: tuple(sorted(some)) for first, some in sizes.items()}

    def everywhere(self, texts: Sequence[str]) -> list[tuple[int, int]]:
        """First and last (exclusive) place of every phrase, overlapping ones included."""
        return [
            (at, at + size)
            for at, text in enumerate(texts)
            for size in self._sizes.get(text, ())
            if at + size <= len(texts) and tuple(texts[at : at + size]) in self._known
        ]

    def longest(self, texts: Sequence[str]) -> list[tuple[int, int]]:
        """Places and lengths of the longest phrases from left to right, none inside another."""
        longest: dict[int, int] = {}
        for start, end in self.everywhere(texts):
            longest[start] = end - start
        found: list[tuple[int, int]] = []
        for start, size in longest.items():
            if not found or start >= sum(found[-1]):
                found.append((start, size))
        return found
