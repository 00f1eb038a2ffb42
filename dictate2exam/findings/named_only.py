"""Muscles that are named and not graded: told again in other words, or where another was felt."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Subject
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

# A movement that heads a muscle may be told closer in so many words.
TOLD_MORE = 2
SKIN = frozenset({"place", "area"})
OWNERS = frozenset({"the", "his", "her", "your", "left", "right"})


def drop_explained(line: Line, at: int, term: Term) -> None:
    """ "Long flexors, meaning FDP and FPL": what is only told in other words waits no longer."""
    state = line.state
    if not state.open or state.open[-1].sentence != state.sentence or term.category != "muscle":
        return
    last = state.open[-1]
    if last.mark not in line.marks or last.term.category not in {"muscle", "movement"}:
        return
    gap = line.marks[line.marks.index(last.mark) + 1 : at]
    heads = _heads(line, last.term, gap, term) or _in_other_words(last.term, gap)
    if heads:
        last.mark.terms, last.mark.roles = (), frozenset({"list.light"})
    if heads or (any(m.has("list.meaning") for m in gap) and not any(m.valued for m in gap)):
        state.open = [s for s in state.open if s.mark is not last.mark]
        if last.side and not state.side:
            state.side = last.side


def already_told(line: Line, at: int, term: Term) -> bool:
    """Whether a name only tells of whom a group's value was said: "all three reflexes are normal,
    biceps, supinator and triceps"."""
    told = {d.term.term_id for d in line.group if d.expanded and not d.gone}
    if term.term_id not in told or line.state.open:
        return False
    rest = line.marks[at + 1 :]
    if any(m.valued or m.has("side") or m.has("list.except") for m in rest):
        return False
    line.marks[at].terms, line.marks[at].roles = (), frozenset({"list.light"})
    return True


def give_to_listed(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "The thumb extensors were zero, namely EPL and EPB": the value is of what is listed."""
    at = next((n for n, m in enumerate(marks) if m.has("list.meaning")), -1)
    said = next((n for n, m in enumerate(marks[: max(at, 0)]) if m.valued and not m.light), -1)
    if said < 0 or any(m.terms for m in marks[said:at]) or not marks[at - 1].has("pause"):
        return
    listed = []
    for mark in marks[at + 1 :]:
        if mark.terms and mark.terms[0].category == "muscle" and not mark.scope:
            listed.append(mark)
        elif mark.has("list.same_as") or not (mark.light or mark.has("pause")):
            break
    names = {n for m in listed for t in m.terms for n in (t.term_id, *(t.members or ()))}
    heads = [m for m in marks[:said] if m.terms and _told_by(m.terms[0], names, vocabulary)]
    if not heads or any(m.valued for m in listed):
        return
    terms = [term for mark in listed for term in mark.terms]
    heads[0].terms, heads[0].shared = (terms[0],), terms[1:]
    heads[0].roles = frozenset()
    for mark in (*heads[1:], *listed):
        mark.leave()


def _told_by(head: Term, names: set[str], vocabulary: Vocabulary) -> bool:
    """Whether a name is that of muscles listed after it, of a group of them or what they do."""
    doers = vocabulary.phrases.cues.get(f"done_by.{head.term_id}", ())
    members = {head.term_id, *(head.members or ()), *head.parts}
    if head.category == "movement":
        return bool(names & set(doers))
    return head.category == "muscle" and bool(names & members)


def without_headings(subjects: list[Subject], vocabulary: Vocabulary) -> list[Subject]:
    """ "Extensors, same arm. EDC, EIP, EPL. All five.": a movement that a sentence before the
    muscles only headed them is not graded with them."""
    muscles = [s for s in subjects if s.term.category == "muscle"]

    def headed(movement: Subject) -> bool:
        doers = vocabulary.phrases.cues.get(f"done_by.{movement.term.term_id}", ())
        done = {s.term.term_id for s in muscles if s.sentence > movement.sentence}
        return movement.term.category == "movement" and bool(done & set(doers))

    return [s for s in subjects if not headed(s)]


def without_places(subjects: list[Subject], claim: Claim, topic: str) -> list[Subject]:
    """ "Thumb, EPL and APB five": a finger before muscles only tells where they are."""
    first = next((n for n, s in enumerate(subjects) if s.term.category == "muscle"), -1)
    if first < 1 or claim.number is None or topic == "sensation":
        return subjects
    return [s for n, s in enumerate(subjects) if n > first or s.term.category not in SKIN]


def _heads(line: Line, movement: Term, gap: list[Mark], muscle: Term) -> bool:
    """ "Finger extensors, EDC four": a movement that only heads a muscle by which it is done, told
    in more words or not: "flexors at the wrist, FCR four", "thumb abduction, palmar, APB five"."""
    doers = line.vocabulary.phrases.cues.get(f"done_by.{movement.term_id}", ())
    more = [m for m in gap if not m.has("pause")]
    known = all(m.terms[0].category == "percussion" for m in more if m.terms)
    told = bool(gap) and gap[-1].has("pause") and len(more) <= TOLD_MORE and known
    said = any(m.valued or m.scope or m.has("list.join") or m.has("side") for m in more)
    return muscle.term_id in doers and (not more or (told and not said))


def _in_other_words(movement: Term, gap: list[Mark]) -> bool:
    """ "Little finger abduction, so ADM, four": a movement that tells which muscle is tested."""
    return movement.category == "movement" and [m.text for m in gap] == [",", "so"]


def felt_beside(line: Line, at: int) -> bool:
    """Whether a muscle only tells where another muscle was felt or seen."""
    before = [m.text for m in line.marks[max(0, at - 4) : at] if m.text not in OWNERS]
    words = line.vocabulary.phrases.cues["beside.words"]
    if not before or not {before[-1], " ".join(before[-2:])} & set(words):
        return False
    following = line.next_solid(at)
    if (
        following < len(line.marks)
        and line.marks[following].number
        and (line.between_light(at, following, pauses=False))
    ):
        return False
    return any(
        m.terms[0].category in {"muscle", "movement"}
        for place, m in enumerate(line.marks)
        if m.terms and place != at
    )
