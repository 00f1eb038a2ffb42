"""A patient's answers for several places in one turn: "Nine on the middle. Little one ten"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line
    from dictate2exam.findings.state import State, Subject
    from dictate2exam.findings.vocabulary import Vocabulary

SKIN = frozenset({"place", "area", "level"})
LIGHT = frozenset({"list.light"})
FINGERS = {
    "thumb": "thumb",
    "index": "index",
    "pointer": "index",
    "middle": "middle",
    "long": "middle",
    "ring": "ring",
    "little": "little",
    "small": "little",
    "wee": "little",
    "pinky": "little",
    "pinkie": "little",
}


def name_little_one(marks: list[Mark], asked: bool, state: State, vocabulary: Vocabulary) -> None:
    """ "Middle finger, and then the little one?": behind a finger the second is one as well."""
    if not asked or any(m.number and m.number.value != 1 for m in marks):
        return
    if state.context.topic == "sensation":
        _name_first(marks, vocabulary)
    for at in range(1, len(marks) - 1):
        mark, one = marks[at], marks[at + 1]
        finger = FINGERS.get(mark.text)
        named = [t for m in marks[:at] for t in m.terms]
        if mark.terms or finger is None or one.number is None or one.number.sign or not named:
            continue
        pulp = any(t.term_id.endswith("_pulp") for t in named)
        forms = [(finger, "finger", "pulp")] if pulp else []
        found = next(
            (t for f in (*forms, (finger, "finger")) if (t := vocabulary.terms.get(f))), ()
        )
        if found and found[0].category in SKIN and named[-1].category in SKIN:
            mark.text = f"{finger} finger"
            mark.terms, mark.values, mark.roles = found[:1], (), frozenset()
            one.number, one.roles = None, LIGHT


def leave_little_one(marks: list[Mark]) -> None:
    """ "Profundus to the little one five": behind a finger, before its grade, the one is it."""
    for at in range(len(marks) - 2, 0, -1):
        name, one = marks[at - 1], marks[at]
        finger = name.terms and name.text.split()[-1] in {*FINGERS, *FINGERS.values()}
        if not finger or one.text != "1" or one.number is None or one.number.sign:
            continue
        ahead = next((m for m in marks[at + 1 :] if not m.light), None)
        if ahead is not None and ahead.number is not None:
            del marks[at]


def _name_first(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "Middle, then the little finger?": a finger before a finger is one as well."""
    for at, mark in enumerate(marks[:-1]):
        finger = FINGERS.get(mark.text)
        if mark.terms or finger in {None, "ring"}:
            continue
        joined = [m for m in marks[at + 1 :] if m.has("pause") or m.has("list.join")]
        behind = next((m for m in marks[at + 1 :] if m.terms or not (m.light or m in joined)), None)
        if behind is None or not behind.terms or not joined or _finger(behind) in {"", finger}:
            continue
        found = vocabulary.terms.get((str(finger), "finger"), ())
        if found and found[0].category in SKIN and behind.terms[0].category in SKIN:
            mark.text = f"{finger} finger"
            mark.terms, mark.values, mark.roles = found[:1], (), frozenset()


def answer_each(line: Line) -> None:
    """Gives each of several places asked about the answer that the patient names it with."""
    state = line.state
    if line.speaker != "patient" or not line.marks:
        return
    turn = line.marks[0].written.utterance.index
    if state.asked_places[0] != turn:
        state.asked_places = (turn, _asked_in_turn(state))
    asked = state.asked_places[1]
    if len({s.term.term_id for s in asked}) < 2:
        return
    names = [(at, s) for at, m in enumerate(line.marks) if (s := _subject(m, asked)) is not None]
    said = [at for at, m in enumerate(line.marks) if _answers(line, at)]
    if not names:
        names, said = _in_order(line, asked, said)
    if not names or len(said) != len(names):
        return
    kept, state.open = state.open, []
    for (at, subject), place in zip(names, said, strict=True):
        mark = line.marks[place]
        claim = Claim.of(mark)
        if assign(line, claim, [subject], rule="answer for one of several") is None:
            continue
        kept = [s for s in kept if s is not subject]
        for used in {at, place}:
            line.marks[used].terms, line.marks[used].values = (), ()
            line.marks[used].number, line.marks[used].roles = None, LIGHT
    state.open = kept


def _asked_in_turn(state: State) -> list[Subject]:
    """The places that wait, and those asked about in sentences of their own just before them:
    "Thumb? Middle finger? Little finger?"."""
    waiting = [s for s in state.open if _is_skin(s)]
    if not waiting:
        return []
    turn = waiting[-1].mark.written.utterance.index
    before = [s for s in state.chain if _is_skin(s) and s.mark.written.utterance.index == turn]
    return [*(s for s in before if s not in waiting), *waiting]


def _is_skin(subject: Subject) -> bool:
    return subject.asked and subject.term.category in SKIN


def _subject(mark: Mark, asked: list[Subject]) -> Subject | None:
    """The place asked about that a mark names: "the middle", "little finger"."""
    for subject in asked:
        if mark.terms and subject.term in mark.terms:
            return subject
    finger = next((FINGERS[word] for word in mark.text.split() if word in FINGERS), "")
    known = [s for s in asked if finger and _finger(s.mark) == finger]
    return known[0] if len(known) == 1 else None


def _finger(mark: Mark) -> str:
    return next((FINGERS[word] for word in mark.text.split() if word in FINGERS), "")


def _answers(line: Line, at: int) -> bool:
    """Whether a mark says how a place is felt, and not "one" of "the little one"."""
    mark, before = line.marks[at], line.marks[at - 1] if at else None
    if mark.number is not None:
        pronoun = mark.number.value == 1 and before is not None and before.text in FINGERS
        closes = at + 1 == len(line.marks) or line.marks[at + 1].has("pause")
        return not pronoun or (closes and not any(m.valued for m in line.marks[:at]))
    return any("sensation" in word.means for word in mark.values)


def _in_order(
    line: Line, asked: list[Subject], said: list[int]
) -> tuple[list[tuple[int, Subject]], list[int]]:
    """ "Nine, and the same as the other hand": as many answers as places, in their order."""
    worded = any(line.marks[at].number is None for at in said)
    apart = line.state.open == asked[-1:]
    if len(said) != len(asked) or not (apart or (worded and line.state.open == asked)):
        return [], said
    return list(zip(said, asked, strict=True)), said
