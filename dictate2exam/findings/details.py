"""Details of a finding: how a muscle was tested, what limited it, which way the scapula wings."""

from dictate2exam.findings.line import Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.reach import FIRM
from dictate2exam.findings.state import Draft

MOTOR = ("power.", "range.")
WINGING = "sign.scapular_winging"
# Sentences for which a detail said before its grade is kept.
KEPT = 2


def note_details(line: Line) -> None:
    """Gives the details of a sentence to its findings, to those before it, or to the next ones;
    "because it hurts" is no teaching where a grade stands before it."""
    state = line.state
    found = [d for d in state.sentence_drafts if not d.gone]
    _take_kept(line, found)
    for mark in line.marks:
        reason = mark.scope == "teaching" and mark.reach == "forward" and found
        if mark.scope in FIRM and not reason:
            continue
        for key, value in _details(mark):
            if key == "pattern":
                _wings(line, found, value)
                continue
            owners = _owners(line, mark, found)
            for draft in owners:
                draft.detail.setdefault(key, value)
            if not owners and line.speaker != "patient":
                names = {t.term_id for m in line.marks for t in m.terms}
                names |= {s.term.term_id for s in state.open}
                state.kept_details.append((state.sentence, frozenset(names), key, value))
    for mark in line.marks:
        if any(t.term_id == "scapular_winging" for t in mark.terms):
            for value in ("medial", "lateral", "rhomboid"):
                ways = line.vocabulary.phrases.cues[f"detail.pattern.{value}"]
                if any(word in ways for word in mark.text.split()):
                    _wings(line, found, value)


def _details(mark: Mark) -> list[tuple[str, str]]:
    roles = [role.split(".", 2) for role in mark.roles if role.startswith("detail.")]
    return [(role[1], role[2]) for role in roles if len(role) == 3]


def _wings(line: Line, found: list[Draft], value: str) -> None:
    before = [] if found else line.state.last
    for draft in [*found, *before]:
        if draft.item == WINGING and draft.value == "present" and not draft.gone:
            draft.detail.setdefault("pattern", value)


def _owners(line: Line, mark: Mark, found: list[Draft]) -> list[Draft]:
    """The findings a detail belongs to: the last before it, the next after it, or the last."""
    motor = [d for d in found if d.item.startswith(MOTOR)]
    here = [d for d in motor if d.marks[-1].written is mark.written]
    before = [d for d in here if d.marks[-1].start < mark.start]
    if before:
        last = before[-1].marks[-1]
        return [d for d in before if d.marks[-1] is last]
    if motor:
        first = motor[0].marks[-1]
        return [d for d in motor if d.marks[-1] is first]
    if any(m.terms and m.terms[0].category in {"muscle", "movement"} for m in line.marks):
        return []
    state = line.state
    return [
        d
        for d in state.last
        if not d.gone and d.item.startswith(MOTOR) and state.sentence - d.sentence <= KEPT
    ]


def _take_kept(line: Line, found: list[Draft]) -> None:
    """A method said before the grade: "I'll test serratus lying down ... serratus four"."""
    state = line.state
    state.kept_details = [k for k in state.kept_details if state.sentence - k[0] <= KEPT]
    for _, names, key, value in state.kept_details:
        for draft in found:
            if draft.item.startswith(MOTOR) and draft.term.term_id in names:
                draft.detail.setdefault(key, value)
