"""What stands is named to be denied: "absent. Try again, clench your teeth. There. So it's reduced,
not absent"."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.meaning import read_claim

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line
    from dictate2exam.findings.state import Draft
    from dictate2exam.lexicon.phrases import ValueWord

# So many sentences may lie between the first word and the one that replaces it.
NEAR = 4
NOT = "not"


def put_right(line: Line) -> None:
    """Takes the word before "not" and what stands for the one that replaces it."""
    state, marks = line.state, line.marks
    old = [d for d in state.last if not d.gone]
    if not old or state.open or line.asked or line.speaker == "patient":
        return
    if state.sentence - old[-1].sentence > NEAR or any(m.terms or m.number for m in marks):
        return
    at = next((n for n, m in enumerate(marks) if m.text.split()[0] == NOT), 0)
    said = [m for m in marks[:at] if m.values and not m.scope]
    behind = marks[at:]
    denied = " ".join(m.text for m in behind if not m.has("pause")).removeprefix(NOT).strip()
    if len(said) != 1 or not denied or any(m.has("side") for m in marks):
        return
    if not all(m is said[0] or m.light or m.has("pause") or m.has("answer") for m in marks[:at]):
        return
    words = tuple(w for w in line.vocabulary.phrases.values if denied in w.spoken)
    now = _read(line, old, said[0].values)
    stood = _read(line, old, words)
    if stood != [d.value for d in old] or any(value in {"", "?"} for value in now):
        return
    if any(value == d.value for value, d in zip(now, old, strict=True)):
        return
    said[0].roles = frozenset()
    for mark in behind:
        mark.values, mark.predicates, mark.roles = (), (), frozenset({"list.light"})
    for mark in marks[:at]:
        if mark.has("answer"):
            mark.roles = frozenset({"list.light"})
    line.state.correcting, line.state.correcting_since = "replace", state.sentence


def _read(line: Line, old: list[Draft], words: tuple[ValueWord, ...]) -> list[str]:
    """What the words would say of each of the findings; empty for one of which they say nothing."""
    values = []
    for draft in old:
        context = copy(line.state.context)
        context.kind = draft.item.partition(".")[0]
        made = read_claim(draft.term, Claim(draft.marks[0], words=words), context, line.vocabulary)
        values.append(made.value if made is not None and made.item == draft.item else "")
    return values
