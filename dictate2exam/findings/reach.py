"""How far talk reaches from the words that tell it: its clause, to a finding, to the end."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.resuming import (
    TURNS,
)
from dictate2exam.findings.vocabulary import Vocabulary

# Stronger talk wins where several reach the same mark.
ORDER = (
    "counting",
    "instruction",
    "plan",
    "question",
    "history",
    "teaching",
    "other_person",
    "talk",
)

# Words that open a clause of their own.
OPENING = frozenset({"which", "what", "that", "this", "so", "and", "but", "you", "we", "i"})
IT_IS = frozenset({"its", "thats", "it is", "that is"})
BEING = frozenset({"is", "are", "was", "were"})
# "I am going to listen for a bruit", "look at your pupils for a Horner's" find none.
SOUGHT = frozenset({"for", "listen", "look", "search", "check"})

# So many words before an instruction tell of whom it was asked: "asked the young man to".
BIDDEN = 6


# A value at most this many marks before "last time" is what was so last time.
NEAR = 4


RANK = {name: rank for rank, name in enumerate(ORDER)}


# Talk that an asserted "term value" of its own cannot break out of.
SEEN = frozenset(
    ["a", "of", "some", "is", "theres", "slight", "mild", "obvious", "definite", "marked", "there"]
)


PRESENT = frozenset({"is", "are", "its", "has", "have", "theyre", "shows", "gives", "i"})


FIRM = frozenset({"history", "teaching", "other_person", "talk"})


def spread(
    marks: list[Mark],
    start: int,
    end: int,
    name: str,
    reach: str,
    resumes: list[int],
    questions: list[int],
) -> None:
    if reach == "sentence":
        low, high = _after_pairs(marks, start, name), marks[-1].end
        later = [r for r in resumes if r >= end]
        if later:
            high = later[0]
        turns = [m.start for m in marks if m.text in TURNS and m.end <= start]
        if turns:
            low = max(low, turns[-1])
    elif reach in {"both", "back", "dated"}:
        low, high = _clause(marks, start, end, resumes, reach)
    else:
        low, high = marks[0].start if reach == "whole" else start, marks[-1].end
        later = [r for r in resumes if r >= end]
        if later:
            high = later[0]
        if name in {"instruction", "plan"}:
            high = min(high, _first_finding(marks, end))
        if name == "teaching" and questions:
            later = [q for q in questions if q >= end]
            high = min(high, later[0]) if later else high
    if reach == "itself":
        low, high = start, end
    write_scope(marks, low, high, name, reach)


def write_scope(marks: list[Mark], low: int, high: int, name: str, reach: str) -> None:
    for mark in marks:
        if not (low <= mark.start < high):
            continue
        if mark.scope and RANK[mark.scope] >= RANK[name]:
            continue
        mark.scope, mark.reach = name, reach


def _clause(
    marks: list[Mark], start: int, end: int, resumes: list[int], reach: str
) -> tuple[int, int]:
    """The clause around a cue: back to a boundary, and on from the cue if it stands first."""
    low = marks[0].start
    valued_before = False
    seen_value: Mark | None = None
    for mark in reversed([m for m in marks if m.end <= start]):
        if mark.has("pause") or mark.start in resumes or mark.text in {"but", "however"}:
            low = mark.end
            break
        if mark.valued and mark.number:
            if seen_value is not None:
                low = seen_value.start
                break
            seen_value = mark
            valued_before = True
        elif mark.text == "was" and seen_value is not None:
            closed = [m for m in marks if m.number and m.end <= mark.start]
            if closed:
                low = mark.start
                break
    fronted = not any(m.terms or m.valued for m in marks if m.end <= start)
    near = [m for m in marks if m.end <= start][-NEAR:]
    valued_before = valued_before and any(m.number for m in near)
    if valued_before or reach == "back":
        return low, end
    high = marks[-1].end
    later = [r for r in resumes if r >= end]
    if later:
        high = later[0]
    else:
        valued = False
        for mark in marks:
            if mark.start < end:
                continue
            if mark.number or _is_told_of(mark):
                valued = True
            if valued and mark.has("pause") and not (fronted and _goes_on(marks, mark)):
                high = mark.start
                break
    return low, high


def _is_told_of(mark: Mark) -> bool:
    """Whether naming it is saying that it is there."""
    return bool(mark.terms) and mark.terms[0].category in {"sign", "posture"}


def _goes_on(marks: list[Mark], pause: Mark) -> bool:
    """Whether a list after "in March" goes on behind a pause: no verb of today stands there."""
    for mark in marks[marks.index(pause) + 1 :]:
        if mark.has("pause"):
            return True
        if mark.text.split()[0] in PRESENT:
            return False
    return True


def _after_pairs(marks: list[Mark], start: int, name: str) -> int:
    """Where talk that reaches over its sentence begins: after a pause or a "which" that closes
    what was found before it."""
    before = [m for m in marks if m.end <= start]
    verb = next(m for m in marks if m.end > start).text.split()[0]
    if verb not in OPENING and _is_subject(before):
        return marks[0].start
    for place in range(len(before) - 1, 0, -1):
        mark = before[place]
        if not (mark.has("pause") or mark.text in {"which", "which is", "as", "and", "so"}):
            continue
        head = before[:place]
        if mark.text in {"as", "and"} and start - mark.end > 3:
            continue
        if any(m.terms for m in head) and any(m.valued or m.has("negation.before") for m in head):
            return mark.start
        if name == "talk" and mark.has("pause") and (_only_headed(head) or _only_scored(head)):
            return mark.start
    return marks[0].start


def _is_subject(before: list[Mark]) -> bool:
    """Whether what stands before the cue is its subject and an aside between commas: "a positive
    Froment, as you know, means"."""
    pauses = [n for n, m in enumerate(before) if m.has("pause")]
    if len(pauses) != 2 or pauses[1] != len(before) - 1:
        return False
    head, aside = before[: pauses[0]], before[pauses[0] + 1 : -1]
    verb = any(m.has("list.copula") and m.text not in {"a", "an"} for m in head)
    verb = verb or any(word in BEING for m in head for word in m.text.split())
    named = any(m.terms for m in head) and not any(m.number or m.has("side") for m in head)
    return named and not verb and not any(m.terms or m.valued for m in aside)


def _only_headed(head: list[Mark]) -> bool:
    """Whether a name and its side were said before somebody broke off: "triceps jerk on the
    right, sorry, my phone"."""
    named = any(m.terms for m in head) and any(m.has("side") for m in head)
    return named and all(m.terms or m.has("side") or m.light for m in head)


def _only_scored(head: list[Mark]) -> bool:
    """Whether a patient's score was said before something else was told: "no, ten, I was thinking
    about lunch"."""
    if head[0].written.utterance.speaker != "patient" or not any(m.number for m in head):
        return False
    return all(
        m.number or m.light or m.has("pause") or m.has("correction") or m.has("answer")
        for m in head
    )


def to_find_out(
    marks: list[Mark], start: int, end: int, vocabulary: Vocabulary
) -> tuple[int, int] | None:
    """What a test is ordered for: "a chest film to see whether the diaphragm is up, on Monday"."""
    last = next((m for m in marks if m.end == end), None)
    if last is None or last.text.split()[-1] not in {"if", "whether"}:
        return None
    tests = vocabulary.phrases.mood["ordered"]
    if not any(word in tests for m in marks if m.end <= start for word in m.text.split()):
        return None
    return start, next((m.start for m in marks if m.start >= end and m.has("pause")), marks[-1].end)


def reported(
    marks: list[Mark], start: int, end: int, vocabulary: Vocabulary
) -> tuple[int, int] | None:
    """An instruction that is only told: "when I asked him to push forward, the scapula winged"."""
    words = vocabulary.phrases.mood
    before = [word for m in marks if m.end <= start for word in m.text.split()][-BIDDEN:]
    told = next((n for n, word in enumerate(before) if word in words["asked_to"]), len(before))
    if "to" not in before[told:] or not set(before) & set(words["asked_whom"]):
        return None
    pause = next((m.start for m in marks if m.start >= end and m.has("pause")), -1)
    return (start, pause) if pause >= 0 else None


def _first_finding(marks: list[Mark], end: int) -> int:
    """Where an instruction gives way to a finding: a term with a value, or a denied sign."""
    later = [m for m in marks if m.start >= end]
    for place, mark in enumerate(later):
        if mark.text == "so" and place and later[place - 1].has("pause"):
            return mark.start
        if mark.has("pause") and _is_told_of_it(later[place + 1 : place + 6]):
            return mark.start
        if mark.number and _is_given(later[place + 1 :]):
            return mark.start
        if any(word.name == "no_contraction" for word in mark.values) and any(
            m.terms for m in later[place + 1 : place + 4]
        ):
            return mark.start
        if place and later[place - 1].has("pause") and _names_direction(later[place:]):
            return mark.start
        if not mark.terms or mark.terms[0].category == "place":
            continue
        after = [m for m in later[place + 1 : place + 4] if not m.has("side")][:2]
        if after and (after[0].valued and not after[0].light):
            return mark.start
        if len(after) == 2 and after[0].has("list.copula") and after[1].valued:
            return mark.start
        if _is_graded(later[place + 1 :]):
            return mark.start
        before = later[place - 1] if place else None
        if before is not None and before.has("negation.before"):
            return before.start
        sought = place > 1 and later[place - 2].text.split()[-1] in SOUGHT
        seen = before is not None and before.text in SEEN and not (sought or place == 1)
        seen = seen or (before is not None and before.text == ":")
        if seen and mark.terms[0].category in {"sign", "posture"} and before is not None:
            return before.start
    return marks[-1].end


def _is_told_of_it(after: list[Mark]) -> bool:
    """Whether "and it's a four" follows what was bidden."""
    said = [m for m in after if m.text not in {"and", "so", "now", "a"}]
    told = len(said) > 1 and said[0].has("list.copula") and said[0].text in IT_IS
    closes = len(said) < 3 or said[2].has("pause")
    return told and said[1].number is not None and closes


def _names_direction(after: list[Mark]) -> bool:
    """Whether a direction and its grade follow what was bidden: "elbow up, extension five"."""
    named = any(r.startswith("direction.") and ".verb." not in r for r in after[0].roles)
    graded = next((m for m in after[1:3] if not m.light), None)
    return named and graded is not None and graded.number is not None


def _is_given(after: list[Mark]) -> bool:
    """Whether a number is given to the muscle after it: "five for the extensor digitorum"."""
    owner = next((m for m in after[1:4] if not m.light), None)
    motor = {"muscle", "movement"}
    named = owner is not None and any(term.category in motor for term in owner.terms)
    return named and after[0].text in {"for", "for the"}


def _is_graded(after: list[Mark]) -> bool:
    """Whether a verb and a grade follow a term: "the rhomboids are a five"."""
    if not after or not after[0].has("list.copula"):
        return False
    rest = [m for m in after[1:5] if not (m.light and not m.number)]
    return bool(rest) and rest[0].number is not None
