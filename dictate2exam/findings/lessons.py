"""What is taught by its wording: how two signs are told apart, how a grade is earned, who a case
is told of, when it does not matter which of two grades it is."""

from dictate2exam.findings.frames import Cue
from dictate2exam.findings.marks import Mark

Words = dict[str, tuple[str, ...]]
# So many words stand between "a" and "of mine", or between "in a" and "palsy".
NEAR = 6
WORDS = 4
# The upper ends of scales of power.
TOPS = frozenset({5, 7})
ARTICLES = frozenset({"a", "an", "any"})
LATER = frozenset({"muscle", "movement"})
SIGNS = frozenset({"sign", "posture", "percussion"})


def lessons(marks: list[Mark], opened: int, words: Words) -> list[Cue]:
    """The stretch of a sentence that is taught, or told of another, by its wording."""
    body = marks[opened:]
    whole = (body[0].start, marks[-1].end)
    if _of_another(body, words):
        return [(*whole, "other_person", "itself")]
    if (
        _told_apart(body, words)
        or _earned(body, words)
        or _shown(body, words)
        or _is_ideal(body, words)
        or _counts_for_part(body, words)
        or _published(body, words)
    ):
        return [(*whole, "teaching", "itself")]
    found = _whichever(body, words) or _whole_scale(body) or _defined(body, words)
    return found or _in_a_lesion(body, words)


def _said(marks: list[Mark]) -> list[str]:
    return [word for m in marks for word in m.text.split()]


def _told_apart(body: list[Mark], words: Words) -> bool:
    """ "How to tell winging from a drop", "don't confuse a weak trapezius with a sore shoulder"."""
    if set(_said(body)) & set(words["of_patient"]):
        return False
    for at, mark in enumerate(body[:-1]):
        verb = mark.text.split()[0]
        confuses = verb in words["confusing"]
        if not confuses and verb not in words["parting"]:
            continue
        if body[at + 1].has("pause") or body[at + 1].text.split()[0] in words["told_to"]:
            continue
        if confuses and (not at or body[at - 1].text.split()[-1] not in words["bidden"]):
            continue
        links = {"with", "for"} if confuses else {"from"}
        named = False
        for after in body[at + 1 :]:
            if after.has("pause") and not confuses:
                break
            if named and after.text.split()[0] in links:
                rest = [*after.text.split()[1:], *_said(body[body.index(after) + 1 :])]
                return bool(rest) and (confuses or rest[0] not in words["from_where"])
            named = named or bool(after.terms)
    confused = f" {' '.join(_said(body))} "
    indefinite = body[0].text.split()[0] in words["indefinite"]
    return indefinite and any(f" {form} " in confused for form in words["confused"])


def _earned(body: list[Mark], words: Words) -> bool:
    """ "To count as a two the biceps must move, otherwise ...", "has to lift to be a three"."""
    said = _said(body)
    otherwise = set(said) & set(words["otherwise"])
    if not any(m.number for m in body) or set(said) & set(words["done"]):
        return False
    if "call" in said and not otherwise:
        return False
    needed = next((n for n, m in enumerate(body) if _needs(body, n, words)), -1)
    if needed < 1:
        return False
    if _is_purpose(body[:needed], words):
        return True
    subject = next((m for m in reversed(body[:needed]) if not m.light or m.text == "it"), body[0])
    if not subject.terms and subject.text not in {"it", "one", "muscle"}:
        return False
    rest = body[needed + 1 :]
    for at, mark in enumerate(rest):
        if mark.text.split()[-1] in words["otherwise"] and any(m.number for m in rest[at:]):
            return True
        if mark.text.split()[0] == "to" and _is_purpose(rest[at:], words):
            return True
    return False


def _needs(body: list[Mark], at: int, words: Words) -> bool:
    """Whether what must be done is said here: not in "it must be a four"."""
    said = _said(body[at : at + 3])
    if said[0] in words["needing"] and said[1:2] == ["to"]:
        said = said[1:]
    elif said[0] != "must":
        return False
    return said[1:2] != ["be"] and said[1:2] != ["have"]


def _is_purpose(body: list[Mark], words: Words) -> bool:
    """ "To count as a two", "in order to be a five", "for a three"."""
    said = _said(body)
    if said[:2] == ["in", "order"]:
        said = said[2:]
    if said[0] == "for":
        return _first_number(body[1:])
    if len(said) < 2 or said[0] != "to" or said[1] not in words["earning"]:
        return False
    near = [m for m in body[1:NEAR] if not m.has("pause")]
    return any(m.number for m in near)


def _first_number(after: list[Mark]) -> bool:
    first = next((m for m in after if m.text not in ARTICLES), None)
    return first is not None and first.number is not None


def _shown(body: list[Mark], words: Words) -> bool:
    """ "This is how I'd test the deltoid, and this would count as a four"."""
    said = _said(body)
    for at, word in enumerate(said[:-2]):
        if word == "how" and said[at + 1] in words["shows_how"] and said[at + 2] in words["trying"]:
            return "would" in said[at + 3 :] and "call" not in said
    return False


def _is_ideal(body: list[Mark], words: Words) -> bool:
    """ "A proper grip is a five": what anybody's is."""
    if (
        body[0].text not in ARTICLES
        or len(body) < 4
        or not set(_said(body[1:2])) & set(words["ideal"])
    ):
        return False
    rest = body[2:]
    if (
        not rest[0].terms
        or rest[0].terms[0].category not in LATER
        or not rest[1].has("list.copula")
    ):
        return False
    here = set(words["present_person"]) - {"me", "i", "my"}
    return _first_number(rest[2:]) and not set(_said(body)) & here


def _counts_for_part(body: list[Mark], words: Words) -> bool:
    """ "A biceps of four in sixty percent": what was found in many."""
    said = _said(body)
    for at, word in enumerate(said):
        if word in {"percent", "%"} or (word == "cent" and said[at - 1] == "per"):
            lead = said[max(0, at - WORDS) : at]
            after = said[at + 1 : at + WORDS]
            if "in" in lead and not set(after) & set(words["share_of"]):
                return True
    return False


def _published(body: list[Mark], words: Words) -> bool:
    """ "A paper from Taiwan reports", "in the Louisville series": nobody of today."""
    said = _said(body)
    for at, word in enumerate(said):
        if (
            word in words["study"]
            and at
            and set(said[at + 1 : at + 3]) & set(words["study_claims"])
        ):
            return _grades_muscle(body)
    if set(said) & set(words["ordered"]):
        return False
    for at, word in enumerate(said):
        if word not in words["literature"] or not at:
            continue
        if word == "series":
            return "in" in said[max(0, at - WORDS) : at]
        if said[at - 1] in ARTICLES | {"one"} and set(said[at + 1 : at + WORDS]) & set(
            words["claiming"]
        ):
            return True
    return False


def _grades_muscle(body: list[Mark]) -> bool:
    """Whether a muscle has its grade, which no study of nerves gives."""
    named = next((n for n, m in enumerate(body) if m.terms), len(body))
    if any(m.has("kind.needle") or m.has("kind.conduction") for m in body):
        return False
    muscle = any(m.terms[0].category in LATER for m in body[named : named + 1])
    return muscle and any(m.number for m in body[named + 1 : named + 1 + WORDS])


def _of_another(body: list[Mark], words: Words) -> bool:
    """ "An old polio patient of mine had", "a nurse I knew has", "I had a rower whose biceps": a
    person of another day."""
    said = [word for word in _said(body[: WORDS + NEAR]) if word != "once"]
    told = len(said) > 2 and said[0] in {"i", "we"} and said[1] in words["had_one"]
    if told and said[2] in words["someone"] and "whose" in said[3 : 3 + WORDS]:
        return True
    for at, mark in enumerate(body[:WORDS]):
        if mark.text.split()[0] in words["present_person"]:
            return False
        if mark.text.split()[0] not in words["someone"]:
            continue
        near: list[str] = []
        for after in body[at + 1 : at + 1 + NEAR]:
            if after.has("pause") or after.terms or after.valued:
                break
            near.extend(after.text.split())
        for place in range(1, len(near) - 1):
            if near[place] == "of" and near[place + 1] in {"mine", "ours"}:
                return True
            following = [w for w in near[place + 1 : place + 3] if w != "once"]
            if near[place] in {"i", "we"} and following and following[0] in words["knew"]:
                return True
    return False


def _whichever(body: list[Mark], words: Words) -> list[Cue]:
    """ "Whether the deltoid is two or three makes no difference"."""
    said = f" {' '.join(_said(body))} "
    if not any(f" {form} " in said for form in words["indifferent"]):
        return []
    opens = next((n for n, m in enumerate(body) if m.text.split()[-1] in {"whether", "if"}), -1)
    either = next(
        (
            n
            for n in range(1, len(body) - 1)
            if _joins(body[n]) and _is_graded(body[:n]) and _first_number(body[n + 1 :])
        ),
        -1,
    )
    if opens < 0 or either < opens:
        return []
    end = next((m.start for m in body[either:] if m.has("pause")), body[-1].end)
    return [(body[0].start, end, "teaching", "itself")]


def _joins(mark: Mark) -> bool:
    return mark.text == "or"


def _is_graded(before: list[Mark]) -> bool:
    return bool(before and before[-1].number)


def _whole_scale(body: list[Mark]) -> list[Cue]:
    """ "Not zero to five": a scale from end to end is no grade."""
    for at in range(len(body) - 2):
        low, word, high = body[at : at + 3]
        if not (low.number and high.number and word.text == "to") or low.number.value:
            continue
        if high.number.value not in TOPS or (at and body[at - 1].text.split()[-1] == "from"):
            continue
        others = any(m.number for n, m in enumerate(body) if n not in {at, at + 2})
        if others:
            return [(low.start, high.end, "teaching", "itself")]
        return [(body[0].start, body[-1].end, "teaching", "itself")]
    return []


def _defined(body: list[Mark], words: Words) -> list[Cue]:
    """ "Froment's is positive when the thumb bends because ...": asked about without a reason."""
    for at in range(1, len(body) - 2):
        if body[at].text.split()[0] not in words["defining"] or not body[at - 1].valued:
            continue
        head, subject = body[:at], body[at + 1].text.split()[0]
        named = any(m.terms and m.terms[0].category in SIGNS for m in head)
        if not named or any(m.has("pause") or m.has("side") for m in head):
            continue
        if subject in words["present_person"] or subject in words["tester"]:
            continue
        rest = _said(body[at + 1 :])
        if set(rest) & set(words["present_person"]):
            continue
        if any(m.has("list.copula") for m in body[at + 2 : at + 6]) or subject.endswith(
            ("ing", "ed")
        ):
            continue
        told = set(_said(head)) & set(words["definition"]) or set(rest) & set(words["reason"])
        if told:
            return [(body[0].start, body[-1].end, "teaching", "itself")]
        return [(body[at].start, body[at].end, "teaching", "unsure")]
    return []


def _in_a_lesion(body: list[Mark], words: Words) -> list[Cue]:
    """ "The teres minor could be nought in a quadrilateral space syndrome"."""
    for at, mark in enumerate(body[:-2]):
        if mark.text.split()[0] != "in":
            continue
        after = [*mark.text.split()[1:], *_said(body[at + 1 : at + 1 + WORDS])]
        lead = after[0] if after else ""
        named = next((n for n, word in enumerate(after[: WORDS + 1]) if word in words["lesion"]), 0)
        if (
            lead in ARTICLES | {"such"}
            and named
            and not set(after[:named]) & set(words["not_lesion"])
        ):
            return [(mark.start, mark.end, "teaching", "sentence")]
    return []
