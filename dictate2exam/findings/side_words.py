"""Words of side: whether "right" is a side at all, and which side a word means."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from dictate2exam.findings.line import has_tight_value, list_end
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.tags import only_agrees
from dictate2exam.units import Side

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line
    from dictate2exam.findings.state import State

OPPOSITE: dict[str, Side] = {"left": "right", "right": "left"}
POINTING = frozenset({"on", "the", "your", "his", "her", "this", "that", "my", "their", "of", "to"})
ARTICLES = frozenset({"a", "an", "another"})
ONE_SIDE = ("side.left", "side.right", "side.other", "side.good")
HANDS = frozenset({"left", "right", "left hand", "right hand"})
POSITIONS = frozenset({"left", "right", "left side", "right side"})
# So many findings from the start on tell which side is examined.
FIRST = 60
HANDED = "dominant_hand"
WHICH = frozenset({"which", "what"})
# So far back a word of use ("he kicks with the left") may stand.
USED = 5
MEANS = frozenset({"is", "are", "was", "be", "means", "thats", "being", "to"})
# So many words before "like" may ask with it.
ASKED = 5
# So far back a word of comparison ("compared with his ...") may stand.
COMPARED = 6

BEFORE_NAME = frozenset({"the", "of", "his", "her", "your", "big", "great"})
# Behind other findings "both" is of two sides before these; "both pronators" are of one.
PAIRED = frozenset({"reflex", "sign", "posture", "pulse"})


def named_side(mark: Mark) -> Side | Literal[""]:
    """The side that a mark names by its word, talk or not; empty for none."""
    return "left" if mark.has("side.left") else "right" if mark.has("side.right") else ""


def meaning(line: Line, at: int) -> str:
    """left, right, both, or empty where the word is no side here."""
    mark, state = line.marks[at], line.state
    if compared(line, at) or _aside(line, at):
        return ""
    if mark.has("side.both"):
        return "both"
    if mark.has("side.both_valued"):
        ahead = line.next_solid(at)
        return "both" if ahead < len(line.marks) and line.marks[ahead].number else ""
    for name in ("left", "right"):
        if mark.has(f"side.{name}"):
            return "" if _is_talk(line, at, name) else name
    main = state.side if state.side in OPPOSITE else _first_side(state)
    if mark.has("side.bad") and line.speaker != "patient" and mark.scope != "question":
        return affected(state)
    if mark.has("side.other") or mark.has("side.good"):
        if line.speaker == "patient" or mark.scope == "question":
            return ""
        ahead = line.next_solid(at)
        if mark.has("side.good") and ahead < len(line.marks) and line.marks[ahead].number:
            return ""
        if mark.has("side.good") and (state.good_side or state.excursion is not None):
            return OPPOSITE.get(affected(state), "")
        if mark.has("side.good") and not main:
            state.good_since = state.sentence
        return OPPOSITE.get(main, "")
    return ""


def affected(state: State) -> str:
    """The side that is called the bad one; empty where nothing tells."""
    if state.excursion is not None:
        return state.excursion.main
    if state.good_side:
        return OPPOSITE[state.good_side]
    early = [d for d in state.drafts[:FIRST] if not d.gone]
    # Of deficits first: many findings of the good side may have come before.
    weak = [d.side for d in early if d.deficit]
    for sides in (weak, [d.side for d in early if not state.spoken_sides]):
        left, right = sides.count("left"), sides.count("right")
        if left != right:
            return "left" if left > right else "right"
    return _first_side(state)


def _first_side(state: State) -> str:
    return state.spoken_sides[0][0] if state.spoken_sides else state.default_side


def compared(line: Line, at: int) -> bool:
    """Whether the side is only what something is compared with."""
    for place in range(at - 1, max(-1, at - COMPARED), -1):
        mark = line.marks[place]
        if mark.has("comparison") and (
            _has_clause(line, at) or _asks_what(line, place) or _graded_too(line, at)
        ):
            return False
        if mark.has("comparison"):
            return not (mark.has("list.same_side") or mark.has("list.same"))
        if not (mark.light or mark.text in {"the", "your", "his", "her"}):
            return False
    return False


def _asks_what(line: Line, at: int) -> bool:
    """Whether "like" asks for what is felt: "what is it like on the left"."""
    mark = line.marks[at]
    if mark.text != "like":
        return False
    opening = [word for m in line.marks[:at] for word in m.text.split()]
    if any(one in MEANS and two == "what" for one, two in pairwise(opening)):
        return False  # "ten is what it feels like on the right"
    asked = mark.scope == "question" and mark.reach == "open"
    return asked or any(word in opening[-ASKED:] for word in ("what", "whats", "hows"))


def _has_clause(line: Line, at: int) -> bool:
    """Whether the side compared with has a value too: "than on the right, which was normal"."""
    rest = [m for m in line.marks[at + 1 :] if not m.has("pause")]
    words = " ".join(m.text for m in rest[:2]).split()
    related = words[:1] in (["which"], ["where"]) and len(rest) > 1
    return related and any(m.valued and not m.terms for m in rest[1:4])


def _graded_too(line: Line, at: int) -> bool:
    """Whether each side gets a grade: "worse on the left, grade one, than on the right, four"."""
    if not any(d.item.startswith("power.") for d in line.group):
        return False
    ahead = line.next_solid(at)
    if ahead >= len(line.marks) or line.marks[ahead].number is None:
        return False
    return line.marks[at + 1].has("pause") and line.between_light(at, ahead)


def _aside(line: Line, at: int) -> bool:
    """Whether a heading names this side second: "on the left, with the right in brackets"."""
    if any(m.terms or m.valued for m in line.marks):
        return False
    before = line.marks[:at]
    return any(m.has("side") for m in before) and any(m.text == "with" for m in before[-2:])


def _is_talk(line: Line, at: int, name: str) -> bool:
    """Whether the word is none of side ("right, let's see", "nothing left", "lie on your left")."""
    mark, cues = line.marks[at], line.vocabulary.phrases.cues
    before = line.marks[at - 1] if at else None
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    said = before.text.rpartition(" ")[2] if before is not None else ""
    two_said = " ".join(word for m in line.marks[max(0, at - 2) : at] for word in m.text.split())
    two_said = " ".join(two_said.split()[-2:])
    ahead = [word for m in line.marks[at + 1 : at + 3] for word in m.text.split()]
    first, follows = " ".join(ahead[:1]), " ".join(ahead[:2])
    if said == "my" and line.speaker == "examiner":
        return True
    if _of_position(line, at, cues["not_side.position"]) or _of_use(line, at, cues["not_side.use"]):
        return True
    if mark.text not in OPPOSITE or _inside_name(mark, before):
        return False
    other = said in ARTICLES and first in cues["not_side.other_part"]
    if other and after is not None and not after.terms:
        return True  # "this chart says a left ankle", not "a left ankle jerk"
    if said == "that" and (not first or first in cues["not_side.after_that"]):
        return True
    if said in POINTING or said == "at":
        return first in cues["not_side.noun"]
    if name == "left" and follows == "the same" and (at == 0 or _takes_over(line, at)):
        return False
    if name == "left":
        if at == 0 and after is None:
            _head_alone(line)
        if first in cues["not_side.left_over"] and remains(line, at, cues["not_side.left_some"]):
            return True
        if closes(line, at) and remains(line, at, cues["not_side.left_much"]):
            return True
        if first in cues["not_side.left_whom"] and said in cues["not_side.left_before"]:
            return True
        return bool({first, follows} & set(cues["not_side.left_after"])) or (
            bool({said, two_said} & set(cues["not_side.left_before"]))
            and (after is None or after.has("pause"))
        )
    if {said, two_said} & set(cues["not_side.before"]):
        return True
    if {first, follows} & set(cues["not_side.after"]):
        beyond = line.marks[at + 2] if at + 2 < len(line.marks) else None
        graded = beyond is not None and beyond.number is not None
        return not (graded and before is not None and bool(before.terms))
    if at == 0 and after is None:
        # Where "Left." stood alone as a heading, so may "Right."
        heads = line.state.lone_left or _turns_back(line.state)
        line.state.maybe_side = "" if heads else name
        line.state.maybe_since = line.state.sentence
        return not heads
    if at == 0 and after is not None and _opens_talk(line, after):
        return True
    if line.asked and after is None and (before is not None and not before.light):
        return True
    if only_agrees(line.marks, at, line.vocabulary):
        return True
    headed = at == 2 and bool(line.state.finger_part) and not line.marks[0].terms
    named = any(m.terms or m.valued or m.has("side") or m.has("bare") for m in line.marks[:at])
    opens = not headed and not named
    return opens and first == "," and not (_other_half(line, at, name) or _answers_name(line, at))


def _turns_back(state: State) -> bool:
    """Whether "Right." alone may turn from a look at the left to the side examined."""
    if state.side != "left":
        return False
    if state.excursion is not None:
        return state.excursion.main == "right"
    return state.turned is not None and _first_side(state) == "right"


def _inside_name(mark: Mark, before: Mark | None) -> bool:
    """Whether the name before a word of side was said around it: "over the right axilla"."""
    if before is None or not before.terms:
        return False
    tokens = mark.written.tokens  # the side was put behind the name
    return tokens[mark.start].first_word < tokens[before.end - 1].first_word


def _takes_over(line: Line, at: int) -> bool:
    """ "Triceps jerk right brisk, left the same", not "she left the same day"."""
    last = next((n for n in range(at + 1, len(line.marks)) if "same" in line.marks[n].text), at)
    found = [d for d in line.group if not d.gone]
    return bool(found) and all(d.side == "right" for d in found) and closes(line, last)


def _opens_talk(line: Line, after: Mark) -> bool:
    """Whether what follows "right" at the start is nothing that a side is said of: "right have a
    go at lifting it"."""
    plain = not (after.terms or after.valued or after.light or after.has("pause"))
    if not plain or any(after.has(r) for r in ("side", "bare", "part", "direction", "kind")):
        return False
    vocabulary = line.vocabulary
    nouns = {*vocabulary.phrases.cues["not_side.heading"], *vocabulary.phrases.cues["not_side.of"]}
    word = after.text.split()[0].removesuffix("'s")
    known = word in nouns or word in vocabulary.places or word in vocabulary.joints
    said_of = known or after.has("negation.before") or after.has("comparison")
    return not (said_of or after.roles & {"list.all", "wasting"})


def remains(line: Line, at: int, some: tuple[str, ...]) -> bool:
    """Whether "left" is what remains: "no swelling left above the clavicle"."""
    said: list[str] = []
    for mark in reversed(line.marks[:at]):
        if mark.has("pause") or mark.has("side"):
            break
        said = [*([] if mark.terms else mark.text.split()), *said]
    told = f" {' '.join(said)} "
    return any(f" {word} " in told for word in some) and " a little " not in told


def closes(line: Line, at: int) -> bool:
    """Whether a clause ends behind a word."""
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    return after is None or after.has("pause") or after.text.split()[0] in {"and", "but"}


def _head_alone(line: Line) -> None:
    """ "Left." alone is a heading; a "Right." alone before it was one as well."""
    state = line.state
    state.lone_left = True
    if state.maybe_side == "right" and not state.side:
        for draft in state.drafts:
            if draft.side == "none":
                draft.side, draft.side_spoken = "right", True
        state.spoken_sides.append(("right", line.marks[0]))


def _other_half(line: Line, at: int, name: str) -> bool:
    """Whether only a value follows, after what was found on the other side: "Right, full"."""
    last = [d for d in line.state.last if not d.gone]
    near = bool(last) and last[-1].sentence == line.state.sentence - 1
    rest = line.marks[at + 1 :]
    return (
        near
        and all(d.side == OPPOSITE[name] for d in last)
        and all(
            m.valued
            or m.light
            or m.has("pause")
            or m.has("negation.before")
            or (m.terms and m.terms[0] in {d.term for d in last})
            for m in rest
        )
        and any(m.valued or m.has("negation.before") for m in rest)
    )


def _answers_name(line: Line, at: int) -> bool:
    """Whether only a value follows, of what was named alone: "Plantars. Right, extensor"."""
    state, rest = line.state, [m for m in line.marks[at + 1 :] if not m.has("pause")]
    opened = [s for s in state.open if s.sentence == state.sentence - 1]
    paired = bool(opened) and all(s.term.category in PAIRED for s in opened)
    return paired and at == 0 and len(rest) == 1 and bool(rest[0].values)


def _of_position(line: Line, at: int, words: tuple[str, ...]) -> bool:
    """Whether the sentence places the patient ("turn your head to the left") and finds nothing."""
    if line.marks[at].text not in POSITIONS or any(m.terms or m.valued for m in line.marks):
        return False
    pointed = any(m.text in {"to", "on", "onto", "in"} for m in line.marks[max(0, at - 2) : at])
    return pointed and any(word in words for m in line.marks[:at] for word in m.text.split())


def _of_use(line: Line, at: int, words: tuple[str, ...]) -> bool:
    """Whether the words before a side tell what a hand is used for ("he writes with his right"), or
    the whole sentence does and finds nothing."""
    for mark in reversed(line.marks[max(0, at - USED) : at]):
        if any(word in words for word in mark.text.split()):
            return True
        if mark.has("pause") or mark.terms:
            break
    if _wields(line, at):
        return True
    if any(m.terms or m.valued for m in line.marks):
        return False
    if _headed_handedness(line, at) or _asks_use(line, at):
        return True
    return any(word in words for m in line.marks for word in m.text.split()) or _told_use(line, at)


def _wields(line: Line, at: int) -> bool:
    """Whether something is done with it in a sentence of handedness: "and you bow with the right,
    do you, you're right-handed?"."""
    handed = any(t.term_id == HANDED for m in line.marks for t in m.terms)
    return handed and any(m.text == "with" for m in line.marks[max(0, at - 2) : at])


def _asks_use(line: Line, at: int) -> bool:
    """Whether what a hand is used for is asked before it: "which hand do you eat with, the
    right?"."""
    words = [word for m in line.marks[:at] for word in m.text.split() if not m.has("pause")]
    asked = any(one in WHICH and two in {"hand", "arm"} for one, two in pairwise(words))
    return asked and "you" in words and "with" in words[words.index("you") :]


def _headed_handedness(line: Line, at: int) -> bool:
    """Whether a word of handedness heads the side: "Handedness, right", "Handed: the left"."""
    place = at - 1
    while place >= 0 and (line.marks[place].light or line.marks[place].has("pause")):
        place -= 1
    handed = line.vocabulary.phrases.cues["not_side.handed"]
    return place >= 0 and line.marks[place].text.rpartition(" ")[2] in handed


def _told_use(line: Line, at: int) -> bool:
    """Whether a side alone answers what hand is used: "Which hand do you write with? The right."""
    alone = all(
        m.light or m.has("pause") or m.has("answer") for m in line.marks if m is not line.marks[at]
    )
    asked = line.state.read[-1] if line.state.read else None
    if not alone or asked is None or not asked.asked or line.marks[at].text not in HANDS:
        return False
    cues = line.vocabulary.phrases.cues
    words = {*cues["not_side.use"], *cues["not_side.handed"]}
    return any(word in words for m in asked.marks for word in m.text.split())


def name_both(line: Line) -> None:
    """Makes "both" a word of side where one thing is spoken of that is there on either side."""
    _both_in_turn(line)
    _that_side(line)
    for at, mark in enumerate(line.marks):
        cues = line.vocabulary.phrases.cues
        if mark.text in cues["either_limb.words"] and _either_limb(line, at):
            mark.roles, mark.values = frozenset({"side", "side.both"}), ()
            continue
        if mark.text not in cues["side.both_of_one"]:
            continue
        if _before_one(line, at) or _after_one(line, at):
            mark.roles = frozenset({"side", "side.both", "side.both_of_one"})
            mark.values = ()


def _both_in_turn(line: Line) -> None:
    """ "Hoffmann negative, left, right": two bare sides that close a sentence of one value are
    both."""
    if len(line.marks) < 5 or not line.marks[-2].has("pause"):
        return
    first, second = line.marks[-3], line.marks[-1]
    before = [m for m in line.marks[:-3] if not (m.has("pause") or m.light) or m.has("side")]
    turned = {first.text, second.text} == set(OPPOSITE)
    said = [m for m in before if m.valued or m.has("answer.no") or m.has("answer.yes")]
    if not turned or len(said) != 1 or said[0] is not before[-1]:
        return
    if not any(m.terms for m in before) or any(m.has("side") for m in before):
        return
    first.roles = frozenset({"side", "side.both"})
    second.leave()


def _that_side(line: Line) -> None:
    """ "Froment's is positive that side, and it's negative on the right": the side spoken of, where
    the other follows."""
    marks = line.marks
    for at in range(1, len(marks) - 1):
        pointed = marks[at].text == "side" and marks[at - 1].text == "that"
        named = next((name for m in marks[at:] if (name := named_side(m))), "")
        before = [name for m in marks[:at] if (name := named_side(m))]
        side = before[-1] if before else line.state.side
        if pointed and named and side == OPPOSITE[named] and marks[at + 1].has("pause"):
            marks[at].roles = frozenset({"side", f"side.{side}", "list.light"})
            return


def _either_limb(line: Line, at: int) -> bool:
    """ "No clonus at either ankle", "on either one": the limb only tells where a sign is, or is
    not."""
    limb = line.marks[at + 1] if at + 1 < len(line.marks) else None
    one = limb is not None and limb.text == "1" and closes(line, at + 1)
    limbs = line.vocabulary.phrases.cues["either_limb.limb"]
    if limb is None or not (one or limb.text in limbs):
        return False
    for mark in reversed(line.marks[:at]):
        if mark.terms:
            if mark.terms[0].category not in {"sign", "posture", "pulse"}:
                return False
            limb.leave()
            limb.number = None
            return True
        if not (mark.light or mark.valued or mark.has("pause")):
            return False
    return False


def _before_one(line: Line, at: int) -> bool:
    """ "both radial pulses": one term follows, and no list of them."""
    nxt = at + 1
    while nxt < len(line.marks) and line.marks[nxt].text in BEFORE_NAME:
        nxt += 1
    if nxt >= len(line.marks) or not _single(line.marks[nxt]):
        return False
    if at and (line.marks[at - 1].terms or line.marks[at - 1].text in {"and", ","}):
        return not _in_list(line, at) and _valued_alone(line, nxt)
    return list_end(line, nxt) == nxt


def _in_list(line: Line, at: int) -> bool:
    """Whether a name without its value stands before this place: "triceps and both heads"."""
    for mark in reversed(line.marks[:at]):
        if mark.terms or (mark.valued and not mark.light):
            return bool(mark.terms)
    return False


def _valued_alone(line: Line, at: int) -> bool:
    """Whether a name and no other has the value after it: "both plantars are downgoing"."""
    alone = has_tight_value(line, at) and list_end(line, at) == at
    return alone and line.marks[at].terms[0].category in PAIRED


def _after_one(line: Line, at: int) -> bool:
    """ "knees normal, both", "plantars both down": one term stood before."""
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    closes = after is None or after.has("pause") or after.valued or after.has("list.copula")
    if not closes or (after is not None and (after.terms or after.has("modality"))):
        return False
    if after is not None and after.predicates and _graded_two(line, at):
        return False  # "brachialis four, FCR five, and both contract"
    place = at - 1
    while place >= 0 and not line.marks[place].terms:
        gap = line.marks[place]
        if not (gap.light or gap.valued or gap.has("pause") or gap.has("negation")):
            return False
        place -= 1
    if place >= 0:
        back = place - 1
        while back >= 0 and any(
            (line.marks[back].light, line.marks[back].has("pause"), line.marks[back].has("kind"))
        ):
            back -= 1
        joined = back >= 0 and bool(line.marks[back].terms)
        return _single(line.marks[place]) and not joined
    state = line.state
    waiting = state.open or (state.last_subjects if after is None or after.has("pause") else [])
    return len({s.term.term_id for s in waiting}) == 1 and not any(s.expanded for s in waiting)


def _graded_two(line: Line, at: int) -> bool:
    """Whether two muscles were graded before this place of the sentence."""
    named = {m.terms[0].term_id for m in line.marks[:at] if m.terms}
    return len(named) > 1 and sum(m.number is not None for m in line.marks[:at]) > 1


def _single(mark: Mark) -> bool:
    """Whether a mark names one item of a side."""
    return bool(mark.terms) and not mark.terms[0].is_group and not mark.shared
