"""Who did a study is no other person's finding: "nerve conduction, done today by our colleague:
median normal"."""

from dictate2exam.findings.marks import Mark

STUDIES = ("kind.conduction", "kind.needle", "kind.imaging")
BY = frozenset({"by", "with", "from"})
# So many marks may stand between "by" and the one who did it: "by our new".
NEAR = 2


def did_the_study(marks: list[Mark], start: int) -> bool:
    """Whether a person is named by whom a study was done, read or sent, before anything is told
    of it."""
    at = next(n for n, m in enumerate(marks) if m.end > start)
    before = marks[:at]
    if not any(m.has(kind) for m in before for kind in STUDIES):
        return False
    if any(m.valued and not m.light for m in before):
        return False
    return any(m.text.split()[-1] in BY for m in before[-NEAR:]) or marks[at].text.startswith("by ")
