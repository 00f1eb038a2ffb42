"""Movements named by their direction alone ("Elbow: flexion full"), and passive range."""

from dataclasses import replace

from dictate2exam.findings.line import Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Doubtful, State, heard_text
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.conflicts import movement_shares
from dictate2exam.lexicon.terms import Term

# Only the shoulder has these where no joint is named ("passive abduction").
SHOULDER = frozenset({"abduction", "adduction", "external_rotation", "internal_rotation"})
# Sentences for which a joint that was named stays the one spoken of; those that name nothing
# do not count.
# "Flexion is full at the elbow": what may begin a joint that follows the value.
AT = frozenset({"at", "in", "of"})
# Sentences for which a joint that was named stays the one spoken of.
STAYS = 3
# So many of the last grades may tell of which joint a direction is.
LATELY = 3
PLAINLY = 4
HIGHEST_GRADE = 5
# How a verb ends that tells of a movement, and bids nobody do it.
TOLD = ("s", "ing", "ed")
# "One ten" is a hundred and ten.
TENS, HUNDRED = 10, 100


def name_movements(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Gives bare directions their joint; passive range is spoken of wherever a sentence says so."""
    context = state.context
    ranged = any(m.has("kind.range") for m in marks)
    ranged = ranged or _in_degrees(marks)
    if any(m.has("active") for m in marks) and not any("passive" in m.text for m in marks):
        ranged = False
    if state.counted:
        _take_up(marks, state)
    bare = any(m.has("direction") and not m.terms for m in marks)
    moves = bare or any(_joint_of(m, vocabulary) or _asked_for(m) for m in marks)
    if ranged and not any(m.has("kind.power") for m in marks):
        context.kind = "range"
        context.topic = context.heading = "range"
    elif context.topic == "range" and not (moves or _goes_on(marks, state)):
        context.topic = context.heading = ""
    range_now = "range" in (context.kind, context.topic)
    if range_now and bare and {_joint_of(m, vocabulary) for m in marks} <= {"", "shoulder"}:
        _whole_arm(marks, state, vocabulary)
    if not (moves or ranged):
        if not any(m.terms for m in marks):
            state.joint_since += 1
        return
    if range_now and not any(t.category == "muscle" for m in marks for t in m.terms):
        _count_degrees(marks)
    for at, mark in enumerate(marks):
        if range_now and _told_way(marks, at, vocabulary):
            _examiner_moves(marks, at)
        if mark.has("negation.before") and at + 1 < len(marks) and _is_degrees(marks, at + 1):
            mark.roles = frozenset()
        if range_now and _short_of(marks, at):
            # "Lacks thirty degrees of extension": the value is given to what follows.
            for counted in marks[at : at + 2]:
                counted.roles = counted.roles | {"list.light"}
        named = _joint_of(mark, vocabulary)
        named = named or _asked_for(mark)
        if named:
            state.joint, state.joint_since = named, state.sentence
            state.joint_moved = range_now or _heads_joint(marks, at)
        moved = _told(mark) or mark.has("direction")
        if named and range_now and not moved and _joint_too(marks, at, named, vocabulary):
            continue
        if mark.terms or not moved:
            continue
        if range_now and any("i" in m.text.split() for m in marks[max(0, at - 4) : at]):
            _examiner_moves(marks, at)
        if mark.scope or (_told(mark) and not range_now):
            continue
        found = _movement(marks, at, state, vocabulary, range_now)
        if found is not None:
            mark.terms, mark.values, mark.roles = (found,), (), frozenset({"direction"})
            state.joint, state.joint_since = found.term_id.partition("_")[0], state.sentence
            state.joint_moved = state.joint_moved or range_now


def _heads_joint(marks: list[Mark], at: int) -> bool:
    """Whether a joint stands alone, for what follows: "Thumb." """
    return not any(m.valued or m.scope or not m.light for m in marks if m is not marks[at])


def _whole_arm(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Turns to the shoulder where the arm is taken up, or where a joint was named for something
    else than passive range: "I can bring him the whole way up: abduction full"."""
    mood = vocabulary.phrases.mood
    first = next(at for at, m in enumerate(marks) if m.has("direction"))
    words = [word for m in marks[:first] for word in m.text.split()]
    raised = next((n for n, word in enumerate(words) if word in mood["raising"]), -1)
    after = words[raised + 1 :] if raised >= 0 else []
    up = f" {' '.join(words if 'arm' in words else after)} "
    if any(f" {word} " in up for word in mood["raised_up"]):
        state.joint, state.joint_since, state.joint_moved = "shoulder", state.sentence, True
        for mark in marks:
            if mark.scope == "instruction":
                mark.scope = mark.reach = ""
    elif not state.joint_moved and (
        _of_shoulder(marks, vocabulary)
        or _goes_on_in_shoulder(marks, state, vocabulary)
        or state.joint == "thumb"
    ):
        state.joint = ""


def _told(mark: Mark) -> bool:
    """Whether plain words tell the whole movement: "bending the elbow"."""
    return mark.has("ability") or mark.has("instructed")


def _count_degrees(marks: list[Mark]) -> None:
    """ "Reduced, around one-ten", "short by twenty-five": of passive movement these are degrees;
    "to minus twenty" is heard with a grade of two minus."""
    for mark, after in zip(marks, [*marks[1:], None], strict=True):
        number = mark.number
        below = after is not None and after.number is not None and after.number.value >= TENS
        if number is not None and number.sign == "-" and below:
            mark.number, mark.values, mark.roles = None, (), frozenset({"list.light"})
            continue
        if number is None or number.sign or number.scale:
            continue
        more = after.number if after is not None else None
        hundred = number.value == 1 and more is not None and more.value >= TENS and not more.sign
        if hundred and after is not None and more is not None:
            mark.text = f"{HUNDRED + more.value}"
            mark.end, after.number, after.roles = after.end, None, frozenset({"list.light"})
        if hundred or number.value > HIGHEST_GRADE:
            mark.number = None
            mark.roles = mark.roles | {"quantity", "degrees"}


def _in_degrees(marks: list[Mark]) -> bool:
    """Whether a movement is called full or reduced beside its degrees, and nothing is graded."""
    said = [m for m in marks if not m.scope]
    moved = any(t.category == "movement" for m in said for t in m.terms)
    worded = any("range" in word.means for m in said for word in m.values)
    graded = any(m.number for m in said)
    degrees = any(_is_degrees(marks, at) for at in range(len(marks)))
    return moved and worded and degrees and not graded


def _goes_on(marks: list[Mark], state: State) -> bool:
    """Whether only the values follow of movements that wait for them, or for the other side."""
    waiting = any(s.term.category == "movement" for s in state.open)
    moved = bool(state.last) and state.last[-1].item.startswith("range.")
    return (waiting or moved) and not any(m.terms for m in marks)


def _of_shoulder(marks: list[Mark], vocabulary: Vocabulary) -> bool:
    """Whether a direction beside this one is of the shoulder alone, and no other joint is named."""
    roles = {role.partition(".")[2] for m in marks for role in m.roles if "direction." in role}
    moved = {t.term_id.partition("_")[2] for m in marks for t in m.terms}
    joints = {_joint_of(m, vocabulary) for m in marks} - {""}
    return bool((roles | moved) & SHOULDER) and joints <= {"shoulder"}


def _goes_on_in_shoulder(marks: list[Mark], state: State, vocabulary: Vocabulary) -> bool:
    """Whether the next sentence names a direction of the shoulder: "Flexion, full. Abduction"."""
    told = [m for m in state.ahead if m.has("direction")]
    joints = {_joint_of(m, vocabulary) for m in [*marks, *state.ahead]} - {""}
    return joints <= {"shoulder"} and bool(told) and _of_shoulder(told, vocabulary)


def name_agents(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Makes "extensors" the direction that they move in, where a joint is spoken of."""
    recent = bool(state.joint) and state.sentence - state.joint_since < STAYS
    if not recent and not any(_joint_of(m, vocabulary) for m in marks):
        return
    for at, mark in enumerate(marks):
        if mark.terms or mark.values or mark.roles or not _opens(marks, at):
            continue
        direction = vocabulary.agents.get(mark.text)
        if direction:
            mark.roles = frozenset({"direction", f"direction.{direction}"})


def _asked_for(mark: Mark) -> str:
    """The joint of words that ask for a movement: "wrist up, extension four"."""
    asked = (role for role in mark.roles if role.startswith("instructed."))
    return next(asked, "").partition(".")[2].partition("_")[0]


def _joint_too(marks: list[Mark], at: int, joint: str, vocabulary: Vocabulary) -> bool:
    """ "Extension is full at the wrist, and at the fingers too": the same movement of a second
    joint, named by the joint alone."""
    after = marks[at + 1] if at + 1 < len(marks) else None
    joined = any(m.text in {"and", "or"} for m in marks[max(0, at - 3) : at])
    before = [m for m in marks[:at] if m.has("direction") and m.terms]
    if after is None or not (after.has("list.same") and joined and before):
        return False
    _, _, direction = before[-1].terms[0].term_id.partition("_")
    found = vocabulary.by_id.get(("movement", f"{joint}_{direction}"))
    if found is None or found in before[-1].terms:
        return False
    marks[at].terms, marks[at].values, marks[at].roles = (found,), (), frozenset({"direction"})
    return True


def _told_way(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """ "The elbow in flexion was full" bids nobody put the elbow in."""
    ahead = marks[at + 1 : at + 3]
    inside = len(ahead) == 2 and ahead[0].text in {"in", "into"} and ahead[1].has("direction")
    return inside and bool(_joint_of(marks[at], vocabulary))


def _examiner_moves(marks: list[Mark], at: int) -> None:
    """ "I could bend the elbow fully" is no instruction."""
    for mark in marks[at:]:
        if mark.has("pause") or mark.scope not in {"", "instruction"}:
            return
        mark.scope = mark.reach = ""


def _movement(
    marks: list[Mark], at: int, state: State, vocabulary: Vocabulary, range_now: bool
) -> Term | None:
    mark = marks[at]
    for role in mark.roles:
        if role.startswith(("ability.", "instructed.")):
            return vocabulary.by_id.get(("movement", role.partition(".")[2]))
    if any(role.startswith("direction.verb.") for role in mark.roles):
        told = mark.text.split()[-1].endswith(TOLD)
        ranged = range_now and _reaches(marks, at)
        if not (ranged or _graded(marks, at) if told else range_now):
            return None
    if at and marks[at - 1].text in {"in", "into"} and not range_now:
        return None
    if at + 1 < len(marks) and marks[at + 1].has("not_direction"):
        return None
    if mark.light and not _spelt(mark):
        return None
    if mark.text.endswith(" in") and _names_where(marks[at + 1 :], vocabulary):
        return None
    directions = [
        role.removeprefix("direction.").removeprefix("verb.")
        for role in mark.roles
        if role.startswith("direction.")
    ]
    if not directions:
        return None
    direction = directions[0]
    after = _joint_after(marks, at, vocabulary)
    recent = state.sentence - state.joint_since <= STAYS
    joints = [after, state.joint if recent else ""]
    shown = _of_shoulder(marks, vocabulary) or _goes_on_in_shoulder(marks, state, vocabulary)
    if range_now and (direction in SHOULDER or shown):
        joints.append("shoulder")
    for joint in joints:
        if joint and mark.has(f"direction_not.{joint}"):
            return None
        found = vocabulary.by_id.get(("movement", f"{joint}_{direction}")) if joint else None
        if found is not None:
            return found
    if range_now or mark.scope:
        return None
    summed = any(m.has("summing") for m in marks)
    made = _made_by(direction, state, vocabulary) if summed else None
    return _told_again(direction, state, vocabulary) or made


def _names_where(after: list[Mark], vocabulary: Vocabulary) -> bool:
    """ "Rotation in the shoulder", "in abduction": where it was turned, and not which way."""
    place = next((m for m in after if not m.light), None)
    if place is None:
        return False
    return bool(place.terms) or place.has("direction") or bool(_joint_of(place, vocabulary))


def _told_again(direction: str, state: State, vocabulary: Vocabulary) -> Term | None:
    """ "I gave the abduction four": of the one joint of which it has been graded."""
    joints = dict.fromkeys(vocabulary.joints.values())
    found = [vocabulary.by_id.get(("movement", f"{joint}_{direction}")) for joint in joints]
    known = [t for t in found if t is not None and state.of_item(f"power.{t.term_id}")]
    return known[0] if len(known) == 1 else None


def _made_by(direction: str, state: State, vocabulary: Vocabulary) -> Term | None:
    """ "Posterior deltoid one. So abduction as a whole, one": of the joint that the muscle just
    graded moves so."""
    last = [d for d in state.drafts if not d.gone][-LATELY:]
    if not last or not all(d.item.startswith("power.") for d in last):
        return None
    near = [d for d in last if state.sentence - d.sentence <= STAYS]
    names = {name for d in near for name in (d.term.term_id, *d.term.parts)}
    shares = movement_shares(vocabulary.lexicon.folder)
    found = []
    for joint in dict.fromkeys(vocabulary.joints.values()):
        term = vocabulary.by_id.get(("movement", f"{joint}_{direction}"))
        share = sum(
            w for name, w in shares.get(f"{joint}_{direction}", {}).items() if name in names
        )
        if term is not None and share:
            found.append((share, term))
    found.sort(key=lambda one: -one[0])
    # A second joint that they hardly move leaves no doubt: the biceps flexes the elbow.
    plain = len(found) == 1 or (len(found) > 1 and found[0][0] >= PLAINLY * found[1][0])
    return found[0][1] if plain else None


def _graded(marks: list[Mark], at: int) -> bool:
    """Whether a verb tells how well a movement was done: "she abducts the shoulder with grade
    four", "straightening it three"."""
    graded = next((m.number for m in marks[at + 1 :] if m.number), None)
    return not marks[at].scope and graded is not None and graded.value <= HIGHEST_GRADE


def _reaches(marks: list[Mark], at: int) -> bool:
    """Whether a verb tells how far a joint went: "the elbow bends fully"."""
    after = marks[at + 1 : at + 3]
    return not marks[at].scope and any("range" in w.means for m in after for w in m.values)


def _opens(marks: list[Mark], at: int) -> bool:
    """Whether nothing else is named before the word: "the extensors", not "long extensors"."""
    before = marks[at - 1] if at else None
    return before is None or before.light or before.has("pause") or before.valued


def _spelt(mark: Mark) -> bool:
    """Whether letters were spelt out: "ER" and "e r", not the "er" of somebody thinking."""
    heard = heard_text(mark).strip(".,;:")
    return heard.isupper() or " " in heard


def _joint_after(marks: list[Mark], at: int, vocabulary: Vocabulary) -> str:
    """The joint that closely follows a direction: "flexion at the elbow", "bend your elbow"."""
    valued = False
    for mark in marks[at + 1 : at + 5]:
        named = _joint_of(mark, vocabulary)
        if valued and (mark.has("pause") or (named and mark.text.split()[0] not in AT)):
            return ""
        valued = valued or mark.valued
        if named or not (mark.light or mark.valued):
            return named
    return ""


def _joint_of(mark: Mark, vocabulary: Vocabulary) -> str:
    categories = {term.category for term in mark.terms}
    if categories - {"place", "percussion"}:
        return mark.terms[0].term_id.partition("_")[0] if "movement" in categories else ""
    return vocabulary.joints.get(mark.text.rpartition(" ")[2], "")


def _is_degrees(marks: list[Mark], at: int) -> bool:
    if marks[at].has("degrees"):
        return True
    following = marks[at + 1].text.split()[0] if at + 1 < len(marks) else ""
    return marks[at].has("quantity") and following in {"degrees", "degree", "deg", "°"}


def _short_of(marks: list[Mark], at: int) -> bool:
    """Whether degrees and "of" stand between a value and the movement that it is of."""
    if not at or not marks[at - 1].values or not marks[at].has("quantity"):
        return False
    ahead = marks[at + 1 : at + 3]
    return len(ahead) > 1 and _is_degrees(marks, at) and ahead[1].text.split()[0] in AT


def note_degrees(line: Line) -> None:
    """Degrees become a detail of the range they follow; alone they are asked about."""
    state = line.state
    ranges = [d for d in state.sentence_drafts if d.item.startswith("range.") and not d.gone]
    if ranges:
        told = {d.item for d in ranges}
        late = [d for d in state.doubts[-2:] if d.rule == "degrees" and d.item in told]
        for doubt in [d for d in late if state.sentence - d.sentence == 1]:
            state.doubts.remove(doubt)
    for at, mark in enumerate(line.marks):
        if not _is_degrees(line.marks, at):
            continue
        owners = [d for d in ranges if _starts_before(d.marks[0], mark)]
        if owners:
            owners[-1].detail.setdefault("degrees", mark.text)
            continue
        waiting = [s for s in state.open if s.term.category == "movement"]
        if waiting and "range" in (state.context.kind, state.context.topic):
            term = waiting[-1].term
            said = heard_text(mark).strip(".,;")
            question = f"{term.label}, {said} degrees: is the passive range full?"
            side = state.side if state.side in {"left", "right"} else "none"
            state.doubts.append(
                Doubtful(
                    "value", False, question, f"range.{term.term_id}", side,  # type: ignore[arg-type]
                    ("reduced", "full"), [], (waiting[-1].mark, mark), rule="degrees",
                )
            )  # fmt: skip
            state.counted, state.open = waiting[-1:], []


def _take_up(marks: list[Mark], state: State) -> None:
    """ "Wrist extension, ten degrees only. Reduced.": the word follows in a sentence of its own."""
    counted, state.counted = state.counted, []
    worded = any("range" in word.means for m in marks for word in m.values)
    if counted and worded and not state.open and not any(m.terms or m.number for m in marks):
        state.open = [replace(s, sentence=state.sentence, asked=True) for s in counted]


def ask_movements(line: Line) -> None:
    """Asks which movements were meant where only a joint has full or reduced range."""
    state = line.state
    if state.context.kind != "range" or state.sentence_drafts or line.speaker == "patient":
        return
    joints = [m for m in line.marks if _joint_of(m, line.vocabulary)]
    said = [m for m in line.marks if any("range" in w.means for w in m.values) and not m.scope]
    named = [t for m in line.marks for t in m.terms if t.category != "percussion"]
    if not (joints and said) or named:
        return
    question = (
        f'Passive range: "{said[0].text}" was said of the {joints[0].text}, of which movements?'
    )
    state.doubts.append(
        Doubtful("value", False, question, marks=(joints[0], said[0]), rule="which_movement")
    )


def _starts_before(one: Mark, other: Mark) -> bool:
    return one.written is other.written and one.start < other.start
