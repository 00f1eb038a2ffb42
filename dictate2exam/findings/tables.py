"""Tables read aloud: some names, then as many values, on one side and then on the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark, Number
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Doubtful, Draft, Subject, heard_text

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

JOINING = frozenset({"and", "a"})


def name_grades(marks: list[Mark]) -> None:
    """ "All fours" is a grade for each of a list, where "all four" only counts them."""
    for mark in marks:
        count = mark.text.split()[-1]
        if (
            mark.has("list.lot")
            and count.isdigit()
            and heard_text(mark).rstrip(".,;:").endswith("s")
        ):
            mark.number, mark.text = Number(int(count)), count
            mark.roles, mark.values = frozenset(), ()


def give_out(line: Line, at: int, subjects: list[Subject]) -> int:
    """ "Deltoid and biceps four and three": as many values as names are given out in turn; the
    place after them, or 0 where this is no such list."""
    names = _by_name(subjects)
    if len(names) < 2 or line.all_said:
        return 0
    places = _run(line, at)
    paired = any(m.has("list.respectively") for m in line.marks)
    if len(places) == len(names) and _fits(line, places, names):
        return _pair(line, places, names, "") if paired or not _of_next(line, places[-1]) else 0
    if _uneven(line, places, names, paired):
        return _ask(line, places, names)
    return 0


def _of_next(line: Line, at: int) -> bool:
    """Whether a grade is of the term after it: "biceps and triceps four and three for deltoid"."""
    ahead = line.marks[at + 1 : at + 4]
    return bool(ahead) and ahead[0].has("list.prepose") and any(m.terms for m in ahead)


def give_out_again(line: Line, at: int) -> int:
    """ "Right five, four, five. Left five, five, five": the names of the list before, for the side
    just named; the place after the values, or 0 where this is no such list."""
    state = line.state
    told = {id(subject) for subject in state.last_subjects}
    row = state.row if any(id(s) in told for s in state.row) else state.last_subjects
    names = _by_name(row)
    since = line.marks[line.group_since + 1 : at] if line.group else line.marks[:at]
    if state.open or len(names) < 2 or line.all_said or any(m.terms for m in since):
        return 0
    side = line.value_side or _turned(line)
    places = _run(line, at)
    if not side or len(places) < 2:
        return 0
    if len(places) == len(names) and _fits(line, places, names):
        return _pair(line, places, names, side)
    if _uneven(line, places, names):
        return _ask(line, places, names, side)
    return 0


def _turned(line: Line) -> str:
    """The side now examined, where the last values were for the other one."""
    side, last = line.state.side, [d for d in line.state.last if not d.gone]
    turned = bool(last) and all(d.side == OPPOSITE.get(side) for d in last)
    return side if turned else ""


def _by_name(subjects: list[Subject]) -> list[list[Subject]]:
    """The subjects of each name that was said, in spoken order; a range names all its levels."""
    names: dict[tuple[int, str], list[Subject]] = {}
    for subject in subjects:
        ranged = subject.term.term_id if subject.mark.shared else ""
        names.setdefault((id(subject.mark), ranged), []).append(subject)
    return list(names.values())


def _run(line: Line, at: int) -> list[int]:
    """The places of the values that follow one another from `at` on."""
    numbers = line.marks[at].number is not None
    mixed = numbers or _is_nothing(line.marks[at])
    places: list[int] = []
    for place in range(at, len(line.marks)):
        mark = line.marks[place]
        if mark.terms or mark.text in line.vocabulary.phrases.cues["left_out.nor"]:
            break  # "not wasted, nor was the triceps"
        graded = mixed and (mark.number is not None or _is_nothing(mark))
        if graded or (not numbers and (mark.values or mark.predicates)):
            places.append(place)
        elif not (set(mark.text.split()) <= JOINING or mark.has("pause")):
            break
    if places and _is_nothing(line.marks[places[-1]]) and not _closes(line.marks, places[-1]):
        places.pop()  # "two, nothing else"
    return places


def _is_nothing(mark: Mark) -> bool:
    """Whether the word stands for nought in a row of grades: "one, nil, nil"."""
    return any(word.name == "nothing" for word in mark.values)


def _closes(marks: list[Mark], at: int) -> bool:
    return at + 1 == len(marks) or marks[at + 1].has("pause") or marks[at + 1].text == "and"


def _claim(mark: Mark) -> Claim:
    if mark.number is not None:
        return Claim(mark, mark.number)
    return Claim(mark, words=mark.values, predicates=mark.predicates)


def _fits(line: Line, places: list[int], names: list[list[Subject]]) -> bool:
    """Whether every value says something of its name; words must all be of one kind, and those
    that only say that something is there at all are no list."""
    marks = [line.marks[place] for place in places]
    if all(mark.number is not None for mark in marks):
        return True
    kinds = set()
    for mark, mine in zip(marks, names, strict=True):
        made = read_claim(mine[0].term, _claim(mark), line.state.context, line.vocabulary)
        if made is None or made.value == "?" or made.ask:
            return False
        kinds.add(made.item.partition(".")[0])
    there = {word.name for mark in marks for word in mark.values}
    return len(kinds) == 1 and ("present" not in there or len({m.text for m in marks}) == 1)


def _pair(line: Line, places: list[int], names: list[list[Subject]], side: str) -> int:
    state = line.state
    made: list[Draft] = []
    for mine, place in zip(names, places, strict=True):
        claim = _claim(line.marks[place])
        made += assign(line, claim, mine, rule="one grade each", only_side=side) or []
    # A side said after the values is of all of them.
    line.group = made
    if side:
        line.value_side = ""
    state.open, state.chain = [], []
    state.row = [subject for mine in names for subject in mine]
    state.last_subjects = list(names[-1])
    return places[-1] + 1


def _uneven(
    line: Line, places: list[int], names: list[list[Subject]], paired: bool = False
) -> bool:
    """Whether numbers that are several, but more or fewer than the names, end the sentence or are
    said to be given out in turn."""
    if len(places) < 2 or len(places) == len(names) or line.marks[places[0]].number is None:
        return False
    return paired or all(m.light or m.has("pause") for m in line.marks[places[-1] + 1 :])


def _ask(line: Line, places: list[int], names: list[list[Subject]], side: str = "") -> int:
    """Asks which of the values is of which name, and finds nothing."""
    state = line.state
    said = " ".join(line.marks[place].text for place in places)
    listed = ", ".join(mine[0].term.label for mine in names)
    marks = [mine[0].mark for mine in names]
    state.doubts.append(
        Doubtful(
            "value", True, f"{listed}: {len(places)} values ({said}) for {len(names)} names; "
            "which is of which?", "", side if side in OPPOSITE else "none",  # type: ignore[arg-type]
            (), [], (*marks, *(line.marks[place] for place in places)), rule="uneven_list",
        )
    )  # fmt: skip
    line.value_side = ""
    state.open, state.chain = [], []
    return places[-1] + 1
