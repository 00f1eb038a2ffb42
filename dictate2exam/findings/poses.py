"""How the limb was held, between a muscle and its grade: "supinator, elbow straight, three"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary

MOTOR = frozenset({"muscle", "movement"})
POSED = frozenset({"place", "area", "movement"})
HIGHEST_GRADE = 5
LONGEST = 6


def pass_over(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Leaves out a pose between pauses where a name stands before it and a grade behind it."""
    for at in range(len(marks) - 4, -1, -1):
        if not (marks[at].terms and marks[at].terms[0].category in MOTOR):
            continue
        end = next((n for n in range(at + 2, len(marks)) if marks[n].has("pause")), -1)
        if not marks[at + 1].has("pause") or not _is_pose(marks[at + 2 : end], vocabulary):
            continue
        graded = next((m for m in marks[end + 1 :] if not m.light or m.number), None)
        if any(m.text == "and" for m in marks[end + 1 : end + 2]):
            continue  # "show him teres minor, elbow bent, and grade it from nought to five"
        if end < 0 or graded is None or graded.terms or not graded.valued or graded.predicates:
            continue
        for after in marks[end : marks.index(graded) + 1]:
            if after.scope == "instruction":
                after.scope = after.reach = ""
        del marks[at + 1 : end]


def _is_pose(inner: list[Mark], vocabulary: Vocabulary) -> bool:
    """Whether a part of the limb and how it was held are all that was said."""
    if not 0 < len(inner) <= LONGEST or any(m.has("side") or m.predicates for m in inner):
        return False
    if any(m.number and m.number.value <= HIGHEST_GRADE for m in inner):
        return False
    if any(t.category not in POSED for m in inner for t in m.terms):
        return False
    cues = vocabulary.phrases.cues
    words = {word for m in inner for word in m.text.split()}
    return bool(words & set(cues["pose.part"]) and words & set(cues["pose.held"]))
