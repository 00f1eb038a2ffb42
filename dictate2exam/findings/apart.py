"""What a muscle cannot be told from is only named: "teres minor I can't tell apart from the
infraspinatus"."""

from dictate2exam.findings.marks import Mark

FROM, WHICH = "from", "which"


def leave_other(marks: list[Mark]) -> None:
    """Leaves out the names between "tell apart from" and the next pause, unless they are graded
    behind it: "from the infraspinatus, which is a four"."""
    for at, mark in enumerate(marks):
        untested = any(word.name == "not_tested" for word in mark.values)
        named = any(m.terms for m in marks[:at])
        if not (untested and named and FROM in mark.text.split()[-2:]):
            continue
        end = next((n for n in range(at, len(marks)) if marks[n].has("pause")), len(marks))
        behind = marks[end + 1].text.split()[0] if end + 1 < len(marks) else ""
        for other in marks[at + 1 : end] if behind != WHICH else ():
            other.leave()
