"""A finger by its first word alone, where fingers are felt one by one: "Thumb? Seven. Middle?"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

# Sentences from the last finger to the next.
NEAR = 3
PULP, FINGER = "pulp", "finger"


def name_finger(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Makes "middle" alone in its clause the finger, or its pulp where pulps are felt."""
    if state.context.topic != "sensation":
        return
    last = _last_felt(state)
    if last is None or not any(word in last.label for word in (FINGER, "thumb", "index")):
        return
    kind = PULP if last.term_id.endswith(f"_{PULP}") else FINGER
    for at, mark in enumerate(marks):
        found = () if mark.terms else vocabulary.terms.get((mark.text, FINGER), ())
        if not found or not _alone(marks, at):
            continue
        named = vocabulary.terms.get((mark.text, kind), found)
        mark.terms, mark.values, mark.number = named[:1], (), None
        mark.roles = frozenset()
        if _is_pronoun(marks, at + 1):
            marks[at + 1].leave()
            marks[at + 1].number = None


def _last_felt(state: State) -> Term | None:
    """The skin that was felt last, if nothing else was named since."""
    said = state.open or state.last_subjects
    if not said or state.sentence + 1 - said[-1].sentence > NEAR:
        return None
    return said[-1].term if said[-1].term.category in {"place", "area"} else None


def _alone(marks: list[Mark], at: int) -> bool:
    """Whether nothing but a score or a stop stands behind the word, and a stop or words that only
    lead to it before."""
    before = next((m for m in reversed(marks[:at]) if m.has("list.join") or not m.light), None)
    place = at + 2 if _is_pronoun(marks, at + 1) else at + 1
    after = marks[place] if place < len(marks) else None
    opens = before is None or before.has("list.join")
    closed = after is None or after.has("pause") or after.number is not None
    return opens and closed


def _is_pronoun(marks: list[Mark], at: int) -> bool:
    """Whether "one" stands for the finger: "the little one?", "the little one nine"."""
    if at >= len(marks) or marks[at].text != "1":
        return False
    scored = at + 1 < len(marks) and marks[at + 1].number is not None
    return scored or (marks[at].scope == "question" and at + 1 == len(marks))
