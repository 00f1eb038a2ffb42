"""Two-point discrimination: millimetres are kept as a detail and are no score."""

from dictate2exam.findings.line import SENSORY, Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Doubtful, heard_text

MILLIMETRES = frozenset({"mm", "mil", "mils", "millimetre", "millimetres", "millimeters"})


def free_numbers(marks: list[Mark]) -> None:
    """Numbers of a sentence on two-point discrimination are distances, unless out of ten."""
    if not any(m.has("two_point") for m in marks):
        return
    for mark in marks:
        if mark.number is not None and not (mark.number.scale or mark.number.sign):
            mark.number = None
            mark.roles = mark.roles | {"quantity"}


def note_millimetres(line: Line) -> None:
    """Keeps the distance beside the area's finding; alone it is asked what it means."""
    state = line.state
    spoken = any(m.has("two_point") for m in line.marks)
    distances = [
        mark
        for at, mark in enumerate(line.marks)
        if mark.has("quantity")
        and (spoken or (at + 1 < len(line.marks) and line.marks[at + 1].text in MILLIMETRES))
    ]
    if not distances:
        return
    made = [d for d in state.sentence_drafts if d.item.startswith("sensation.") and not d.gone]
    for draft in made:
        draft.detail.setdefault("two_point_mm", distances[-1].text)
    waiting = [s for s in state.open if s.term.category in SENSORY]
    if made or not waiting:
        return
    subject = waiting[-1]
    item = f"sensation.{subject.term.means or subject.term.term_id}"
    side = state.side if state.side in {"left", "right"} else "none"
    said = heard_text(distances[-1])
    doubt = Doubtful(
        "value", False, f"{subject.term.label}, two points at {said} mm: is that normal?",
        item, side, ("normal", "reduced"), [], (subject.mark, distances[-1]),  # type: ignore[arg-type]
        rule="two_points",
    )  # fmt: skip
    state.doubts.append(doubt)
    state.millimetres = (state.sentence, distances[-1], doubt)


def settle_distance(line: Line) -> None:
    """A value in the next sentence says what the distance meant."""
    state = line.state
    if state.millimetres is None or state.millimetres[0] == state.sentence:
        return
    _, distance, doubt = state.millimetres
    state.millimetres = None
    made = [d for d in state.sentence_drafts if d.item == doubt.item]
    for draft in made:
        draft.detail.setdefault("two_point_mm", distance.text)
    if made:
        state.doubts = [d for d in state.doubts if d is not doubt]
