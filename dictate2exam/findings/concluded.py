"""What a finding comes to in a word: "the thumb tip bends, thus Froment positive"."""

from dictate2exam.findings.marks import Mark

SETTLING = frozenset({"positive", "negative"})
ARTICLES = frozenset({"a", "an"})


def concludes(marks: list[Mark], start: int, end: int, words: tuple[str, ...]) -> bool:
    """Whether the cue is such a word, and nothing stands behind it but a sign that is positive or
    negative, a denied sign, or a grade."""
    at = next(n for n, m in enumerate(marks) if m.end > start)
    if marks[at].text not in words or not any(not m.light for m in marks[:at]):
        return False
    behind = [m for m in marks if m.start >= end and m.text not in ARTICLES]
    if any(m.has("list.copula") or m.has("pause") for m in behind) or not behind:
        return False
    named = any(m.terms for m in behind)
    if not named:
        return len(behind) == 1 and behind[0].number is not None
    if not all(m.terms or m.valued or m.has("negation.before") or m.light for m in behind):
        return False
    settled = any(word.name in SETTLING for word in behind[-1].values)
    return settled or behind[0].has("negation.before") or behind[-1].number is not None
