"""Words that name a part of the muscle named before: "anterior zero" after "deltoid"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

HIGHEST_GRADE = 5
# "Deltoid on this side two": a side, and no part.
POINTING = frozenset({"this", "that", "same", "the same", "either", "each", "one"})
FINGERS = frozenset({"index", "little", "middle", "ring", "thumb"})


def part_of_last(marks: list[Mark], at: int, state: State, vocabulary: Vocabulary) -> bool:
    """ "anterior zero" after "deltoid": words that name a part of what was named before."""
    listed = at > 1 and marks[at - 1].text in {",", "and"} and marks[at - 2].terms
    if marks[at].terms and listed and marks[at - 2].terms[0].category in {"place", "area"}:
        return False  # "index, middle and thumb": a finger on a list of fingers is no muscle's
    recent = [s.mark for s in (*state.last_subjects, *state.open)][-3:]
    recent += [m for m in marks[:at] if m.terms][-2:]
    for size in (3, 2, 1):
        window = marks[at : at + size]
        after = marks[at + size] if at + size < len(marks) else None
        if len(window) < size or after is None or not (after.valued or after.light):
            continue
        if at and marks[at - 1].text in POINTING:
            continue
        if after.has("pause") and walks(marks, at):
            continue
        if any(m.has("pause") or m.has("side") for m in window):
            continue
        if after.number is not None and after.number.value > HIGHEST_GRADE:
            continue
        if any(m.terms and m.terms[0].category not in {"place", "area"} for m in window):
            continue
        words = tuple(word for m in window for word in m.text.split())
        if len(words) == 1 and words[0] in vocabulary.phrases.cues["breath.limb"]:
            continue  # "APB four, and the hand": a limb is no part of a muscle
        for other in reversed(recent):
            if not other.terms or other.terms[0].category != "muscle":
                continue
            found = _with(words, tuple(other.text.split()), other, vocabulary)
            if found:
                text, terms = found
                first = window[0]
                first.terms, first.roles, first.number = terms, frozenset({"part"}), None
                first.values = ()
                first.text, first.end = text, window[-1].end
                del marks[at + 1 : at + size]
                _leave_again(marks, at)
                return True
    return False


def leave_halves(marks: list[Mark]) -> None:
    """ "That half of FDP is five": half of a muscle tells of no loss."""
    for at in range(len(marks) - 2):
        ahead = marks[at + 2]
        muscle = bool(ahead.terms) and ahead.terms[0].category == "muscle"
        if marks[at].text == "half" and marks[at + 1].text in {"of", "of the"} and muscle:
            marks[at].leave()


def _leave_again(marks: list[Mark], at: int) -> None:
    """ "Lumbricals ring side zero. Index side lumbricals, five": the whole behind its part."""
    behind = next((m for m in marks[at + 1 : at + 3] if not m.light), None)
    if behind is not None and behind.terms and marks[at].text.endswith(f" {behind.text}"):
        behind.leave()


def _with(
    words: tuple[str, ...], form: tuple[str, ...], other: Mark, vocabulary: Vocabulary
) -> tuple[str, tuple[Term, ...]] | None:
    """The term that the words make together with what was named before."""
    shorts = [form]
    for term in (*other.terms[:1], *vocabulary.groups_of.get(other.terms[0].term_id, ())):
        shorts += [vocabulary.form_of(said) for said in term.spoken[:4]]
    for short in shorts:
        tries = ((*words, *short), (*short, *words), (*short[:-1], *words), (*words, *short[1:]))
        for candidate in tries:
            found = vocabulary.terms.get(candidate)
            longer = candidate != short and len(candidate) > len(words)
            # "ECU five. Fingers and thumb": no muscle of that name is a part of this one.
            if found and found != other.terms and longer and found[0].category == "muscle":
                return " ".join(candidate), found[:1]
    return None


def may_be_finger(mark: Mark, state: State) -> bool:
    """Whether a finger or ordinal may name a part of the muscle just graded ("FDP ... little")."""
    if not state.last_subjects and not state.open:
        return False
    last = (state.open or state.last_subjects)[-1]
    if last.term.category != "muscle":
        return False
    first = mark.text.split()[0]
    return first in FINGERS or first in {"first", "third"}


def name_sibling(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """ "ECRL zero. And the short one": of two muscles of one name it is the other."""
    for at, mark in enumerate(marks):
        ending = next((r.partition(".")[2] for r in mark.roles if r.startswith("sibling.")), "")
        if not ending or mark.terms:
            continue
        before = [t for m in marks[:at] for t in m.terms] or [s.term for s in state.last_subjects]
        stem, _, _ = before[-1].term_id.rpartition("_") if before else ("", "", "")
        found = vocabulary.by_id.get(("muscle", f"{stem}_{ending}"))
        if found is not None and before[-1] != found:
            mark.terms, mark.roles = (found,), frozenset()
        else:
            mark.roles = frozenset({"list.light"})


def name_of_list(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "A, B and C were five except the last, which was four": the one that its place names."""
    places = vocabulary.phrases.mood
    at = next((n for n, m in enumerate(marks) if m.has("list.except")), -1)
    names = [m for m in marks[: max(at, 0)] if m.terms]
    ahead = [m for m in marks[at + 1 : at + 4] if m.text != "the"]
    if len(names) < 2 or not ahead or ahead[0].terms:
        return
    after = ahead[1:2]
    if after and not (after[0].has("pause") or after[0].has("list.copula") or after[0].text == "1"):
        return
    if ahead[0].text in places["last_named"]:
        ahead[0].terms, ahead[0].roles, ahead[0].values = names[-1].terms, frozenset(), ()
    elif ahead[0].text in places["first_named"]:
        ahead[0].terms, ahead[0].roles, ahead[0].values = names[0].terms, frozenset(), ()


def walks(marks: list[Mark], at: int) -> bool:
    """ "Going round the back, ...": words of place after a verb of the examiner."""
    before = [m for m in marks[max(0, at - 2) : at] if m.text not in {"the", "to the"}]
    return bool(before) and not (before[-1].light or before[-1].valued or before[-1].terms)
