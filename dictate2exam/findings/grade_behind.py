"""A grade that closes its sentence behind what was told of the muscle in between: "rhomboids, which
I always feel, because the trapezius can fool you, five"."""

from dictate2exam.findings.marks import MOTOR, Mark, Sentence
from dictate2exam.findings.vocabulary import Vocabulary

TALK = frozenset({"teaching", "instruction", "plan", "question"})
# What is recalled, or said of somebody else, keeps its grade to itself.
APART = frozenset({"history", "other_person", "talk", "counting"})


def give_behind(sentence: Sentence, vocabulary: Vocabulary) -> None:
    """Takes what stands between the name and its grade out of the way, and has it asked about where
    it is talk of any patient."""
    marks = sentence.marks
    if sentence.asked or marks[0].written.utterance.speaker == "patient":
        return
    first, named = _names(marks)
    graded = _grade(marks, named)
    if graded < 0:
        return
    aside = marks[named + 1 : graded]
    told = aside[0].text.split()[0] in vocabulary.phrases.mood["told_of_name"]
    bidden = aside[0].scope == "instruction" or _bids(aside)
    motor = any(m.terms and m.terms[0].category in MOTOR for m in aside)
    if not (told or bidden) or (motor and not told):
        return
    held = [m for m in (*marks[first : named + 1], marks[graded]) if m.scope]
    if not (held or motor):
        return
    if any(m.scope in APART for m in marks):
        return
    if any(m.scope == "teaching" for m in marks) and sentence.unsure is None:
        sentence.unsure = aside[0]
    for mark in aside if told else aside[_parts(aside) :]:
        if not mark.has("pause"):
            mark.leave()
        mark.scope = mark.reach = ""
    for mark in (*marks[first:named], *marks[graded:]):
        if mark.scope in TALK:
            mark.scope = mark.reach = ""


def _names(marks: list[Mark]) -> tuple[int, int]:
    """The muscles that open the sentence: the first one's place, and that of the pause behind."""
    first = next((n for n, m in enumerate(marks) if not m.light or m.has("pause")), len(marks))
    place = first
    while place < len(marks) and (
        (marks[place].terms and marks[place].terms[0].category in MOTOR)
        or (marks[place].has("list.join") and not marks[place].has("pause"))
    ):
        place += 1
    closed = first < place < len(marks) and marks[place].has("pause")
    return (first, place) if closed else (-1, -1)


def _grade(marks: list[Mark], named: int) -> int:
    """The place of the one grade of the sentence, where it stands alone behind the last pause."""
    if named < 0 or named + 2 >= len(marks):
        return -1
    graded = next((n for n in range(named + 1, len(marks)) if marks[n].number), -1)
    if graded < 0 or not any(m.has("pause") for m in marks[named + 1 : graded]):
        return -1
    before = marks[graded - 1]
    if not (before.has("pause") or (before.text == "a" and marks[graded - 2].has("pause"))):
        return -1
    between = [m for m in marks[named:graded] if m.scope != "teaching"]
    if any(m.predicates or (m.values and not m.light) for m in between):
        return -1
    rest = marks[graded + 1 :]
    paired = all(m.number or m.light or m.has("pause") for m in rest)
    goes_on = len(rest) > 2 and rest[0].has("pause") and rest[1].has("list.join")
    return graded if paired or goes_on else -1


def _parts(aside: list[Mark]) -> int:
    """The end of the words that tell which fingers are meant, at their pause; 0 without them."""
    pause = next((n for n, m in enumerate(aside) if m.has("pause")), 0)
    return pause if all(m.has("part") or m.light for m in aside[:pause]) else 0


def _bids(aside: list[Mark]) -> bool:
    """Whether the fingers meant are told before what is bidden: "the little ones, bend"."""
    pause = _parts(aside)
    return pause > 0 and any(m.scope == "instruction" for m in aside[pause + 1 : pause + 2])
