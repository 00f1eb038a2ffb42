"""Words that seem to end talk, or to open it, and do not where they stand."""

from itertools import pairwise

from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.vocabulary import Vocabulary

TODAY = frozenset({"today", "currently", "at present", "this time"})
# With these nothing was done: "if I could get it full".
UNREAL = frozenset({"would", "could", "might", "should", "id", "were", "ever"})
# Words before which a clause may begin, and what is found by looking.
LEADING = 6
SEEN = frozenset({"sign", "posture", "bulk", "muscle"})
# What tapping does, and how a hindrance is told.
BRINGS = frozenset({"produces", "causes"})
WHY = ("because of", "due to", "owing to", "on account of", "thanks to")
DEFINITE = frozenset({"the", "his", "her", "your", "this", "that", "he", "she"})
# So near "you can get" a finger, and behind it where it goes.
FINGERED = 9
FINGERS = frozenset({"finger", "fingers", "thumb", "fingertip", "fingertips", "hand", "knuckle"})
INTO = frozenset({"under", "underneath", "into", "in", "between", "beneath", "behind", "below"})
STEADY = frozenset(
    {"held", "supported", "steadied", "stabilised", "stabilized", "fixed", "pinned", "braced"}
)
REPORTING = frozenset({"say", "says"})
STUDIED = frozenset({"kind.conduction", "kind.needle", "kind.imaging"})
ABLE = frozenset({"can", "could", "do", "did"})
LEAD = 4
TURNS = frozenset({"but", "however", "whereas", "now", "today"})


def _place(marks: list[Mark], start: int) -> int:
    """The number of the mark that a token lies in."""
    return next((n for n, m in enumerate(marks) if m.end > start), 0)


def moves_it(marks: list[Mark], start: int) -> bool:
    """Whether the examiner tells how passive movement was tried: "if I push the fingers myself,
    passive flexion is full"."""
    at = next((n for n, m in enumerate(marks) if m.start == start), -1)
    if at < 0 or marks[at].text != "if" or at + 1 == len(marks) or marks[at + 1].text != "i":
        return False
    said = {word for m in marks for word in m.text.split()}
    return any(m.has("kind.range") for m in marks) and not said & UNREAL


def looks_from(marks: list[Mark], vocabulary: Vocabulary) -> int:
    """The end of a clause that tells only from where the examiner looks at what is found behind
    it: "if I come round behind him, the shoulder droops"; 0 where there is none."""
    mood = vocabulary.phrases.mood
    words = [word for m in marks[:LEADING] for word in m.text.split()]
    opens = next((n for n, word in enumerate(words) if word in mood["condition_word"]), -1)
    if opens < 0 or any(word not in mood["filler"] for word in words[:opens]):
        return 0
    pause = next((n for n, m in enumerate(marks) if m.has("pause") and n > 1), -1)
    lead = [word for m in marks[:pause] for word in m.text.split()] if pause > 0 else []
    said = lead[opens + 1 :]
    if len(said) < 3 or said[0] not in mood["looker"] or said[1] not in mood["looking"]:
        return 0
    of_patient = bool(set(said) & set(mood["looked_at"]))
    if not (of_patient or (said[0] != "you" and set(said) & set(mood["looking_from"]))):
        return 0
    unreal = UNREAL | set(mood["not_tested"])
    if any(word in unreal for m in marks for word in m.text.split()):
        return 0
    found = any(m.terms and m.terms[0].category in SEEN for m in marks[pause:])
    early = any(m.terms and m.terms[0].category in SEEN for m in marks[:pause])
    return marks[pause].start if found and not early else 0


def says_it_again(marks: list[Mark], start: int) -> bool:
    """Whether a word only joins a muscle to its other name: "long flexors, meaning FDP"."""
    at = next(place for place, mark in enumerate(marks) if mark.end > start)
    after = marks[at + 1 : at + 2]
    if not marks[at].has("list.meaning") or not after or not after[0].terms:
        return False
    rest = any(m.has("list.rest") for m in marks[:at])  # "the others are five, meaning FCU"
    named = any(m.terms for m in marks[:at]) or (rest and any(m.number for m in marks[:at]))
    return named and after[0].terms[0].category == "muscle"


def own_habit(marks: list[Mark], start: int, vocabulary: Vocabulary) -> bool:
    """Whether the examiner only tells how an examination is always begun, and what is found stands
    behind a pause: "eyes first, because I always forget: no ptosis"."""
    mood = vocabulary.phrases.mood
    at = next((n for n, m in enumerate(marks) if m.end > start), len(marks))
    said = [word for m in marks[max(0, at - 1) :] for word in m.text.split()]
    place = said.index("always") if "always" in said[:3] else 0
    if not place or said[place - 1] not in {"i", "we"} or said[place + 1 : place + 2] == []:
        return False
    if said[place + 1] not in mood["going_about"]:
        return False
    pause = next((n for n in range(at, len(marks)) if marks[n].has("pause")), len(marks))
    head = marks[:pause]
    return pause + 1 < len(marks) and not any(m.number or m.scope for m in head)


def puts_fingers(marks: list[Mark], start: int) -> bool:
    """Whether a finger of the examiner's is what goes somewhere: "you can get two fingers under the
    acromion", not "you can get weak fingers"."""
    at = _place(marks, start)
    said = [word for m in marks[at:] for word in m.text.split()][:FINGERED]
    if said[:3] != ["you", "can", "get"]:
        return False
    finger = next((n for n, word in enumerate(said) if word in FINGERS), -1)
    return finger > 0 and any(word in INTO for word in said[finger + 1 : finger + 4])


def steadied(marks: list[Mark], start: int) -> bool:
    """Whether "once" only tells how a grade before it was tested: "five once the blade's held"."""
    at = _place(marks, start)
    form = marks[at].text.split()[:1]
    graded = any(m.number for m in marks[:at])
    behind = [m for m in marks[at + 1 : at + 6] if not m.has("pause")]
    return form == ["once"] and graded and any(m.text.split()[-1] in STEADY for m in behind)


def tested_today(marks: list[Mark], start: int, name: str) -> bool:
    """Whether somebody made a study of this patient today: "Doctor Lal passed a needle for me
    today: serratus was denervated"."""
    later = [m for m in marks if m.start >= start]
    studied = any(m.roles & STUDIED for m in later)
    return name == "other_person" and studied and any(m.text in TODAY for m in later)


def calls_it(marks: list[Mark], start: int, vocabulary: Vocabulary) -> bool:
    """Whether a sign that was just told is only called the classic one behind a pause: "the arm
    hangs turned in, the classic posture"."""
    at = _place(marks, start)
    form = " ".join(m.text for m in marks[at : at + 2])
    if not form.endswith("classic") or not at or not marks[at - 1].has("pause"):
        return False
    head, rest = marks[: at - 1], marks[at + 2 :]
    closed = next((n for n, m in enumerate(rest) if m.has("pause")), len(rest))
    if any(m.terms or m.valued for m in rest[:closed]):
        return False
    verbs = vocabulary.phrases.mood["verb"]
    told = any(word in verbs for m in head for word in m.text.split())
    told = told or (bool(head) and head[0].text in DEFINITE)
    return told and any(m.terms and m.terms[0].category in {"sign", "posture"} for m in head)


def came_back(marks: list[Mark], start: int, end: int, vocabulary: Vocabulary) -> bool:
    """Whether the test that was asked for has its result in the same clause: "the film that I
    requested showed a raised diaphragm"."""
    mood = vocabulary.phrases.mood
    at = _place(marks, start)
    asker = marks[at - 1].text.split()[-1] if at else ""
    form = [word for m in marks if start <= m.start < end for word in m.text.split()]
    if asker not in {"i", "we", "you"} or not form or form[-1] not in mood["ordering"]:
        return False
    tests = [m for m in marks[:at] if set(m.text.split()) & set(mood["ordered"])]
    for mark in marks[at + 1 :]:
        if mark.has("pause"):
            return False
        if set(mark.text.split()) & set(mood["showing"]):
            return bool(tests)
    return False


def study_says(marks: list[Mark], start: int, vocabulary: Vocabulary) -> bool:
    """Whether what a study says is told: "the scan report says C6 is avulsed", "the conduction
    studies say the median is"."""
    at = _place(marks, start)
    before, verb = marks[:at], marks[at].text.split()[0]
    tests = vocabulary.phrases.mood["ordered"]
    ordered = any(word in tests for m in before for word in m.text.split())
    headed = any(m.roles & STUDIED and not m.scope for m in before)
    paused = any(m.has("pause") for m in before)
    return (verb == "says" and ordered) or (verb in REPORTING and headed and not paused)


def comes_of_tapping(marks: list[Mark], start: int) -> bool:
    """Whether what tapping brings about is told: "tapping below the clavicle produces nothing"."""
    at = _place(marks, start)
    verb = marks[at].text.split()[0]
    tapped = any(word in {"tapping", "tap"} for m in marks[:at] for word in m.text.split())
    return verb in BRINGS and tapped


def hinders(marks: list[Mark], start: int) -> bool:
    """Whether a splint is only why nothing was tested: "not tested because of the splint"."""
    at = _place(marks, start)
    before = " ".join(m.text for m in marks[max(0, at - 4) : at])
    return any(f"{reason} " in f"{before} " for reason in WHY)


def called_so(marks: list[Mark], start: int) -> bool:
    """Whether what a grade would be is then called so: "this would be a four, call it four"."""
    at = _place(marks, start)
    if marks[at].text.split()[0] != "would":
        return False
    later = [m for m in marks[at + 1 :] if not m.has("pause")]
    return any(
        "call it" in f"{one.text} {two.text}" and any(m.number for m in later[n + 1 : n + 4])
        for n, (one, two) in enumerate(pairwise(later))
    )


def supposed_on(marks: list[Mark], start: int, vocabulary: Vocabulary) -> bool:
    """Whether a supposition goes on behind a word of today: "if you graft today and she gets"."""
    place = next((n for n, m in enumerate(marks) if m.start >= start), len(marks))
    after = [m.text for m in marks[place : place + 3]]
    if after[:1] == ["so"]:
        return not _is_test(marks[:place])  # "if I push the foot up, so there's clonus"
    if after[:1] == ["but"] and after[1:2] == ["whose"]:
        return any(m.text == "whose" for m in marks[:place])
    if after[:1] == ["but"] and _still_supposed(marks, place, vocabulary):
        return True
    if len(after) < 3 or after[0] not in TODAY or after[1] != "and":
        return False
    supposed = vocabulary.phrases.cues["breath.holds"]
    return after[2] in vocabulary.phrases.mood["subject"] and marks[0].text in supposed


def _is_test(before: list[Mark]) -> bool:
    """Whether what is supposed is what the examiner does: "if I tap here"."""
    texts = [m.text for m in before]
    return any(one in {"if", "when"} and other == "i" for one, other in pairwise(texts)) or any(
        text in {"if i", "when i"} for text in texts
    )


def only_colours(marks: list[Mark], start: int, end: int, vocabulary: Vocabulary) -> bool:
    """Whether "was only" says little of a name of its own, and nothing of today follows: "FCU was
    only three", not "FCU is four, was only three" nor "FCU was only three, now it is four"."""
    form = " ".join(m.text for m in marks if start <= m.start < end)
    before = [m for m in marks if m.end <= start]
    while before and before[-1].light:
        before.pop()
    if form not in vocabulary.phrases.mood["little"] or not before or not before[-1].terms:
        return False
    later = {word for m in marks if m.start >= end for word in m.text.split()}
    return not later & (TURNS | TODAY)


def of_two_ways(marks: list[Mark], end: int) -> bool:
    """Whether one way of testing is only compared with another: "worse than touch"."""
    after = next((m for m in marks if m.start >= end and m.text not in {"the", "to"}), None)
    return after is not None and after.has("modality")


def tells_what_came(
    sentence: Sentence, start: int, end: int, questions: list[int], vocabulary: Vocabulary
) -> bool:
    """Whether "when I tap" only leads to what came of it, told behind a pause: "when I tap there,
    it tingles, so Tinel's is positive"."""
    marks = sentence.marks
    form = " ".join(m.text for m in marks if start <= m.start < end)
    if sentence.asked or form not in vocabulary.phrases.cues["tapping.leads"]:
        return False
    if any(place > start for place in questions):
        return False
    pause = next((n for n, m in enumerate(marks) if m.start >= end and m.has("pause")), len(marks))
    said = (m.values or m.has("kind_values.percussion_present") for m in marks[pause:])
    return any(said)


def _still_supposed(marks: list[Mark], place: int, vocabulary: Vocabulary) -> bool:
    """Whether what is supposed goes on to the pause before its consequence: "if you see this but
    find that, think of a branch"."""
    holds = vocabulary.phrases.cues["breath.holds"]
    opened = next((n for n, m in enumerate(marks) if m.text.split()[0] in holds), place)
    pauses = [n for n, m in enumerate(marks) if m.has("pause")]
    if opened >= place or any(opened < n < place for n in pauses):
        return False
    return any(place < n < len(marks) - 1 for n in pauses)


def own_tries(marks: list[Mark], start: int, vocabulary: Vocabulary) -> bool:
    """Whether the examiner tells of this examination: "I gave it a one when I started, but", and
    "I've had two goes with reinforcement"."""
    at = _place(marks, start)
    before, mood = marks[:at], vocabulary.phrases.mood
    first = marks[at].text.split()[0]
    if first == "goes":
        return bool(before) and (
            before[-1].has("quantity") or before[-1].text in mood["tries_counted"]
        )
    said = " ".join(m.text for m in marks[at : at + 3])
    given = {word for m in before for word in m.text.split()} & set(mood["gave_before"])
    return said.startswith("when i started") and bool(given) and any(m.number for m in before)


def feels_it(marks: list[Mark], start: int) -> bool:
    """Whether the examiner tells what is felt: "I can just about feel that", "I do feel that"."""
    at = _place(marks, start)
    said = [word for m in marks[max(0, at - LEAD) : at] for word in m.text.split()]
    if marks[at].text.split()[0] != "feel" or "i" not in said:
        return False
    behind = said[said.index("i") + 1 :]
    return bool(behind) and behind[0] in ABLE and not {"you", "he", "she"} & set(behind)


def sent_along(marks: list[Mark], start: int, end: int, vocabulary: Vocabulary) -> bool:
    """Whether a study only came from elsewhere: "the MRI came from the referral hospital"."""
    at = _place(marks, start)
    form = [word for m in marks if start <= m.start < end for word in m.text.split()]
    studied = any(m.roles & STUDIED for m in marks[:at])
    elsewhere = {word for m in marks[at:] for word in m.text.split()}
    elsewhere &= set(vocabulary.phrases.mood["senders"])
    return "from" in form and studied and bool(elsewhere)
