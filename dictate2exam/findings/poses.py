"""How the limb was held, between a muscle and its grade: "supinator, elbow straight, three"."""

from dictate2exam.findings.marks import MOTOR, Mark
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary

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


def leave_aimed(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "ECU, come out toward your pinky", "wrist down towards your little finger": a part towards
    which a muscle or a joint moves is no skin."""
    motor = next((n for n, m in enumerate(marks) if _moves(m, vocabulary)), len(marks))
    for at in range(motor + 2, len(marks)):
        if not marks[at].terms or marks[at].terms[0].category not in {"place", "area"}:
            continue
        before = " " + " ".join(m.text for m in marks[motor + 1 : at])
        if any(before.endswith(f" {words}") for words in vocabulary.phrases.mood["aimed"]):
            marks[at].leave()


def _moves(mark: Mark, vocabulary: Vocabulary) -> bool:
    if mark.terms:
        return mark.terms[0].category in MOTOR
    return mark.text in vocabulary.joints or mark.has("instructed")


# Fingers that one spreads, and the muscles that do it.
SPREAD = {"little_finger": "abductor_digiti_minimi", "median_index_pulp": "dorsal_interosseous_1"}
FINGERS = frozenset({"finger", "fingers", "pinky", "pinkie"})


def name_spread(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Where muscles are graded a finger that is moved out is the muscle that does it: "little
    finger out on its own, that's a one"."""
    last = [d for d in state.drafts[-1:] if not d.gone]
    if not last or not last[0].item.startswith("power.") or state.context.topic == "sensation":
        return
    if any(m.has("modality") or m.has("kind") or m.has("scale") for m in marks):
        return
    for at, mark in enumerate(marks[:-1]):
        term = mark.terms[0] if mark.terms else None
        muscle = SPREAD.get(term.term_id) if term is not None else None
        moved = marks[at + 1].text.split()[0] in vocabulary.phrases.mood["finger_moved"]
        if muscle and moved and mark.text.split()[-1] in FINGERS:
            mark.terms, mark.roles = (vocabulary.by_id[("muscle", muscle)],), frozenset()
