"""Skin described in several words: "the back of the hand, down the little-finger side".

Each word alone may name another place; together they are one, known by the part of the limb and
the aspects of it that were named.
"""

from itertools import pairwise

from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary

SKIN = frozenset({"place", "area"})
LONGEST = 6
# Parts of the arm, and the ways by which their skin is told apart.
PARTS = frozenset({"forearm"})
ASPECTS = frozenset({"inner", "outer", "back"})
WEB = "superficial_radial_first_web"
FLESH = frozenset({"wasting", "contraction"})
# Words by which an area is named as that of its nerve.
NERVE = frozenset(
    {"nerve", "nerves", "cutaneous", "brachial", "antebrachial", "intercostobrachial"}
    | {"lacn", "macn", "mbcn"}
)
# ... and those of a patch that keeps its own name beside a dermatome.
OWN_NAME = frozenset({"regimental", "badge", "patch"})
LIMBS, MIDDLE = frozenset({"forearm", "arm"}), frozenset({"middle"})
# Words of a place that play no other part.
PLAIN = frozenset(
    {"hand", "border", "edge", "outer", "inner", "forearm", "palm", "wrist", "fingers"}
)


def name_skin(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Gives the one area that words up to a value describe to the first of them."""
    low, part = 0, ""
    for at, mark in enumerate(marks):
        if at + 1 == len(marks) or (mark.valued and not (mark.light or mark.has("list.same"))):
            part = _name(marks[low : at + 1], vocabulary, part)
            low = at + 1


def heads_scores(sentence: Sentence, state: State) -> bool:
    """Whether skin may be described before sensation was spoken of: the sentence itself speaks of
    it, a score out of ten is asked for, only skin is asked about, or nothing else is named or
    said."""
    marks = sentence.marks
    if any(m.has("scale.ten") for m in marks):
        return True
    if any((m.has("kind.sensation") or m.has("modality")) and not m.scope for m in marks):
        return not any(m.has("kind.conduction") or m.has("kind.needle") for m in marks)
    if sentence.asked and state.context.topic != "percussion" and _only_skin(marks):
        return True
    if state.context.topic or any(m.valued or m.terms for m in marks):
        return False
    return all(m.light or m.roles or m.text in PLAIN for m in marks)


def _only_skin(marks: list[Mark]) -> bool:
    """Whether a question names places alone: "back of the hand, the web by your thumb?"."""
    named = [m.terms[0].category for m in marks if m.terms]
    patient = marks[0].written.utterance.speaker == "patient"
    return not patient and set(named) <= {"place"} and not any(m.valued for m in marks)


def drop_told_places(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "Up in the armpit, the intercostobrachial": a place beside the one nerve that is named
    only tells where its skin was touched."""
    _leave_landmark(marks, vocabulary.phrases.cues["beside.words"])
    named = [at for at, mark in enumerate(marks) if mark.terms]
    if any(marks[at].terms[0].category not in SKIN for at in named):
        return
    for first, last in pairwise(named):
        if len(named) == 2 or marks[last + 1 : last + 2]:
            _drop_told(marks, first, last)


def _leave_landmark(marks: list[Mark], words: tuple[str, ...]) -> None:
    """ "Outside of the arm, below the deltoid": a muscle that tells where the skin is."""
    for at, mark in enumerate(marks):
        before = [m.text for m in marks[max(0, at - 2) : at] if m.has("pause") or not m.light]
        muscle = bool(mark.terms) and mark.terms[0].category == "muscle"
        if muscle and before and before[-1] in words:
            mark.leave()
            continue
        # "The palm by your thumb, the thenar palm".
        beside = before[-1:] == ["by"] or [m.text for m in marks[max(0, at - 2) : at]][:1] == ["by"]
        named = any(m.terms and m.terms[0].category == "area" for m in marks[at + 1 : at + 4])
        paused = marks[at + 1 : at + 2] and marks[at + 1].has("pause")
        if beside and mark.terms and mark.terms[0].category in SKIN and named and paused:
            mark.leave()


def drop_explained(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "High on the inner arm, the T2 spot": a dermatome that is told behind a place is what was
    touched there."""
    mood = vocabulary.phrases.mood
    named = [at for at, mark in enumerate(marks) if mark.terms]
    if len(named) != 2 or marks[named[0]].terms[0].category not in SKIN:
        return
    first, last = named
    text, term = set(marks[first].text.split()), marks[first].terms[0]
    if text & (NERVE | OWN_NAME) or term.term_id.endswith("_pulp"):
        return
    gap = marks[first + 1 : last]
    said = [m.text for m in gap if not (m.has("pause") or m.text == "the")]
    after = marks[last + 1].text if last + 1 < len(marks) else ""
    level = marks[last].terms[0].category == "level" and not marks[last].shared
    glossed = bool(said) and all(text in mood["dermatome_so"] for text in said)
    spotted = not said and after in mood["dermatome_spot"]
    if level and any(m.has("pause") for m in gap) and (glossed or spotted):
        marks[first].leave()


def leave_middle(marks: list[Mark]) -> None:
    """ "Back of the forearm, middle?": where on the limb, and no finger."""
    for at in range(2, len(marks)):
        limb = marks[at - 2].text.split()[-1] in LIMBS and marks[at - 2].terms
        if marks[at].text in MIDDLE and marks[at - 1].has("pause") and limb:
            marks[at].leave()


def _drop_told(marks: list[Mark], first: int, last: int) -> None:
    gap = marks[first + 1 : last]
    joined = any(m.text.split()[0] in {"and", "or", "then"} for m in gap)
    if joined or not any(m.has("pause") for m in gap):
        return
    if any(m.number or not (m.light or m.has("pause")) for m in gap):
        return
    for at, other in ((first, last), (last, first)):
        place = bool(marks[at].terms) and marks[at].terms[0].category == "place"
        told = place and "finger" not in marks[at].text
        if told and NERVE & set(marks[other].text.split()):
            marks[at].terms, marks[at].values = (), ()
            marks[at].roles = frozenset({"list.light"})
            return


def name_flesh(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "Wasting over the deltoid" is of the muscle that the patch of skin is called after."""
    thin = any(word.kind in FLESH for m in marks for word in m.predicates)
    felt = any(m.has("kind.sensation") or m.has("modality") for m in marks)
    for mark in marks:
        if not thin or felt or not mark.terms or mark.terms[0].category != "area":
            continue
        if mark.terms[0].term_id == WEB:
            mark.leave()  # the muscle in it is not named
            continue
        muscle = vocabulary.terms.get((mark.text.split()[-1],), ())
        if mark.text.startswith("over ") and muscle and muscle[0].category == "muscle":
            mark.terms, mark.roles = muscle[:1], frozenset()


def _name(marks: list[Mark], vocabulary: Vocabulary, part: str) -> str:
    """Names the area that is described; an aspect alone is one of the part named before it,
    "forearm: lateral ten, medial nine". Gives the part that what follows may be of."""
    if any(m.terms and m.terms[0].category not in SKIN | {"bulk", "percussion"} for m in marks):
        return ""
    hit = _described(marks, vocabulary)
    classes = frozenset(hit.values())
    alone = len(classes) == 1 and classes <= ASPECTS and bool(part)
    if alone and not any(m.terms for m in marks):
        classes |= {part}
    else:
        part = next(iter(sorted(classes & PARTS)), "") if classes & ASPECTS else ""
    cues = vocabulary.phrases.cues
    names = [
        name.partition(".")[2]
        for name, sets in cues.items()
        if name.startswith("skin.") and any(frozenset(one.split()) == classes for one in sets)
    ]
    touched = [m for m in marks if any(place in hit for place in range(m.start, m.end))]
    if len(names) != 1 or _told_apart(marks, hit) or _is_named(marks, names[0]):
        return part
    term = vocabulary.by_id[("area", names[0])]
    touched = [m for m in touched if not m.has("side")]
    if not touched:
        return part
    first = touched[0]
    for mark in touched:
        mark.leave()
    first.terms, first.roles = (term,), frozenset()
    low, high = marks.index(first), marks.index(touched[-1])
    for mark in marks[low + 1 : high]:
        if not mark.has("side"):
            mark.roles = mark.roles | {"list.light"}
    return part


def _described(marks: list[Mark], vocabulary: Vocabulary) -> dict[int, str]:
    """Which class of word stands at which token, longest words first."""
    cues = vocabulary.phrases.cues
    table = {
        tuple(text.split()): name.partition(".")[2]
        for name, texts in cues.items()
        if name.startswith("skin_word.")
        for text in texts
    }
    tokens = ["the" if t.text in cues["synonyms.the"] else t.text for t in marks[0].written.tokens]
    out: dict[int, str] = {}
    at, last = marks[0].start, marks[-1].end
    while at < last:
        for size in range(min(LONGEST, last - at), 0, -1):
            name = table.get(tuple(tokens[at : at + size]))
            if name:
                out.update(dict.fromkeys(range(at, at + size), name))
                at += size
                break
        else:
            at += 1
    return out


def _told_apart(marks: list[Mark], hit: dict[int, str]) -> bool:
    """Whether a place stands there besides, or two are joined: "the thumb and the back of it"."""
    for mark in marks:
        here = [place for place in range(mark.start, mark.end) if place in hit]
        if mark.terms and not here:
            return True
    inside = [m for m in marks if hit and min(hit) < m.start < max(hit)]
    return any(m.text.split()[0] in {"and", "or"} for m in inside if m.start not in hit)


def _is_named(marks: list[Mark], name: str) -> bool:
    """Whether the only place that is named is this one already."""
    named = [m.terms[0] for m in marks if m.terms]
    return len(named) == 1 and (named[0].category, named[0].term_id) == ("area", name)
