"""Words and numbers that could be values and are none where they stand."""

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.heard_numbers import HIGHEST_SCORE
from dictate2exam.findings.line import DENIABLE, MOTOR, SENSORY, TURNS, Line, following_terms
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_pairs import side_follows
from dictate2exam.findings.side_words import OPPOSITE

FINE = frozenset({"fine", "okay", "ok", "good", "perfect"})
SEEN = ("wasting.", "sign.", "posture.")
RUNS = ("reflex.", "pulse.", "conduction.", "range.")
# Words by which a grade is given to the name after it.
GIVEN = frozenset({"in", "on", "for"})
# ... after a pause so many marks before: ", that's a good".
NEAR = 4
BEING = frozenset({"is", "are", "was", "were", "look", "looks", "looked"})


def adjective(line: Line, at: int) -> bool:
    """Whether a word like "obvious" only colours what follows: "obvious wasting"."""
    mark = line.marks[at]
    if line.percussion.active and line.percussion.named is not None:
        return False
    if not mark.light or any(word.name != "present" for word in mark.values):
        return False
    back = at - 1
    while back > 0 and line.marks[back].light and not line.marks[back].has("pause"):
        back -= 1
    if mark.has("predicative") and back >= 0 and line.marks[back].terms:
        return False
    nxt = at + 1
    while nxt < len(line.marks) and line.marks[nxt].light:
        nxt += 1
    ahead = line.marks[nxt] if nxt < len(line.marks) else None
    if mark.has("predicative") and line.group and side_follows(line, at):
        return False
    if mark.has("predicative") and (_of_other_side(line, at) or _of_several(line, at)):
        return False
    followed = ahead is not None and bool(ahead.terms or ahead.predicates)
    return followed or not line.state.open


def _of_several(line: Line, at: int) -> bool:
    """ "All of them are present, biceps, supinator": said of names that a comma sets off."""
    paused = at + 1 < len(line.marks) and line.marks[at + 1].has("pause")
    before = line.marks[max(0, at - 2) : at]
    being = bool(before) and before[-1].text.split()[-1] in BEING
    every = any(m.has("list.all") or "both" in m.text.split() for m in before)
    return paused and being and every


def _of_other_side(line: Line, at: int) -> bool:
    """ "Radial pulse. Right, reduced. Left, present": the last word of a side that was named."""
    last = [d for d in line.state.last if not d.gone]
    return (
        line.value_side in OPPOSITE
        and at + 1 == len(line.marks)
        and bool(last)
        and line.state.sentence - last[-1].sentence <= 1
        and all(d.side == OPPOSITE[line.value_side] for d in last)
    )


def only_an_answer(line: Line, at: int) -> bool:
    """Whether a word like "fine" or "half" stands where nothing sensory waits for an answer."""
    mark = line.marks[at]
    if mark.number or mark.predicates or mark.has("list.same"):
        return False
    if not all(word.answer for word in mark.values):
        return False
    if any(s.term.category in SENSORY for s in line.state.open):
        return False
    place = following_terms(line, at)
    if place >= 0 and line.marks[place].terms:
        return line.marks[place].terms[0].category not in SENSORY
    return not (line.speaker == "patient" and line.state.last and line.state.last[-1].patient)


def looks_fine(line: Line, at: int) -> bool:
    """Whether only the look of a part is praised while the limb is inspected: "the thenar has gone,
    the little finger side's fine"."""
    mark, state = line.marks[at], line.state
    last = [d for d in state.last if not d.gone]
    seen = bool(last) and all(d.item.startswith(SEEN) for d in last)
    skin = bool(state.open) and all(
        s.term.category in SENSORY and s.sentence == state.sentence for s in state.open
    )
    if mark.text not in FINE or line.speaker == "patient" or line.asked:
        return False
    return seen and skin and state.context.topic != "sensation"


def of_another_noun(line: Line, at: int) -> bool:
    """Whether a word of health is said of something that is no item: "eyes are fine", and nothing
    of the reflex before."""
    words = line.marks[at].text.split()
    before = [m for m in line.marks[:at] if not m.light]
    told = bool(before) and before[-1].has("not_examined") and not before[-1].terms
    joined = words[0] in BEING or line.marks[at - 1].text in BEING
    return told and joined and line.marks[at].number is None


def is_fine_there(line: Line, at: int) -> bool:
    """Whether "fine" after a side says that what was just found on the other is normal there."""
    last = [d for d in line.state.last if not d.gone]
    return (
        line.value_side in OPPOSITE
        and line.marks[at].text in FINE
        and bool(last)
        and line.state.sentence - last[-1].sentence <= 1
        and all(d.item.startswith(RUNS) and d.side != line.value_side for d in last)
    )


def number_follows(line: Line, at: int) -> bool:
    """Whether a number says more exactly what the word said: "weak at 3/5", "normal, five"."""
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    graded = {s.term.category for s in line.state.last_subjects} <= MOTOR
    if not line.state.open and after is not None and after.number and graded:
        return bool(line.state.last_subjects)  # "that's the right, and it's a feeble three"
    if line.marks[at].has("list.same"):
        return False
    following = line.next_solid(at)
    if following >= len(line.marks) or line.marks[following].number is None:
        return False
    waiting = {s.term.category for s in line.state.open}
    # "The triceps jerk, there it goes, one plus".
    there = any(word.name == "reflex_there" for word in line.marks[at].values)
    number = line.marks[following].number
    jerk = there and waiting == {"reflex"} and number is not None and number.sign == "+"
    if not waiting - DENIABLE and not jerk:
        return False
    return all(
        m.light or m.has("pause") or m.has("kind") or m.has("hedge")
        for m in line.marks[at + 1 : following]
        if m.text not in TURNS
    )


def number_follows_offer(line: Line, at: int) -> bool:
    """Two voices in one line: what follows an offer and a no is the answer."""
    return (
        line.state.offered is not None
        and line.marks[at].number is not None
        and any(m.has("answer.no") for m in line.marks[:at])
    )


def breaks_out(line: Line, at: int) -> bool:
    """Whether a value inside an instruction is a finding all the same: "biceps push up four"."""
    mark, state = line.marks[at], line.state
    claim = Claim.of(mark)
    if claim.strong or (mark.predicates and mark.scope != "plan"):
        return True
    before = line.marks[at - 1] if at else None
    if before is not None and (
        before.terms or (before.light and at > 1 and line.marks[at - 2].terms)
    ):
        return True
    named = following_terms(line, at) if mark.number else -1
    if named >= 0 and any(m.has("pause") for m in line.marks[max(0, at - NEAR) : at]):
        # "Spread the fingers, five on the first dorsal."
        given = [m for m in line.marks[at + 1 : named] if m.has("list.prepose")]
        closes = all(m.light or m.terms or m.has("pause") for m in line.marks[named : named + 2])
        return bool(given) and given[0].text.split()[0] in GIVEN and closes
    if not state.open:
        felt = any(word.name == "no_contraction" for word in mark.values)
        return (felt and bool(line.group)) or _after_urging(line, at) or _tried_anew(line, at)
    rest = line.marks[at + 1 :]
    final = all(m.light or m.has("pause") or m.has("side_too") for m in rest)
    prep = before is not None and before.text in {
        "for",
        "to",
        "on",
        "of",
        "one",
        "up",
        "your",
        "my",
    }
    if mark.number:
        return (final and not prep and before is not None) or _stands_alone(line, at)
    if mark.scope == "plan" and _of_another_thing(line, at):
        return False
    return final and any("power" in w.means or "sign" in w.means for w in mark.values)


def _stands_alone(line: Line, at: int) -> bool:
    """Whether a grade stands between pauses, the only number before the next name, where a muscle
    that was named in it waits: "FPL, bend the tip, come on, bend it, zero, and no contraction",
    "latissimus, cough for me, two, and teres major two"."""
    marks, state = line.marks, line.state
    named = next((n for n in range(at + 1, len(marks)) if marks[n].terms), len(marks))
    if sum(m.number is not None or m.has("quantity") for m in marks[:named]) > 1:
        return False
    apart = 0 < at < len(marks) - 1 and marks[at - 1].has("pause") and marks[at + 1].has("pause")
    here = [s for s in state.open if s.sentence == state.sentence]
    return apart and bool(here) and all(s.term.category in MOTOR for s in here)


def _of_another_thing(line: Line, at: int) -> bool:
    """Whether a plan's last word is of what was not named: "the serratus when your rib has
    settled"."""
    since = line.state.open[-1].mark
    between = line.marks[line.marks.index(since) + 1 : at] if since in line.marks else []
    return any(not (m.roles or m.valued or m.has("pause")) for m in between)


def _after_urging(line: Line, at: int) -> bool:
    """ "Biceps, left five, and right, come on, right three": the other side of what was graded."""
    side = line.marks[at - 1] if at else None
    group = [d for d in line.group if not d.gone]
    if side is None or not line.marks[at].number or not group or at + 1 < len(line.marks):
        return False
    named = next((name for name in OPPOSITE if side.has(f"side.{name}")), "")
    return bool(named) and all(d.side == OPPOSITE[named] for d in group)


def _tried_anew(line: Line, at: int) -> bool:
    """ "Triceps four, no, you let go, push, five": what was graded before the no, closing the
    sentence."""
    marks = line.marks
    group = [d for d in line.group if not d.gone and d.item.startswith("power.")]
    no = next((n for n in range(at - 1, 0, -1) if marks[n].has("correction.no")), 0)
    last = max((marks.index(m) for d in group for m in d.marks if m in marks), default=at)
    apart = marks[at - 1].has("pause") and all(m.has("pause") for m in marks[at + 1 : at + 2])
    named = any(m.terms for m in marks[last + 1 :])
    return bool(marks[at].number) and last < no and apart and not named


HIGHEST_GRADE = 5
MOST_SCORED = 10
IS_NOT = frozenset({"it isnt", "it is not", "it wasnt", "it was not", "its not", "they arent"})


def bare_degrees(line: Line, at: int) -> bool:
    """Whether a number too high for a grade counts degrees: "supination stops at forty"."""
    number, state = line.marks[at].number, line.state
    ranged = "range" in (state.context.kind, state.context.topic)
    if number is None or number.sign or number.scale or number.value <= HIGHEST_GRADE:
        return False
    subjects = state.open or state.last_subjects
    return ranged and bool(subjects) and subjects[-1].term.category == "movement"


def held_at(line: Line, at: int) -> bool:
    """Whether a number is the angle at which a joint is held for a test: "elbow at ninety"."""
    number = line.marks[at].number
    if number is None or number.sign or number.scale or number.value <= HIGHEST_SCORE:
        return False
    before = [word for m in line.marks[max(0, at - 3) : at] for word in m.text.split()]
    limb = {*line.vocabulary.joints, *line.vocabulary.phrases.cues["method.words"]}
    return bool(before) and bool(limb & set(before)) and before[-1] in {"at", "to", "bent"}


def is_pronoun(line: Line, at: int) -> bool:
    """ "And the little one?" asks about a finger where no muscle waits for a grade."""
    mark, before = line.marks[at], line.marks[at - 1].text if at else ""
    if mark.number is None or mark.number.value != 1:
        return False
    if sided_limb(line, at) or graded_after(line, at):
        return True
    if line.state.open and line.state.open[-1].term.category not in SENSORY:
        return False
    return before in {"little", "middle", "small", "big"}


def of_own_muscle(line: Line, at: int) -> bool:
    """Whether a patient grades a muscle of which nothing was asked: "my trainer says my triceps is
    like a two"."""
    if line.speaker != "patient":
        return False
    named = [t for m in line.marks[:at] for t in m.terms if t.category in {"muscle", "movement"}]
    return bool(named) and not any(s.term in named for s in line.state.open)


def ruled_out(line: Line, at: int) -> bool:
    """Whether a grade is only what it is not: "it's not going to be a five"."""
    mood, low = line.vocabulary.phrases.mood, at - 1
    while low >= 0 and (line.marks[low].light or line.marks[low].text in mood["ruled_by"]):
        low -= 1
    lead = " ".join(m.text for m in line.marks[max(0, low) : at])
    words = lead.split()
    article = words[-1:] == ["a"] or words[-1:] == ["quite"]
    return bool(article and set(words[:1]) & set(mood["ruled_never"])) or lead in {
        "not a",
        "isnt a",
    }


def taken_back(line: Line, at: int) -> bool:
    """Whether a word is denied at once: "the grip looks weak, and it isn't"."""
    mark, rest = line.marks[at], line.marks[at + 1 :]
    rest = [m for m in rest if not m.has("pause") and m.text not in {"and", "but", "though"}]
    return bool(mark.values) and len(rest) == 1 and rest[0].text in IS_NOT


def only_way(line: Line, at: int) -> bool:
    """Whether "gravity eliminated" only tells how was tested what is graded behind it: "triceps,
    gravity eliminated, nothing"; nor is a pose a grade: "with the arm at ninety"."""
    mark, following = line.marks[at], line.next_solid(at)
    if mark.number and mark.number.value > MOST_SCORED and _in_degrees(line, at):
        return True
    if not any(word.name == "gravity_eliminated" for word in mark.values):
        return False
    told = line.marks[following] if following < len(line.marks) else None
    between = line.marks[at + 1 : following]
    plain = all(m.light or m.has("pause") or m.has("kind") for m in between)
    return told is not None and told.valued and not told.terms and plain and bool(line.state.open)


def _in_degrees(line: Line, at: int) -> bool:
    """Whether a number too high for any scale is how far something was bent, and nothing waits."""
    number, before = line.marks[at].number, line.marks[at - 1].text if at else ""
    bare = number is not None and not (number.sign or number.scale)
    return bare and before in {"at", "to"} and not line.state.open


def counts_things(line: Line, at: int) -> bool:
    """Whether a number counts things that a place only describes: "the three thumb tendons"."""
    number, marks = line.marks[at].number, line.marks
    if _counts_muscles(marks, at):
        return True
    if number is None or number.sign or number.scale or not 0 < at < len(marks) - 2:
        return False
    place, thing = marks[at + 1 : at + 3]
    told = marks[at - 1].text.split()[-1] in {"the", "these", "those", "all"}
    plain = not (thing.roles or thing.terms or thing.valued) and thing.text.endswith("s")
    return told and plain and bool(place.terms) and place.terms[0].category in SENSORY


def _counts_muscles(marks: list[Mark], at: int) -> bool:
    """ "The two spinati": how many muscles are meant by one name."""
    number, after = marks[at].number, marks[at + 1] if at + 1 < len(marks) else None
    if number is None or number.sign or number.scale or number.value not in {2, 3} or not at:
        return False
    if after is not None and after.has("list.rest") and marks[at - 1].text.endswith("the"):
        return True  # "of the cuff, the two others are preserved"
    if after is None or not after.terms or after.terms[0].category not in {"muscle", "movement"}:
        return False
    plural = after.text.endswith(("s", "i")) and not after.text.endswith(("ceps", "anterior"))
    return plural and marks[at - 1].text.split()[-1] in {"the", "these", "those", "his", "her"}


def sided_limb(line: Line, at: int) -> bool:
    """ "Bend your elbow, left one": which arm is to move, and no grade of it."""
    number, before = line.marks[at].number, line.marks[:at]
    return (
        at > 2
        and number is not None
        and number.value == 1
        and at + 1 == len(line.marks)
        and before[-1].text in OPPOSITE
        and before[-2].has("pause")
        and any(m.scope == "instruction" for m in before)
        and not any(m.valued for m in before)
    )


def graded_after(line: Line, at: int) -> bool:
    """Whether "one" only stands for what is graded behind it: "the right one five", "the middle one
    and there's no contraction in it"."""
    number, before, marks = line.marks[at].number, line.marks[at - 1] if at else None, line.marks
    if before is None or number is None or number.sign or number.scale or number.value != 1:
        return False
    after = marks[at + 1 : at + 2]
    sided = before.has("side") and bool(
        {"the", "his", "her", "your"} & set(marks[at - 2].text.split()[-1:])
    )
    told = bool(after) and (
        after[0].number is not None
        or (after[0].has("list.copula") and after[0].text not in {"a", "an"})
    )
    if sided or before.text in {"other", "good", "bad"}:
        return told
    part = before.text in {"little", "middle", "small", "big", "front", "back", "upper", "lower"}
    return part and (told or (bool(after) and after[0].text in {"and", "with"}))


def nothing_to_do(line: Line, at: int) -> bool:
    """Whether "nothing" only says what there was not: "nothing to hang on to"."""
    mark, after = line.marks[at], line.marks[at + 1 : at + 3]
    if mark.number or mark.predicates or not any(w.name == "nothing" for w in mark.values):
        return False
    if len(after) < 2 or after[0].text != "to" or after[1].terms:
        return False
    if [m.text for m in line.marks[at + 1 : at + 4]] == ["to", "do", "with"]:
        return True
    looked = line.vocabulary.phrases.cues["nothing_to.looked"]
    if all(s.term.category in SENSORY for s in line.state.open) and after[1].text in looked:
        return True  # of skin "nothing to see" is no score
    kept = line.vocabulary.phrases.cues["nothing_to.kept"]
    return after[1].text.split()[0] not in kept and not after[1].light
