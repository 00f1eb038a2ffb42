"""Subordinate clauses set off by commas: "supraspinatus, which in March was a flicker, is three".

What such a clause recalls or teaches reaches no further than its commas, since the sentence goes
on with its own verb after them.
"""

from dictate2exam.findings.marks import MOTOR, Mark
from dictate2exam.findings.vocabulary import Vocabulary

# Talk that a clause of any kind keeps to itself; "when" may date the whole sentence.
GENERAL = "teaching"
# "About which", "all of which": so many marks of the opening are looked at.
OPENING = 3
# So many marks has an aside that only says a name again.
AGAIN = 4
BEING = frozenset({"is", "was"})


def around(
    marks: list[Mark], start: int, scope: str, vocabulary: Vocabulary
) -> tuple[int, int] | None:
    """Where the aside that holds the cue at `start` begins and ends, or None outside of one."""
    cues = vocabulary.phrases.cues
    at = next(place for place, mark in enumerate(marks) if mark.end > start)
    low = at
    while low and not marks[low - 1].has("pause"):
        low -= 1
    high = next((p for p in range(at, len(marks)) if marks[p].has("pause")), len(marks))
    if low and scope == GENERAL and _says_again(marks, low, high):
        return marks[low].start, marks[high].start if high < len(marks) else marks[-1].end
    if not low or high + 1 >= len(marks):
        return None
    if scope == GENERAL and _graded_behind(marks, low, high, vocabulary.phrases.mood["told_of"]):
        return marks[low].start, marks[high].start
    if scope == "plan" and _looked_again(marks, low, high, vocabulary.phrases.mood["told_of"]):
        return marks[low].start, marks[high].start
    if scope == "history" and _only_once(marks, low, high):
        return marks[low].start, marks[high].start
    head = [word for mark in marks[low : low + OPENING] for word in mark.text.split()]
    lead = 0
    while lead < len(head) and head[lead] in cues["aside.lead"]:
        lead += 1
    opener = "".join(head[lead : lead + 1])
    # "The badge area, a name which means little to the young, was absent."
    named = opener in cues["aside.article"] and set(cues["aside.relative"]) & set(head[lead:])
    related = opener in cues["aside.relative"] or bool(named)
    general = scope == GENERAL and opener in (*cues["aside.clause"], *cues["aside.adverb"])
    # "The biceps jerk, I was pleased to see, was brisk" plans nothing.
    general = general or (scope == "plan" and opener in cues["aside.parenthesis"])
    if opener in cues["aside.gloss"] and _is_gloss(marks[low + 1 : high]):
        return marks[low].start, marks[high].start
    if not (related or general) or not _goes_on(marks, low, high, cues):
        return None
    return marks[low].start, marks[high].start


def _is_gloss(inner: list[Mark]) -> bool:
    """Whether an aside only says a name in other words: "meaning the supraclavicular fossa"."""
    return any(m.terms for m in inner) and all(m.terms or m.light for m in inner)


def _only_once(marks: list[Mark], low: int, high: int) -> bool:
    """Whether "and, once the lights had been turned down," only tells what was done before it."""
    joined = low > 1 and marks[low - 2].text in {"and", "but"}
    inner = marks[low:high]
    plain = not any(m.terms or m.number or m.predicates or m.has("side") for m in inner)
    return joined and plain and inner[0].text == "once"


def _says_again(marks: list[Mark], low: int, high: int) -> bool:
    """Whether an aside only calls by another name what was just told: "the shoulder sits low, the
    classic droop, and the deltoid is wasted"."""
    told = {term for m in marks[:low] for term in m.terms}
    inner = marks[low:high]
    named = [term for m in inner for term in m.terms]
    plain = not any(m.valued or m.has("side") or m.has("list.copula") for m in inner)
    return bool(named) and plain and len(inner) <= AGAIN and told.issuperset(named)


def _graded_behind(marks: list[Mark], low: int, high: int, pronouns: tuple[str, ...]) -> bool:
    """Whether a name stands before the aside and its grade behind it: "FCR, my boss always asks
    about the FCR, and it's a zero"."""
    head, inner = marks[: low - 1], marks[low:high]
    told = {term for m in head for term in m.terms}
    named = {term for m in inner for term in m.terms}
    if not told or not told.issuperset(named) or any(m.scope for m in head):
        return False
    if any(m.valued and not m.light for m in [*head, *inner]):
        return False
    behind = [m for m in marks[high + 1 : high + 6] if m.text not in {"and", "but"}]
    led = bool(behind) and behind[0].text.split()[0] in pronouns
    graded = next((m for m in behind[1:] if not m.light or m.number), None)
    return led and graded is not None and graded.number is not None


def _looked_again(marks: list[Mark], low: int, high: int, pronouns: tuple[str, ...]) -> bool:
    """Whether what was found is told behind a second look at it: "absent, no, let me look at the
    trace again, it was reduced"."""
    again = any(
        m.has("correction.again") or m.has("correction.again_after") for m in marks[low:high]
    )
    led = marks[high + 1].text.split()[0] in pronouns
    return again and led and any(m.valued for m in marks[high + 1 : high + 5])


def _goes_on(marks: list[Mark], low: int, high: int, cues: dict[str, tuple[str, ...]]) -> bool:
    """Whether the sentence goes on behind the aside with a verb, or with a clause of its own where
    the aside names nothing examined."""
    after = marks[high + 1]
    first = after.text.split()[0]
    graded = next((m for m in marks[high + 1 : high + 3] if not m.light), None)
    if graded is not None and graded.number and not any(m.number for m in marks[low:high]):
        return True
    if first in cues["aside.verb"]:
        return True
    if first in cues["aside.ellipsis"]:
        return any(m.number for m in marks[high + 1 : high + 4])
    bare = not any(m.terms for m in marks[low:high])
    heads = not any(m.terms or m.valued for m in marks[: low - 1] if not m.light)
    listed = bool(after.terms) and after.terms[0].category in MOTOR and heads
    if bare and listed and marks[low].text in cues["aside.relative"] + ("where",):
        return True  # "in the hand, where one is wise to look, APB and ADM are five"
    return bare and first in cues["aside.clause_after"]


def quiet(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Leaves out a concession inside a list of names: "of the deltoid and, though it is less
    marked, of the infraspinatus"."""
    cues = vocabulary.phrases.cues
    _quiet_relative(marks, cues)
    _quiet_pose(marks, cues)
    _join_so(marks)
    _quiet_kept_out(marks, vocabulary.phrases.mood)
    _quiet_tests(marks, cues)
    for at in range(len(marks) - 2, 1, -1):
        joined = marks[at - 1].has("pause") and marks[at - 2].text in cues["aside.joined"]
        if not joined or not _opens_aside(marks, at, cues["aside.concession"]):
            continue
        end = next((p for p in range(at, len(marks)) if marks[p].has("pause")), -1)
        if end < 0:
            continue
        if any(m.terms or m.number or m.has("side") for m in marks[at:end]):
            continue
        if any(m.terms for m in marks[:at]) and any(m.terms for m in marks[end + 1 : end + 3]):
            del marks[at - 1 : end + 1]


def _quiet_tests(marks: list[Mark], cues: dict[str, tuple[str, ...]]) -> None:
    """The result of a test called by a name is no value of the muscle: "hornblower's clean"."""
    for at, mark in enumerate(marks[:-1]):
        if mark.text not in cues["aside.test"] or mark.terms:
            continue
        for result in marks[at + 1 : at + 3]:
            if result.values and not result.number and not result.terms:
                result.values, result.roles = (), frozenset({"list.light"})
                mark.roles = frozenset({"list.light"})


def _quiet_relative(marks: list[Mark], cues: dict[str, tuple[str, ...]]) -> None:
    """Leaves out a clause that finds nothing before the verb of what it describes: "the triceps,
    which he could not feel at all, was five"."""
    which, of = cues["aside.which"], cues["aside.of"]
    for at in range(len(marks) - 3, 1, -1):
        if not marks[at - 1].has("pause"):
            continue
        relative = marks[at].text in which or (marks[at].text in of and marks[at + 1].text in which)
        if not relative or not any(m.terms for m in marks[:at]):
            continue
        end = next((p for p in range(at, len(marks) - 1) if marks[p].has("pause")), -1)
        if end < 0 or marks[end + 1].text.split()[0] not in cues["aside.predicate"]:
            continue
        inner = marks[at:end]
        sided = any(m.has("side.left") or m.has("side.right") for m in inner)
        if not sided and not any(m.terms or m.number or m.predicates for m in inner):
            _drop(marks, at - 1, end)


# What is bidden or taught in an aside that is passed over reaches no further than its comma.
INSIDE = frozenset({"instruction", "teaching", "plan", "question"})


def _drop(marks: list[Mark], low: int, high: int) -> None:
    """Takes an aside out with its commas, and the talk that began in it off what follows."""
    begun = {m.scope for m in marks[low:high]} - {m.scope for m in marks[:low]}
    for mark in marks[high + 1 :]:
        if mark.scope not in begun & INSIDE:
            break
        mark.scope = mark.reach = ""
    del marks[low : high + 1]


def _join_so(marks: list[Mark]) -> None:
    """Joins "and so, I am sorry to say, was" to the "so was" that it is."""
    for at in range(len(marks) - 5, 0, -1):
        after = marks[at + 1 :]
        end = next((n for n, m in enumerate(after[1:], start=1) if m.has("pause")), -1)
        if marks[at].text != "so" or not after[0].has("pause") or end < 2 or end + 2 >= len(after):
            continue
        verb, named = after[end + 1 : end + 3]
        plain = all(m.light or m.has("hedge") or m.text == "am" for m in after[1:end])
        if marks[at - 1].text == "and" and plain and verb.text in BEING and named.terms:
            marks[at].text, marks[at].roles = "so was", frozenset({"list", "list.same_as"})
            del marks[at + 1 : at + 1 + end + 2]


def _quiet_pose(marks: list[Mark], cues: dict[str, tuple[str, ...]]) -> None:
    """How an arm was held, or looked at, between commas: "brachioradialis, with the thumb pointing
    up, is a five", "nor, when I feel for it, any subluxation"."""
    for at in range(len(marks) - 3, 1, -1):
        end = next((p for p in range(at, len(marks) - 1) if marks[p].has("pause")), -1)
        if not marks[at - 1].has("pause") or end <= at:
            continue
        inner = marks[at:end]
        held = marks[at].text == "with" and marks[end + 1].text.split()[0] in BEING
        held = held and bool(marks[at - 2].terms) and marks[at - 2].terms[0].category in MOTOR
        looked = marks[at - 2].text == "nor" and marks[at].text in cues["aside.clause"]
        named = any(t.category != "place" for m in inner for t in m.terms)
        valued = any(m.number or m.predicates or (m.values and not m.light) for m in inner)
        if (held or looked) and not (named or valued or any(m.has("side") for m in inner)):
            _drop(marks, at - 1, end)
            if looked and marks[at - 1].text == "any":
                for mark in marks[at - 1 :]:
                    mark.scope = mark.reach = ""


def _quiet_kept_out(marks: list[Mark], mood: dict[str, tuple[str, ...]]) -> None:
    """A muscle that is only kept from helping is not the one that is graded."""
    for at in range(1, len(marks)):
        if marks[at].text not in mood["so"]:
            continue
        end = next((p for p in range(at, len(marks)) if marks[p].has("pause")), -1)
        inner = marks[at + 1 : max(end, at)]
        named = [n for n, m in enumerate(inner) if m.terms and m.terms[0].category == "muscle"]
        denied = any(m.text in mood["kept_out"] for m in inner)
        tried = any(m.terms and m.terms[0].category in MOTOR for m in marks[:at])
        valued = any(m.number or (m.valued and not m.light) for m in inner)
        graded = any(m.number for m in marks[:at])
        if not (named and denied and tried) or valued or graded:
            continue
        for mark in inner:
            mark.terms, mark.values, mark.scope = (), (), ""
            mark.roles = frozenset({"list.light"})


def _opens_aside(marks: list[Mark], at: int, openers: tuple[str, ...]) -> bool:
    """Whether a concession, or a word for how the speaker takes it, begins here."""
    words = [word for mark in marks[at : at + OPENING] for word in mark.text.split()]
    return any(" ".join(words[:size]) in openers for size in range(1, OPENING + 2))
