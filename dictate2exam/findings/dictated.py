"""What is dictated to be typed stands, whatever was told before it: "it was recorded as four at
first, so please take the deltoid as five"."""

from dictate2exam.findings.marks import Mark

# What was told before an order to the typist reaches no further than the order.
OTHER = "other_person"
TOLD = frozenset({"history", "teaching", OTHER})


def keep_dictated(marks: list[Mark]) -> None:
    """Takes talk off what is to be typed, off a grade that is said to stand, and off what follows
    a wrong line that was read out."""
    for at, mark in enumerate(marks):
        if mark.has("correction.misread") and _graded_before(marks, at) and _graded(marks, at):
            _clear(marks[at:], TOLD | {"question"})
        elif mark.has("correction.misread") and mark.scope == OTHER and _graded(marks, at):
            # "Pronator teres three. I read my own writing wrong, pronator teres is two."
            _clear(marks, frozenset({OTHER}))
        elif mark.has("correction.order") and mark.scope in TOLD and _graded(marks, at):
            _clear(marks[at:], TOLD)
        elif mark.has("correction.stands") and at and marks[at - 1].number is not None:
            low = at
            while low and not marks[low - 1].has("pause"):
                low -= 1
            _clear(marks[low : at + 1], frozenset({"teaching"}))


def _clear(marks: list[Mark], scopes: frozenset[str]) -> None:
    for mark in marks:
        mark.scope = "" if mark.scope in scopes else mark.scope


def _graded(marks: list[Mark], at: int) -> bool:
    return any(m.valued and not m.light for m in marks[at + 1 :])


def _graded_before(marks: list[Mark], at: int) -> bool:
    """Whether only words of correction lie between a value and the mark: "seven, no, I read the
    wrong row"."""
    before = [m for m in marks[:at] if not (m.has("pause") or m.has("correction") or m.light)]
    return bool(before) and before[-1].valued and not before[-1].scope
