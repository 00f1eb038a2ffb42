"""What was just answered, asked again: "and on the left?", "the same spot with the pin?"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import SENSORY, SIGN_KINDS
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Draft, Subject

if TYPE_CHECKING:
    from dictate2exam.findings.claims import Claim
    from dictate2exam.findings.line import Line

ASKABLE = SENSORY | SIGN_KINDS | {"percussion"}
# Sentences that may lie between an answer and the question that asks it again.
STAYS = 3
SIDED = ("side.left", "side.right", "side.other")


def ask_again(line: Line) -> bool:
    """Makes what was answered last wait for another answer; False where nothing is asked again."""
    state = line.state
    if line.speaker == "patient" or state.open:
        return False
    last = [d for d in state.last if not d.gone and d.term.category in ASKABLE]
    if not last or state.sentence - last[-1].sentence > STAYS:
        return False
    answered = all(d.patient for d in last)
    if answered and line.asked and _doubts_the_answer(line, last):
        return True
    side = next((m for m in line.marks if any(m.has(role) for role in SIDED)), None)
    modal = any(m.has("modality") for m in line.marks) and last[-1].item.startswith("sensation.")
    if not (side or modal) or not (line.asked or answered) or not _says_only_that(line):
        return False
    if any(m.number for m in line.marks):
        return False
    wanted = _side(line, last[-1]) if side is not None else ""
    if side is not None and wanted == last[-1].side and not modal:
        return False
    state.open = [
        Subject(
            draft.term,
            draft.marks[0],
            side=wanted or (draft.side if draft.side in OPPOSITE else None),  # type: ignore[arg-type]
            asked=True,
            sentence=state.sentence,
        )
        for draft in last
    ]
    if modal:
        name_touch(line, last)
    return True


def _doubts_the_answer(line: Line, last: list[Draft]) -> bool:
    """ "Sure?", "never at all?": the answer may still be changed, a score by another score and
    what was denied by a yes."""
    cues = line.vocabulary.phrases.cues
    said = {word for m in line.marks if not m.has("pause") for word in m.text.split()}
    if not said or not said <= set(cues["answer.sure"]):
        return False
    denied = all(d.value == "absent" for d in last) and bool(said & set(cues["answer.never"]))
    scored = all(d.item.startswith("sensation.") for d in last)
    if not (denied or scored):
        return False
    line.state.open = [
        Subject(
            d.term,
            d.marks[0],
            d.side if d.side in OPPOSITE else None,
            asked=denied,
            sentence=line.state.sentence,
        )
        for d in last
    ]
    return True


def _side(line: Line, draft: Draft) -> str:
    """The side that is asked about now."""
    for name in OPPOSITE:
        if any(m.has(f"side.{name}") for m in line.marks):
            return name
    return OPPOSITE.get(draft.side, "")


def _says_only_that(line: Line) -> bool:
    """Whether the words only ask again, or answer it, and name nothing."""
    cues = line.vocabulary.phrases.cues
    return all(
        m.light
        or (m.valued and not m.predicates)
        or m.has("hedge")
        or m.has("pause")
        or m.has("side")
        or m.has("modality")
        or m.has("kind")
        or m.has("list.same")
        or all(word in cues["answer.again"] for word in m.text.split())
        for m in line.marks
    )


def name_touch(line: Line, drafts: list[Draft]) -> None:
    """What was scored before the pin came was touch."""
    if line.state.modality == "pin":
        for draft in drafts:
            draft.detail.setdefault("modality", "touch")


def other_modality(line: Line, claim: Claim) -> bool:
    """ "Thumb seven. With the pin five.": a second score of the place that was scored last."""
    state = line.state
    named = any(m.has("modality") for m in line.marks)
    last = [d for d in state.last if not d.gone and d.item.startswith("sensation.")]
    if not (named and last and state.modality and _says_only_that(line)):
        return False
    if last[-1].detail.get("modality") == state.modality or line.group:
        return False
    subjects = [Subject(d.term, d.marks[0], sentence=state.sentence) for d in last]
    for subject, draft in zip(subjects, last, strict=True):
        subject.side = draft.side if draft.side in OPPOSITE else None
    made = assign(line, claim, subjects, rule="other modality")
    if made:
        name_touch(line, last)
    return bool(made)
