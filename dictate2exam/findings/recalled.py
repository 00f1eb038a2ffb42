"""Talk that goes on in the next sentence: another person, a letter read out, what was before."""

from dictate2exam.findings.line import MOTOR, SENSORY, Line
from dictate2exam.findings.state import Subject

# A letter that is read out ends after so many sentences, if nobody says that it has.
LONGEST_QUOTE = 6
LATER = frozenset({"reflex", "conduction", "pulse"}) | MOTOR | SENSORY


def carry_over(line: Line) -> None:
    """Takes over from the sentences before what still holds in this one."""
    _still_another(line)
    _still_quoted(line)
    _and_now(line)


def _still_another(line: Line) -> None:
    """After talk of another person "his deltoid was two" is still of that person."""
    state, marks = line.state, line.marks
    follows = state.other_person == (state.sentence - 1, line.speaker)
    told = any(m.text in {"had", "was", "were"} for m in marks)
    named = any(m.text in {"he", "his", "him", "she", "her"} for m in marks[:4])
    if follows and told and named:
        for mark in marks:
            mark.scope, mark.reach = "other_person", "sentence"
    if any(m.scope == "other_person" for m in marks):
        state.other_person = (state.sentence, line.speaker)


def _still_quoted(line: Line) -> None:
    """After "let me read the letter from March" all is of March, until it ends."""
    state, marks = line.state, line.marks
    words = line.vocabulary.phrases.mood
    said = f" {' '.join(m.text for m in marks)} "
    if state.quoted == line.speaker and state.quoted_left > 0:
        if any(f" {end} " in said for end in words["quote_ends"]):
            state.quoted_left = 0
            return
        state.quoted_left -= 1
        for mark in marks:
            mark.scope, mark.reach = "history", "sentence"
        return
    state.quoted_left = 0
    opened = any(f" {begin} " in said for begin in words["quote_begins"])
    if opened and any(m.scope == "history" for m in marks) and not any(m.number for m in marks):
        state.quoted, state.quoted_left = line.speaker, LONGEST_QUOTE


def _and_now(line: Line) -> None:
    """ "In March the biceps was three. It is four now": the grade is of what was recalled."""
    state, marks = line.state, line.marks
    known = [s for s in state.recalled if s.sentence == state.sentence - 1]
    state.recalled = [
        Subject(term, mark, sentence=state.sentence)
        for mark in marks
        if mark.scope == "history" and not any(m.valued and not m.scope for m in marks)
        for term in mark.terms[:1]
        if term.category in LATER and not term.is_group
    ]
    first = next((n for n, m in enumerate(marks) if m.terms or m.number), len(marks))
    if not known or first == len(marks) or marks[first].terms or marks[first].scope:
        return
    texts = {word for m in marks[:first] for word in m.text.split()}
    if texts & set(line.vocabulary.phrases.mood["and_now"]) and not state.open:
        state.open = [Subject(s.term, s.mark, sentence=state.sentence) for s in known]
