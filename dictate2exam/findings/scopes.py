"""Talk that is no finding: which marks of a sentence stand in teaching, history, instruction ..."""

from dictate2exam.findings import asides
from dictate2exam.findings.frames import only_leads
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.mood import moods
from dictate2exam.findings.resuming import (
    TODAY,
    TURNS,
    moves_it,
    only_colours,
    says_it_again,
    supposed_on,
    tells_what_came,
)
from dictate2exam.findings.vocabulary import Form, Vocabulary
from dictate2exam.text.model import Written

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
# A value at most this many marks before "last time" is what was so last time.
NEAR = 4
RANK = {name: rank for rank, name in enumerate(ORDER)}
# Words that open a clause of their own.
OPENING = frozenset({"which", "what", "that", "this", "so", "and", "but", "you", "we", "i"})
BEING = frozenset({"is", "are", "was", "were"})
# Talk that an asserted "term value" of its own cannot break out of.
SEEN = frozenset(
    ["a", "of", "some", "is", "theres", "slight", "mild", "obvious", "definite", "marked", "there"]
)
# "I am going to listen for a bruit", "look at your pupils for a Horner's" find none.
SOUGHT = frozenset({"for", "listen", "look", "search", "check"})
PRESENT = frozenset({"is", "are", "its", "has", "have", "theyre", "shows", "gives", "i"})
FIRM = frozenset({"history", "teaching", "other_person", "talk"})


def scope_tokens(
    sentence: Sentence,
    spans: list[tuple[int, int]],
    vocabulary: Vocabulary,
    written: Written,
    only: str = "",
) -> None:
    """Writes to every mark of the sentence the scope it stands in; with `only`, no other scope."""
    marks = sentence.marks
    first, last = marks[0].start, marks[-1].end
    cues: list[tuple[int, int, str, str]] = []
    resumes: list[int] = []
    taken: set[int] = set()
    for start, end in sorted(spans, key=lambda s: s[0] - s[1]):
        if start < first or end > last or start in taken:
            continue
        form: Form = tuple(t.text for t in written.tokens[start:end])
        if form in vocabulary.resume and not _colours(form, start, marks, vocabulary):
            resumes.append(start)
            if len(form) > 1:
                taken.update(range(start, end))
        for name, reach in vocabulary.scopes.get(form, ()):
            cues.append((start, end, name, reach))
        if form in vocabulary.scopes:
            taken.update(range(start, end))
    cues.extend(moods(marks, sentence.asked, vocabulary))
    resumes = [start for start in resumes if not supposed_on(marks, start, vocabulary)]
    resumes.extend(_before_today(marks, resumes))
    resumes.sort()
    cues.sort()
    turning = [*resumes, *(m.start for m in marks if m.text in {"his", "her", "in this man"})]
    turning.sort()
    questions = [start for start, _, name, reach in cues if name == "question" and reach == "open"]
    doubted: list[int] = []
    recalled = -1
    for start, end, name, reach in cues:
        if only and name != only:
            continue
        if reach == "starting" and (
            not _starts_clause(marks, start)
            or any(m.has("negation.before") and m.start <= start and end <= m.end for m in marks)
        ):
            continue
        if reach == "starting" and any(
            m.start < start < m.end and (m.has("list.copula") or m.has("list.same_as"))
            for m in marks
        ):
            continue  # "that is the ulnar half", "as was the hypothenar" ask nothing
        if reach == "starting" and _is_told(marks, start, vocabulary):
            continue
        if any(m.has("hedge") and m.start < start < m.end for m in marks):
            continue  # "I'd say the biceps is four" supposes nothing
        if any(m.number and m.start < start and end <= m.end for m in marks):
            continue  # "seven out of ten" is a score, and asks for none
        if name == "instruction" and any(
            m.has("correction.replace") and m.start <= start and end <= m.end for m in marks
        ):
            continue  # "tell a lie, three"
        if _is_part_of_term(marks, start, end) or (name == "history" and _own(marks, end)):
            continue
        if name == "teaching" and (says_it_again(marks, start) or moves_it(marks, start)):
            continue
        if reach == "unsure":
            doubted.append(start)
            continue
        if name == "teaching" and reach == "forward" and _only_leads(marks, start, end, vocabulary):
            continue
        if reach == "dated" and _tells_the_visit(marks, vocabulary):
            continue
        if name == "history" and only_colours(marks, start, end, vocabulary):
            continue
        if name == "question" and tells_what_came(sentence, start, end, questions, vocabulary):
            continue
        if name == "plan" and (_comes_to(marks, start, end) or _nothing_to(marks, start)):
            continue
        wanted = _to_find_out(marks, start, end, vocabulary) if name == "plan" else None
        if wanted is not None:
            _write(marks, *wanted, "teaching", reach)
            continue
        aside = None if reach == "itself" else asides.around(marks, start, name, vocabulary)
        if aside is not None and name in FIRM | {"plan"}:
            _write(marks, *aside, name, reach)
            recalled = max(recalled, aside[1] + 1 if name == "history" else -1)
            continue
        if name == "history" and start == recalled:
            continue  # "biceps, which had been zero, had recovered to four"
        _apply(
            marks,
            start,
            end,
            name,
            reach,
            turning if name == "teaching" and reach != "whole" else resumes,
            questions,
        )
    for start in doubted:
        mark = next(m for m in marks if m.end > start)
        if not mark.scope:
            sentence.unsure = mark
    if sentence.asked and not only:
        cued = [m.start for m in marks if m.scope == "question"]
        for mark in marks:
            if not mark.scope and (not cued or mark.start > cued[0]):
                mark.scope, mark.reach = "question", "offered"


def _only_leads(marks: list[Mark], start: int, end: int, vocabulary: Vocabulary) -> bool:
    """Whether the cue is "when you" or "if I" and only leads to a grade."""
    return only_leads(marks, start, end, vocabulary.phrases.mood)


def _comes_to(marks: list[Mark], start: int, end: int) -> bool:
    """Whether a number stands behind "come to", and what is graded before it."""
    before = any(m.terms for m in marks if m.end <= start)
    after = next((m for m in marks if m.start >= end), None)
    return before and after is not None and after.number is not None


def _nothing_to(marks: list[Mark], start: int) -> bool:
    """Whether "to see" is said of nothing: "nothing to see in the fossa, no swelling"."""
    before = next((m for m in reversed(marks) if m.end <= start), None)
    return before is not None and any(word.name == "nothing" for word in before.values)


def _colours(form: Form, start: int, marks: list[Mark], vocabulary: Vocabulary) -> bool:
    """Whether a word of praise only colours what follows: "a good year"."""
    words = vocabulary.phrases.mood
    if form[0] not in words["praise"]:
        return False
    before = [m for m in marks if m.end <= start]
    return bool(before) and before[-1].text.split()[-1] in words["before_praise"]


def _tells_the_visit(marks: list[Mark], vocabulary: Vocabulary) -> bool:
    """Whether a date only says when the patient was seen: "I reviewed him on the third of May"."""
    texts = [word for mark in marks for word in mark.text.split()]
    seen = vocabulary.phrases.mood["visit"]
    return any(word in seen for word in texts) and "last" not in texts


def _own(marks: list[Mark], end: int) -> bool:
    """Whether a comparison is with what was said today: "better than I said"."""
    return any(m.start == end and m.has("correction.replace") for m in marks)


def _is_part_of_term(marks: list[Mark], start: int, end: int) -> bool:
    """Whether the cue lies inside a longer mark that means something else."""
    return any(
        mark.start <= start and end <= mark.end and mark.end - mark.start > end - start
        for mark in marks
        if mark.terms
        or mark.predicates
        or mark.has("hedge")
        or mark.has("list.light")
        or mark.has("contrary")
        or (mark.values and mark.end - mark.start > 1)
    )


def _starts_clause(marks: list[Mark], start: int) -> bool:
    """Whether only light words stand between the last pause and the cue."""
    before = [m for m in marks if m.end <= start]
    first = next(m for m in marks if m.end > start)
    if first.text.startswith("any") and before:
        last = before[-1]
        denied = any(m.text == "nor" for m in before[-4:])
        return not (
            denied or last.has("negation") or last.text in {"or", "nor", "see", "find", "have"}
        )
    for mark in reversed(before):
        if mark.has("pause"):
            return True
        if mark.has("side"):
            return False
        if not (mark.light or mark.scope == "question" or mark.text in {"so", "okay", "have"}):
            return False
    return True


def _is_told(marks: list[Mark], start: int, vocabulary: Vocabulary) -> bool:
    """Whether the verb of a question has its subject before it, in a clause that names nothing:
    "and this is the proof: median normal", or "any" only says for how long: "none any more"."""
    at = next(place for place, mark in enumerate(marks) if mark.end > start)
    subject = marks[at - 1].text if at else ""
    mood = vocabulary.phrases.mood
    if marks[at].text == "any" and at and at + 1 < len(marks):
        return marks[at + 1].text in mood["longer"]
    if subject not in mood["pointed"] or marks[at].text.split()[0] not in mood["asking"]:
        return False
    closing = next((m for m in marks[at:] if m.terms or m.valued or m.has("pause")), None)
    return closing is not None and closing.has("pause")


def _apply(
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
    _write(marks, low, high, name, reach)


def _write(marks: list[Mark], low: int, high: int, name: str, reach: str) -> None:
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
        if name == "talk" and mark.has("pause") and _only_headed(head):
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


def _to_find_out(
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


def _first_finding(marks: list[Mark], end: int) -> int:
    """Where an instruction gives way to a finding: a term with a value, or a denied sign."""
    later = [m for m in marks if m.start >= end]
    for place, mark in enumerate(later):
        if mark.text == "so" and place and later[place - 1].has("pause"):
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


def _before_today(marks: list[Mark], resumes: list[int]) -> list[int]:
    """ "Deltoid three today": the word makes what stands before it today's too."""
    starts = []
    for place, mark in enumerate(marks):
        if mark.start not in resumes or mark.text not in TODAY or place < 2:
            continue
        back = place - 1
        if not marks[back].valued:
            continue
        back -= 1
        while back > 0 and marks[back].light and marks[back].text not in {"was", "were"}:
            back -= 1
        if marks[back].terms:
            starts.append(marks[back].start)
    return starts
