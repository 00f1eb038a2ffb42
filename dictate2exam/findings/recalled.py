"""Talk that goes on in the next sentence: another person, a letter read out, what was before."""

from itertools import pairwise

from dictate2exam.findings.line import DENIABLE, MOTOR, SENSORY, Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Subject

# A letter that is read out ends after so many sentences, if nobody says that it has.
LONGEST_QUOTE = 6
# Sentences of talk after which a verb may be taken up again.
INTERRUPTED = 4
LATER = DENIABLE | MOTOR | SENSORY


def carry_over(line: Line) -> None:
    """Takes over from the sentences before what still holds in this one."""
    _still_another(line)
    _puzzle(line)
    _still_quoted(line)
    _and_now(line)
    _broken_off(line)
    _that_limb(line)


def _that_limb(line: Line) -> None:
    """ "Burning in the left hand." "Squeeze with that hand": the side that was spoken of last."""
    state = line.state
    last = [d for d in state.last if not d.gone]
    if state.side or not last or state.sentence - last[-1].sentence > INTERRUPTED:
        return
    limbs = line.vocabulary.phrases.cues["breath.limb"]
    pointed = any(
        one.text in {"that", "this", "the same", "same"} and two.text.split()[0] in limbs
        for one, two in pairwise(line.marks)
    )
    if pointed and last[-1].side in OPPOSITE and last[-1].side_local:
        state.side = last[-1].side


def _broken_off(line: Line) -> None:
    """ "The biceps is ... could you shut the door ... is four": the verb is taken up again."""
    state, marks = line.state, line.marks
    near = [s for s in state.hung if state.sentence - s.sentence <= INTERRUPTED]
    first = next((m for m in marks if not m.has("pause")), None)
    again = first is not None and first.has("list.copula") and not any(m.terms for m in marks)
    if near and again and not state.open and line.speaker != "patient":
        state.open = [Subject(s.term, s.mark, s.side, sentence=state.sentence) for s in near]
        state.hung = []


def hang(line: Line) -> None:
    """Keeps what a sentence that breaks off on its verb was about."""
    state = line.state
    last = next((m for m in reversed(line.marks) if not m.has("pause")), None)
    if last is not None and last.has("list.copula") and not last.valued and not line.asked:
        here = [s for s in state.open if s.sentence == state.sentence and not s.asked]
        state.hung = here or state.hung


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


def _puzzle(line: Line) -> None:
    """ "How would it look if the long thoracic nerve were gone? Winging, and serratus zero"."""
    state, marks = line.state, line.marks
    words = line.vocabulary.phrases.mood
    utterance = marks[0].written.utterance.index
    said = [word for m in marks for word in m.text.split()]
    if state.puzzle == (state.sentence - 1, utterance):
        told = set(said) & set(words["puzzle_ends"]) or any(m.has("side") for m in marks)
        if not (told or line.asked):
            for mark in marks:
                mark.scope, mark.reach = "teaching", "itself"
            return
    asks = bool(set(said[:3]) & set(words["puzzling"])) and line.asked
    supposes = set(said) & set(words["puzzle"]) and not set(said) & set(words["present_person"])
    case = {"a", "an"} & set(said) and set(said) & set(words["puzzle_case"])
    supposes = supposes and (case or set(said) & set(words["puzzle_mood"]))
    scored = set(said) & set(words["puzzle_scored"])
    if asks and supposes and not scored and not any(m.number for m in marks):
        state.puzzle = (state.sentence, utterance)


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
    first = next((n for n, m in enumerate(marks) if m.terms or _says_a_value(m)), len(marks))
    if not known or first == len(marks) or marks[first].terms or marks[first].scope:
        return
    texts = {word for m in marks[:first] for word in m.text.split()}
    if texts & set(line.vocabulary.phrases.mood["and_now"]) and not state.open:
        state.open = [Subject(s.term, s.mark, sentence=state.sentence) for s in known]


def _says_a_value(mark: Mark) -> bool:
    return bool(mark.number or mark.values) and not mark.light
