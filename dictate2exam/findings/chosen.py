"""What the examiner settles on aloud: "I'll go with four plus", "supraspinatus, is it, isn't it,
yeah it is, wasted"."""

from itertools import pairwise

from dictate2exam.findings.general import BEING
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.vocabulary import Vocabulary

CHOOSING = frozenset({"i", "ill", "i'll", "id", "im", "we", "we'll", "lets", "so", "just", ","})
ARTICLES = frozenset({"a", "an", "the"})
# What is wondered, and nothing offered: "is it, isn't it".
WONDERING = frozenset(
    {"is", "isnt", "was", "wasnt", "or", "it", "not", "is it", "isnt it", "was it"}
)
AT_LEAST = 4
# So many words may stand between a belief and its grade.
NEAR = 4
# ... and so many marks the words that tell of it.
LED = 6
TURNING = frozenset({"but", "no", "only", "though", "however", "so", "now"})
POINTED = frozenset({"they", "it", "that", "those", "these"})


def chooses(marks: list[Mark], start: int, end: int) -> bool:
    """Whether "go with" is said of a grade, and not of what goes with a lesion."""
    at = next((n for n, m in enumerate(marks) if m.end > start), len(marks))
    if at == len(marks) or not marks[at].has("correction.leave") or marks[at].end < end:
        return False
    ahead = next((m for m in marks[at + 1 :] if m.text not in ARTICLES), None)
    led = not at or marks[at - 1].text.split()[-1] in CHOOSING
    return led and ahead is not None and ahead.number is not None


def asks_himself(sentence: Sentence, start: int) -> bool:
    """Whether "is it, isn't it" behind a name offers nothing, and its answer is told behind it; the
    words for it are passed over."""
    marks = sentence.marks
    low = next((n for n, m in enumerate(marks) if m.end > start), len(marks))
    while low and (marks[low - 1].text in WONDERING or marks[low - 1].text == ","):
        low -= 1
    high = low
    while high < len(marks) and (marks[high].text in WONDERING or marks[high].has("pause")):
        high += 1
    words = [word for m in marks[low:high] if not m.has("pause") for word in m.text.split()]
    named = any(m.terms for m in marks[:low])
    both = {"is", "isnt"} <= set(words) or {"was", "wasnt"} <= set(words)
    both = both or (words[-1:] == ["not"] and "or" in words)
    if sentence.asked or not named or not both or len(words) < AT_LEAST or high == len(marks):
        return False
    for mark in marks[low:high]:
        if not mark.has("pause"):
            mark.leave()
    agreed = high
    while agreed < len(marks) and (marks[agreed].has("answer") or marks[agreed].has("pause")):
        agreed += 1
    if agreed < len(marks) and any(m.valued for m in marks[agreed:]):
        for mark in marks[high:agreed]:
            if not mark.has("pause"):
                mark.leave()
    return True


def found_though(marks: list[Mark], at: int, vocabulary: Vocabulary) -> list[int]:
    """Where behind a supposition and what would follow of it begins what was found: "if it were C5
    I'd have lost the rhomboids, and they were five"."""
    unreal = set(vocabulary.phrases.mood["would_have"])
    out: list[int] = []
    would = False
    for place in range(at + 1, len(marks) - 2):
        would = would or bool(set(marks[place].text.split()) & unreal)
        joined = marks[place].text.split()[0] in {"and", "but"}
        if not (would and joined and marks[place - 1].has("pause")):
            continue
        clause = marks[place + 1 :]
        pause = next((n for n, m in enumerate(clause) if m.has("pause")), len(clause))
        clause = clause[:pause]
        while clause and clause[0].text in {"the", "his", "her", "my", "both", "all"}:
            clause = clause[1:]
        named = bool(clause) and (bool(clause[0].terms) or clause[0].text in POINTED)
        if not named or len(clause) < 3 or clause[1].text.split()[0] not in BEING:
            continue
        if set(word for m in clause for word in m.text.split()) & unreal:
            continue
        said = next((m for m in clause[2:] if not m.light or m.number), None)
        if said is not None and said.number is not None:
            out.append(marks[place].start)
            would = False
    return out


def leave_believed(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """A grade that was only believed is passed over where another one of the same name follows, and
    so is the muscle between that was to blame: "I thought that was a two, but it's the deltoid, so
    triceps zero"."""
    _leave_compared(marks, vocabulary)
    believing = vocabulary.phrases.mood["believed"]
    graded = [n for n, m in enumerate(marks) if m.number is not None and not m.scope]
    for at, later in pairwise(graded):
        low = max(0, at - LED)
        before = " ".join(m.text for m in marks[low:at] if not m.has("pause"))
        named = [m for m in marks[:at] if m.terms]
        between = marks[at + 1 : later]
        others = [m for m in between if m.terms]
        own = not others or (bool(named) and others[-1].terms == named[-1].terms)
        apart = any(m.has("pause") for m in between)
        turned = any(m.text.split()[0] in TURNING for m in between)
        if not (own and apart and turned) or not any(
            f" {before} ".endswith(f" {form} ") for form in believing
        ):
            continue
        marks[at].number = None
        marks[at].leave()
        for mark in [m for m in others if m.terms != named[-1].terms]:
            mark.leave()


def _leave_compared(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """A grade that is only compared with is passed over where the one that stands follows behind a
    pause: "it's better than a three, four minus"."""
    words = vocabulary.phrases.mood["compared"]
    for at in range(1, len(marks) - 2):
        mark = marks[at]
        before = " ".join(m.text for m in marks[max(0, at - NEAR) : at])
        if mark.number is None or not marks[at + 1].has("pause"):
            continue
        if not any(f" {before} ".endswith(f" {form} ") for form in words):
            continue
        behind = [m for m in marks[at + 2 : at + 2 + NEAR] if not m.light or m.number]
        if not behind or behind[0].number is None:
            continue
        if {mark.scope, behind[0].scope} <= {"", "history"}:
            for said in marks[max(0, at - NEAR) : at + 2 + NEAR]:
                said.scope = "" if said.scope == "history" else said.scope
            mark.number = None
            mark.leave()
