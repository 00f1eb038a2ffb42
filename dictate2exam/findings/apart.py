"""What a muscle cannot be told from is only named: "teres minor I can't tell apart from the
infraspinatus"."""

from dictate2exam.findings.marks import Mark

FROM = "from"


def leave_other(marks: list[Mark]) -> None:
    """Leaves out the names between "tell apart from" and the next pause."""
    inside = False
    for at, mark in enumerate(marks):
        if mark.has("pause"):
            inside = False
        if inside:
            mark.terms, mark.values, mark.roles = (), (), frozenset({"list.light"})
        words = mark.text.split()
        named = any(m.terms for m in marks[:at])
        untested = any(word.name == "not_tested" for word in mark.values)
        inside = inside or (untested and named and FROM in words[-2:])
