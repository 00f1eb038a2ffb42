"""Signs that are said by a part of the body and what it looks like: "bruising above the clavicle,
yes. Swelling, no", "the left lid is sitting lower", "pupils are equal"."""

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.naming import flush_naming
from dictate2exam.findings.reach import FIRM
from dictate2exam.findings.sides import local
from dictate2exam.findings.state import State, Subject
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

# Sentences for which a place that was named stays the one looked at.
STAYS = 1
# ... and where it is pointed at: "and feeling around in there, no swelling".
POINTED = 3
# Words of a head at most, and marks between it and its place.
LONGEST, NEAR = 4, 9
# "Pupils equal, so no Horner's" only argues for what is said.
HORNER, OF_HORNER = "horner", frozenset({"ptosis", "miosis"})
# Signs of a part that has no other.
PLAIN = ("clavicle_deformity",)
LOOKING = frozenset({"is", "was", "looks", "looked", "appears", "seems", ",", "itself", "feels"})
SKIN = frozenset({"place", "area", "percussion"})
BELOW = frozenset({"below", "under", "beneath"})
ELSEWHERE = frozenset({"of", "in", "over", "at"})
PLANTAR = "plantar_extensor"
# The value words that tell where a toe goes.
GOES = frozenset({"upgoing", "downgoing"})


def name_signs(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Gives the words for what a part of the body looks like the sign that they make of it."""
    places = {at: signs for at, m in enumerate(marks) if (signs := _place(m, vocabulary))}
    stays = POINTED if any(m.text == "there" for m in marks) else STAYS
    carried = state.place_signs if state.sentence - state.place_since <= stays else frozenset()
    if not (places or carried):
        return
    if len(marks) == 1 and marks[0].valued and not marks[0].terms:
        state.place_since = state.sentence  # an answer alone: "swelling, still a little. Present."
    at = 0
    while at < len(marks):
        size, signs = _head(marks, at, vocabulary)
        if size and _said_again(marks, at + size, signs, vocabulary):
            at += size  # "a purple bruise" is one
            continue
        found = _of_place(marks, at, size, places, signs, vocabulary) if size else ("", -1)
        if size and not found[0] and signs & carried and _stays(marks, at, vocabulary):
            found = (next(iter(sorted(signs & carried))), -1)
            state.place_since = state.sentence
        if found[0]:
            _become(marks, at, size, vocabulary.by_id[("sign", found[0])], vocabulary)
            _quiet_left(marks, at + size, vocabulary)
            spot = marks[found[1]].terms if found[1] >= 0 else ()
            if spot and spot[0].category in SKIN:
                marks[found[1]].terms = ()
                marks[found[1]].roles = frozenset({"list.light"})
        at += size or 1
    if places:
        state.place_signs = frozenset().union(*places.values())
        state.place_since = state.sentence


def leave_torn(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "Brachial artery laceration", "laceration of the tendon": torn inside, and no wound."""
    cues = vocabulary.phrases.cues
    for at, mark in enumerate(marks):
        if not mark.terms or mark.text not in cues["hurt.words"]:
            continue
        behind = marks[at + 1 : at + 5] if _opens_with(marks[at + 1 :], "of") else []
        near = [*marks[max(0, at - 1) : at], *behind]
        if any(word in cues["hurt.inside"] for m in near for word in m.text.split()):
            mark.terms, mark.roles = (), mark.roles - {"hurt"}


def _opens_with(marks: list[Mark], word: str) -> bool:
    return bool(marks) and marks[0].text.split()[0] == word


def name_toes(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Makes a toe that goes up or down the name of the plantar response: "toes down, both"."""
    cues = vocabulary.phrases.cues
    for at, mark in enumerate(marks):
        if mark.terms or mark.scope or mark.text not in cues["toe.words"]:
            continue
        low = at
        while low and _beside_toe(marks[low - 1], cues["toe.before"]):
            low -= 1
        after = next((p for p in range(at + 1, len(marks)) if not _leads_on(marks[p])), -1)
        goes = after > 0 and _goes(marks[after]) and _ends_there(marks, after)
        named = low < at and _goes(marks[low])
        if (goes or named) and (not low or _closes(marks[low - 1])):
            mark.terms, mark.values = (vocabulary.by_id[("sign", PLANTAR)],), ()
            mark.roles = frozenset()


def _beside_toe(mark: Mark, words: tuple[str, ...]) -> bool:
    leads = _leads_on(mark) and not (mark.has("pause") or mark.has("list.join"))
    return leads or mark.text in words or _goes(mark)


def _leads_on(mark: Mark) -> bool:
    """Whether a word may stand between a toe and where it goes."""
    light = mark.light and not mark.values
    return light or mark.has("pause") or mark.has("side") or mark.has("list.all")


def _closes(mark: Mark) -> bool:
    joins = mark.has("list.join") and mark.text != "with"
    return joins or mark.has("pause") or mark.text == "but" or bool(mark.terms)


def _ends_there(marks: list[Mark], at: int) -> bool:
    """Whether nothing else follows where the toe goes: "down on the right", not "down stairs"."""
    nxt = next((m for m in marks[at + 1 :] if not m.light or m.has("pause")), None)
    return nxt is None or nxt.has("pause") or nxt.has("side") or _goes(nxt)


def _goes(mark: Mark) -> bool:
    return not mark.scope and any(word.name in GOES for word in mark.values)


def name_plain(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "Clavicle normal": a clause of these two alone says that the sign is not there."""
    cues = vocabulary.phrases.cues
    for at, mark in enumerate(marks):
        names = [n for n in PLAIN if mark.text in cues[f"head_place.{n}"]]
        before = [m for m in marks[:at] if not (m.light and not m.has("pause"))]
        if not names or mark.terms or mark.scope or (before and not before[-1].has("pause")):
            continue
        said = at + 1
        while said < len(marks) and (marks[said].has("list.copula") or marks[said].text in LOOKING):
            said += 1
        closes = said + 1 >= len(marks) or marks[said + 1].has("pause")
        words = marks[said].text.split() if said < len(marks) else []
        while words and words[0] in LOOKING:
            words.pop(0)
        if closes and " ".join(words) in cues[f"head_plain.{names[0]}"]:
            for other in marks[at + 1 : said + 1]:
                other.values, other.roles = (), frozenset({"list.light"})
            mark.terms, mark.roles = (vocabulary.by_id[("sign", names[0])],), frozenset({"healthy"})


def healthy(line: Line, at: int, term: Term) -> int:
    """Reads words that say of a part of the body that a sign is not there: "pupils are equal"."""
    mark, state = line.marks[at], line.state
    flush_naming(line)
    state.open = []
    argues = term.term_id in OF_HORNER and any(t == HORNER for m in line.marks for t in _ids(m))
    if argues or (mark.scope and mark.scope != "instruction"):
        return at + 1
    words = line.vocabulary.words_named("absent")
    subject = Subject(term, mark, side=local(line, at), sentence=state.sentence)
    assign(line, Claim(mark, words=words), [subject], rule="healthy")
    return at + 1


def _quiet_left(marks: list[Mark], at: int, vocabulary: Vocabulary) -> None:
    """ "No swelling left above the clavicle" is of what remains, and names no side."""
    over = vocabulary.phrases.cues["not_side.left_over"]
    if at + 1 < len(marks) and marks[at].text == "left" and marks[at + 1].text.split()[0] in over:
        marks[at].roles = frozenset({"list.light"})


def _ids(mark: Mark) -> list[str]:
    return [term.term_id for term in mark.terms]


def _place(mark: Mark, vocabulary: Vocabulary) -> frozenset[str]:
    """The signs that a part of the body may show which the mark names, and no other thing."""
    if mark.terms and mark.terms[0].category not in SKIN | {"sign"}:
        return frozenset()
    for word in mark.text.split():
        if word in vocabulary.places:
            return vocabulary.places[word]
    return frozenset()


def _head(marks: list[Mark], at: int, vocabulary: Vocabulary) -> tuple[int, frozenset[str]]:
    """How many marks from here on say what something looks like, and of which signs."""
    if marks[at].terms or marks[at].number:
        return 0, frozenset()
    text, found = "", (0, frozenset[str]())
    for size, mark in enumerate(marks[at : at + LONGEST], 1):
        text = f"{text} {mark.text}".strip()
        if mark.terms or mark.number:
            break
        signs = vocabulary.heads.get(text)
        if signs:
            found = (size, signs)
    return found


def _said_again(marks: list[Mark], at: int, signs: frozenset[str], vocabulary: Vocabulary) -> bool:
    """Whether the very next words say the same of it."""
    if at >= len(marks):
        return False
    named = {term.term_id for term in marks[at].terms}
    return bool(signs & (named or _head(marks, at, vocabulary)[1]))


def _of_place(
    marks: list[Mark],
    at: int,
    size: int,
    places: dict[int, frozenset[str]],
    signs: frozenset[str],
    vocabulary: Vocabulary,
) -> tuple[str, int]:
    """The sign that the head makes with a place before or after it in its clause."""
    following = marks[at + size] if at + size < len(marks) else None
    if following is not None and (following.number or following.has("quantity")):
        return "", -1
    said = " ".join(m.text for m in marks[at : at + size])
    plain = said in vocabulary.phrases.cues["head_place.stays"]
    near = sorted(places, key=lambda place: (place < at, abs(place - at)))
    ahead = following is not None and (following.text.split()[0] in ELSEWHERE)
    for place in sorted(near, key=lambda place: place < at) if ahead else near[::-1]:
        made = signs & places[place]
        plain = (
            " ".join(m.text for m in marks[at : at + size])
            in vocabulary.phrases.cues["head_place.stays"]
        )
        if not made or (abs(place - at) > NEAR and not (plain and place < at)):
            continue
        low, high = (place + 1, at) if place < at else (at + size, place)
        between = marks[low:high]
        if any(m.number or _names(m) for m in between):
            continue
        if place < at and ahead and not _turned(marks[at + size :]):
            continue
        if place > at and any(m.has("pause") or m.text in {"but"} for m in between):
            continue
        name = sorted(made)[0]
        before = marks[place - 1].text.rpartition(" ")[2] if place else ""
        words = {before, *marks[place].text.split(), *(m.text for m in between[-2:])}
        if name.startswith("supraclavicular") and words & BELOW:
            continue
        return name, place
    return "", -1


def _turned(after: list[Mark]) -> bool:
    """Whether only a side follows a head: "lower on the left", not "lower in the biceps"."""
    ahead = next((m for m in after if not (m.light and not m.has("side"))), None)
    return ahead is None or ahead.has("side") or ahead.has("pause")


def _names(mark: Mark) -> bool:
    return bool(mark.terms) and mark.terms[0].category not in SKIN | {"sign"}


def _stays(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """Whether a head goes on with the place of the sentence before."""
    following = marks[at + 1].text.split()[:1] if at + 1 < len(marks) else []
    said = marks[at].text in vocabulary.phrases.cues["head_place.stays"]
    apart = vocabulary.phrases.cues["head_elsewhere.words"]
    if any(m.text.split()[-1] in apart for m in marks[:at]):
        return False  # "the wrist is swollen"
    return (said or _of_it(marks, at)) and not (following and following[0] in ELSEWHERE)


def _of_it(marks: list[Mark], at: int) -> bool:
    """Whether a head is the whole of what is said of "it": "it is also drooped"."""
    lead = [word for m in marks[:at] for word in m.text.split()]
    closes = at + 1 == len(marks) or marks[at + 1].has("pause")
    return lead[:1] in (["it"], ["its"]) and closes and all(m.light for m in marks[:at])


def _become(marks: list[Mark], at: int, size: int, term: Term, vocabulary: Vocabulary) -> None:
    """Makes the words of a head the name of the sign, or of its absence."""
    mark = marks[at]
    text = " ".join(m.text for m in marks[at : at + size])
    for other in marks[at + 1 : at + size]:
        other.values, other.predicates, other.roles = (), (), frozenset({"list.light"})
    well = text in vocabulary.phrases.cues.get(f"head_well.{term.term_id}", ())
    before = marks[at - 1] if at else None
    if well and before is not None and _denies(before, vocabulary):
        before.roles, before.values, well = frozenset({"list.light"}), (), False
    mark.terms, mark.values, mark.predicates = (term,), (), ()
    mark.roles = frozenset({"healthy"}) if well else frozenset()
    if mark.scope in FIRM:
        mark.roles = frozenset()


def _denies(mark: Mark, vocabulary: Vocabulary) -> bool:
    return mark.text.split()[-1] in vocabulary.denials
