"""Movements that were asked for and then graded: "wrist up, five", "bend your elbow. Left four"."""

from dictate2exam.findings.ability import OWNED
from dictate2exam.findings.line import Line, following_terms
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.no_value import sided_limb
from dictate2exam.findings.state import Draft, Subject
from dictate2exam.lexicon.terms import Term

LONGEST = 7
# Sentences for which a grade without a name may be of what was asked for.
STAYS = 2
# ... and for which a muscle may tell what it was.
NAMED_BY = 6


def name_instructed(line: Line) -> None:
    """Gives the movement asked for its grade in this sentence, or keeps it for the next ones."""
    state = line.state
    if line.speaker == "patient":
        return
    _bid_a_ring(line.marks)
    found = _asked_for(line)
    if not found:
        _wait_for_grade(line)
    for term, mark in found:
        taught = mark.scope == "teaching" and mark.reach == "itself"
        if taught or mark.scope in {"history", "other_person"}:
            continue
        if _is_graded(line, mark):
            mark.terms, mark.values, mark.roles = (term,), (), frozenset()
        state.instructed = Subject(term, mark, asked=True, sentence=state.sentence)


def leave_bidden(line: Line) -> None:
    """ "Arm out to the side. Two. No, again. Supraspinatus one.": a movement that was only bidden
    is graded as the muscle that is named for it."""
    state = line.state
    made = [d for d in state.sentence_drafts if not d.gone and d.term.category == "muscle"]
    if not made or not made[0].item.startswith("power."):
        return
    place = state.drafts.index(made[0])
    last = state.drafts[place - 1] if place else None
    if last is None or last.gone or last.term.category != "movement":
        return
    near = made[0].sentence - last.sentence <= NAMED_BY and last.side == made[0].side
    bidden = any(r.startswith("instructed.") for m in last.marks for r in m.roles)
    doers = line.vocabulary.phrases.cues.get(f"done_by.{last.term.term_id}", ())
    if near and bidden and made[0].term.term_id in doers:
        same = last.value == made[0].value
        tried: Draft | None = last if same or _tried_again(line, last) else None
        while tried is not None:
            tried.dropped, tried = True, tried.corrects


def bidden_anew(line: Line) -> bool:
    """Whether another movement was bidden since the last grade, so that a no alone tells of it."""
    state = line.state
    last = [d for d in state.last if not d.gone]
    bid = state.instructed
    if bid is None or not last or bid.sentence <= last[-1].sentence or line.speaker == "patient":
        return False
    doers = line.vocabulary.phrases.cues.get(f"done_by.{bid.term.term_id}", ())
    return all(d.term != bid.term and d.term.term_id not in doers for d in last)


def _tried_again(line: Line, last: Draft) -> bool:
    """Whether the movement was tried once more before the muscle was named."""
    since = line.state.read[last.sentence - line.state.sentence :]
    return any(
        m.has("correction.again_after") or m.has("correction") for s in since for m in s.marks
    )


def _bid_a_ring(marks: list[Mark]) -> None:
    """ "Make a round O for me": the verb that opens a sentence bids, and tells of no ring."""
    first = next((n for n, m in enumerate(marks) if not (m.light or m.has("pause"))), 0)
    end = next((n for n in range(first, len(marks)) if marks[n].has("pause")), len(marks))
    if not marks or marks[first].text.split()[0] != "make" or not marks[first].values:
        return
    marks[first].values, marks[first].roles = (), frozenset({"list.light"})
    for mark in marks[first:end]:
        mark.scope, mark.reach = "instruction", "forward"


def _is_graded(line: Line, mark: Mark) -> bool:
    """Whether a grade follows the words that asked; what asks is then no instruction."""
    at = line.marks.index(mark)
    place = line.next_solid(at)
    while place < len(line.marks) and _passed_over(line.marks[place]):
        place = line.next_solid(place)
    if place >= len(line.marks) or line.marks[place].terms or not line.marks[place].number:
        return False
    between = line.marks[at + 1 : place]
    if sided_limb(line, place) or _of_named(line, at):
        return False
    if not all(m.light or m.has("pause") or _passed_over(m) for m in between):
        return False
    named = following_terms(line, place)
    if named >= 0 and any(m.has("list.prepose") for m in line.marks[place + 1 : named]):
        return False  # "spread the fingers, five on the first dorsal"
    for other in line.marks[at : place + 1]:
        other.scope = ""
    return True


def _of_named(line: Line, at: int) -> bool:
    """ "Lumbricals, keep the fingers straight, two": whether a muscle opened the sentence that
    waits for its grade."""
    named = next((m for m in line.marks if not m.light or m.has("pause")), None)
    if named is None or not named.terms or named.terms[0].category != "muscle":
        return False
    between = line.marks[line.marks.index(named) + 1 : at]
    paused = bool(between) and between[0].has("pause")
    return paused and not any(m.terms or (m.valued and not m.light) for m in between)


def _passed_over(mark: Mark) -> bool:
    """Whether a side, an attempt or a hedge may stand before the grade: "… is perhaps one"."""
    return (
        mark.has("side")
        or mark.has("attempt")
        or (mark.has("hedge") and not mark.terms and mark.number is None)
    )


def _wait_for_grade(line: Line) -> None:
    """A sentence that begins with a grade takes the movement that was asked for before it."""
    state, waiting = line.state, line.state.instructed
    if waiting is None or state.sentence - waiting.sentence > STAYS:
        return
    since = bool(state.drafts) and state.drafts[-1].sentence >= waiting.sentence
    if since or state.open or state.correcting or any(m.terms for m in line.marks):
        return
    first = next((m for m in line.marks if not (m.light or m.has("pause") or m.has("side"))), None)
    if first is not None and first.number is not None:
        state.open = [Subject(waiting.term, waiting.mark, sentence=state.sentence)]
        state.instructed = None


def _asked_for(line: Line) -> list[tuple[Term, Mark]]:
    """The movements that words of this sentence ask for, each with the last of its words."""
    words = [(OWNED.get(w, w), m) for m in line.marks for w in _owned(m)]
    known = line.vocabulary.movements_asked
    found: dict[int, tuple[Term, Mark]] = {}
    for at, (first, _) in enumerate(words):
        for form, term in known.get(first, ()):
            stretch = words[at : at + len(form)]
            if tuple(word for word, _ in stretch) != form:
                continue
            if not any(m.terms and m.terms[0] != term for _, m in stretch):
                found[stretch[-1][1].start] = (term, stretch[-1][1])
    return [found[start] for start in sorted(found)]


def _owned(mark: Mark) -> list[str]:
    return ["the" if word in {"your", "my"} else word for word in mark.text.split()]
