"""When two findings say the same thing, and which of them says it more exactly."""

from collections.abc import Sequence

from dictate2exam.findings.model import Finding
from dictate2exam.questions import Question

# Findings of these kinds are free text: several may stand side by side.
FREE_KINDS = ("context",)

Slot = tuple[str, str, str]


def slot_of(finding: Finding) -> Slot:
    """What can have only one value: item, side and, for the skin, touch or pin."""
    modality = finding.detail.get("modality", "")
    if finding.item.startswith("sensation.") and modality == "touch":
        modality = ""
    return finding.item, finding.side, modality


def is_free(finding: Finding) -> bool:
    """Whether several values of the item may stand beside each other."""
    return finding.item.partition(".")[0] in FREE_KINDS


def _level(finding: Finding) -> str:
    """Sensation as normal, reduced or absent, whatever its scale; other values as they are."""
    if not finding.item.startswith("sensation.") or not finding.value.isdigit():
        return finding.value
    number, top = int(finding.value), 2 if finding.scale == "isncsci" else 10
    return "absent" if number == 0 else "normal" if number >= top else "reduced"


def agree(one: Finding, other: Finding) -> bool:
    """Whether the two values don't contradict each other: "normal" and ten out of ten do agree."""
    if one.value == other.value and one.scale == other.scale:
        return True
    both_numbers = one.value.isdigit() and other.value.isdigit()
    if one.item.startswith("sensation.") and not (both_numbers and one.scale == other.scale):
        return _level(one) == _level(other)
    return one.value == other.value


def place_of(finding: Finding) -> tuple[int, int]:
    """Where in the speech the finding begins; an answer of the review comes after all speech."""
    if not finding.heard:
        return (1_000_000, 0)
    return min((stretch.utterance, stretch.first_word) for stretch in finding.heard)


def place_of_question(question: Question) -> tuple[int, int]:
    """Where in the speech the question begins; one about nothing that was said comes last."""
    if not question.heard:
        return (1_000_000, 0)
    return min((stretch.utterance, stretch.first_word) for stretch in question.heard)


def joined(findings: Sequence[Finding]) -> Finding:
    """Findings that agree as one: the first that gives a number, heard in all their places."""
    best = next((f for f in findings if f.value.isdigit()), findings[0])
    detail: dict[str, str] = {}
    for finding in findings:
        detail = finding.detail | detail
    stretches = {stretch: None for finding in findings for stretch in finding.heard}
    return best.model_copy(
        update={
            "finding_id": findings[0].finding_id,
            "detail": detail,
            "heard": tuple(stretches),
            "confidence": max(finding.confidence for finding in findings),
            "side_spoken": any(finding.side_spoken for finding in findings),
            "corrects": next((f.corrects for f in findings if f.corrects), ""),
        }
    )
