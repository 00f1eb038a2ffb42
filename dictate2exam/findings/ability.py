"""A movement said to be beyond the patient ("unable to extend the wrist") names no grade: asked."""

from dictate2exam.findings.line import Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Doubtful
from dictate2exam.units import Side

OWNED = {"his": "the", "her": "the", "their": "the", "that": "the"}
LISTS = {"denied", "not_of"}
SUGGESTED = ("0", "1", "2")
LOOK_BACK = 2


def ask_ability(line: Line) -> None:
    """Asks for the grade of a movement that was denied without one, outside talk."""
    if line.speaker == "patient" or line.asked:
        return
    cues = line.vocabulary.phrases.cues
    words = [(w, m) for m in line.marks for w in m.text.replace("'", "").split()]
    text = [OWNED.get(word, word) for word, _ in words]
    for at in range(len(text)):
        length = _starts(text[at:], cues["ability.denied"])
        before = text[max(0, at - LOOK_BACK) : at]
        if not length or set(before) & set(cues["ability.not_of"]):
            continue
        for name, ways in cues.items():
            head, _, movement = name.partition(".")
            if head != "ability" or movement in LISTS:
                continue
            moved = _starts(text[at + length :], ways)
            if moved:
                marks = [mark for _, mark in words[at : at + length + moved]]
                if not any(mark.scope in {"history", "plan", "other_person"} for mark in marks):
                    _ask(line, movement, marks)
                return


def _starts(text: list[str], ways: tuple[str, ...]) -> int:
    """Length in words of the longest way of saying that the text starts with, or 0."""
    if not text:
        return 0
    likely = (way.split() for way in ways if way.startswith(text[0]))
    return max((len(way) for way in likely if text[: len(way)] == way), default=0)


def _ask(line: Line, movement: str, marks: list[Mark]) -> None:
    item = f"power.{movement}"
    state = line.state
    if any(draft.item == item and not draft.gone for draft in state.drafts):
        return
    named = state.side or state.default_side
    side: Side = "left" if named == "left" else "right" if named == "right" else "none"
    label = line.vocabulary.by_id[("movement", movement)].label
    said = " ".join(mark.text for mark in _once(marks))
    question = f'{label}: "{said}" says no grade; which is it?'
    state.doubts.append(
        Doubtful(
            "value",
            False,
            question,
            item,
            side,
            SUGGESTED,
            [],
            tuple(_once(marks)),
            rule="ability_without_grade",
        )
    )


def _once(marks: list[Mark]) -> list[Mark]:
    return [mark for at, mark in enumerate(marks) if at == 0 or mark is not marks[at - 1]]
