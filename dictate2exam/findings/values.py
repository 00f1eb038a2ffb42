"""Values: before or after their terms, in answers, in instructions, or of what was last said."""

from dictate2exam.findings import corrections, percussion, sides
from dictate2exam.findings.denial import directly_denied, unfelt
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.everything import heads_list
from dictate2exam.findings.line import (
    DENIABLE,
    SENSORY,
    TURNS,
    Line,
    current_terms,
    following_terms,
    has_tight_value,
    list_end,
)
from dictate2exam.findings.meaning import Claim, read_claim
from dictate2exam.findings.naming import flush_naming
from dictate2exam.findings.ordinary import describes_a_thing
from dictate2exam.findings.sameness import read_same, value_on_side
from dictate2exam.findings.state import Doubtful, Subject, heard_text
from dictate2exam.findings.steering import steer
from dictate2exam.findings.studies import beside

STRICT_PREPOSITIONS = frozenset(
    [
        "in",
        "of",
        "for",
        "at",
        "over",
        "on",
        "across",
        "throughout",
        "involving",
        "affecting",
        "around",
        "to",
        "from",
    ]
)


def _stands_before(line: Line, at: int, claim: Claim) -> bool:
    """Whether the value at `at` belongs to the terms after it."""
    state = line.state
    place = following_terms(line, at)
    if place < 0 or line.value_side:
        return False
    first = current_terms(line, line.marks[place])[0]
    if (
        first.category != "percussion"
        and not first.is_group
        and (read_claim(first, claim, state.context, line.vocabulary) is None)
    ):
        return False
    gap = line.marks[at + 1 : place]
    preposition = any(m.text.split()[0] in STRICT_PREPOSITIONS for m in gap if not m.has("kind"))
    opened_here = [
        s
        for s in state.open
        if s.sentence == state.sentence
        and read_claim(s.term, claim, state.context, line.vocabulary) is not None
    ]
    mark = line.marks[at]
    if opened_here:
        return False
    last = list_end(line, place, own_values=preposition)
    after = line.next_solid(last)
    postvalued = has_tight_value(line, last)
    if not postvalued:
        return preposition or not state.open or not mark.number or mark.predicates != ()
    if preposition and mark.number:
        return True
    ahead = following_terms(line, after)
    if ahead >= 0:
        return _stands_before_parity(line, at)
    return bool(mark.predicates and preposition)


def _stands_before_parity(line: Line, at: int) -> bool:
    """In "value term value term" the last thing said tells which way the pairs run."""
    last = ""
    for mark in line.marks[at:]:
        if mark.terms:
            last = "term"
        elif mark.valued and not mark.light:
            last = "value"
    return last == "term"


def read_value(line: Line, at: int) -> int:
    mark, state = line.marks[at], line.state
    claim = Claim(mark, mark.number, mark.values, mark.predicates)
    if mark.has("homophone") and not mark.values and not mark.predicates:
        return at + 1
    if mark.number and _is_pronoun(line, at):
        return at + 1
    if _only_an_answer(line, at) or _adjective(line, at):
        steer(line, mark, at)
        return at + 1
    if mark.scope == "counting" and mark.number:
        return at + 1
    if mark.scope in {"instruction", "plan"} and not _breaks_out(line, at):
        steer(line, mark, at)
        return at + 1
    if mark.scope == "question" and mark.reach in {"offered", "starting"} and not line.yes_no:
        if mark.number or any("sensation" in w.means or "sign" in w.means for w in mark.values):
            answered = (
                any(m.has("answer.yes") or m.has("answer.no") for m in line.marks[:at])
                and state.offered is not None
            )
            if not answered and not _number_follows_offer(line, at):
                state.offered = claim
                if any(w.name in {"same", "normal"} for w in claim.words):
                    state.standing_offer = claim
                return at + 1
            state.offered = None
        elif not (mark.predicates and not mark.light):
            steer(line, mark, at)
            return at + 1
        else:
            return at + 1
    if mark.has("list.same") and read_same(line, at, claim):
        return at + 1
    if claim.words and not claim.predicates and _number_follows(line, at):
        return at + 1
    if line.denial is not None and claim.number is None:
        claim.denied = directly_denied(line, at)
    if (line.denial is not None and claim.number is not None and not state.open) and (
        corrections.value_after_no(line, at, claim)
    ):
        return at + 1
    if line.doubt and not claim.number:
        claim.uncertain = True
    if beside(line, at):
        return at + 1
    if line.percussion.takes(line, claim):
        percussion.claim(line, at, claim)
        return at + 1
    if any(w.name == "cannot_feel" for w in mark.values) and unfelt(line, at, claim):
        return at + 1
    if heads_list(line, at, claim):
        return at + 1
    if _stands_before(line, at, claim):
        line.pre = claim
        if claim.denied:
            line.denial = None
        return at + 1
    if state.open:
        return _value_for_open(line, at, claim)
    return _value_for_last(line, at, claim)


def _adjective(line: Line, at: int) -> bool:
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
    if mark.has("predicative") and line.group and sides.side_follows(line, at):
        return False
    followed = ahead is not None and bool(ahead.terms or ahead.predicates)
    return followed or not line.state.open


def _only_an_answer(line: Line, at: int) -> bool:
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


def _number_follows(line: Line, at: int) -> bool:
    """Whether a number says more exactly what the word said: "weak at 3/5", "normal, five"."""
    opened = [s for s in line.state.open if s.term.category not in DENIABLE]
    if not opened or line.marks[at].has("list.same"):
        return False
    following = line.next_solid(at)
    if following >= len(line.marks) or line.marks[following].number is None:
        return False
    return all(
        m.light or m.has("pause") or m.has("kind") or m.has("hedge")
        for m in line.marks[at + 1 : following]
        if m.text not in TURNS
    )


def _number_follows_offer(line: Line, at: int) -> bool:
    """Two voices in one line: what follows an offer and a no is the answer."""
    return (
        line.state.offered is not None
        and line.marks[at].number is not None
        and any(m.has("answer.no") for m in line.marks[:at])
    )


def _breaks_out(line: Line, at: int) -> bool:
    """Whether a value inside an instruction is a finding all the same: "biceps push up four"."""
    mark, state = line.marks[at], line.state
    claim = Claim(mark, mark.number, mark.values, mark.predicates)
    if claim.strong or (mark.predicates and mark.scope != "plan"):
        return True
    before = line.marks[at - 1] if at else None
    if before is not None and (
        before.terms or (before.light and at > 1 and line.marks[at - 2].terms)
    ):
        return True
    if not state.open:
        return False
    final = all(m.light or m.has("pause") for m in line.marks[at + 1 :])
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
        return final and not prep and before is not None
    return final and any("power" in w.means or "sign" in w.means for w in mark.values)


def _value_for_open(line: Line, at: int, claim: Claim) -> int:
    state = line.state
    far = line.strange > line.vocabulary.phrases.doubt.far_words
    here = any(s.sentence == state.sentence for s in state.open)
    if claim.number and not claim.strong and line.strange > 3 and not here:
        return at + 1
    if far and not claim.strong:
        return at + 1
    if claim.kind == "wasting" and _of_region(line, at):
        return at + 1
    subjects = list(state.open)
    if claim.kind == "contraction" and all(s.term.category in SENSORY for s in subjects):
        return _value_for_last(line, at, claim)
    if claim.words and line.strange > 1 and all(s.naming for s in subjects):
        flush_naming(line)
        return at + 1
    unfit = [
        s
        for s in subjects
        if s.naming and read_claim(s.term, claim, state.context, line.vocabulary) is None
    ]
    if unfit and len(unfit) < len(subjects):
        kept, state.open = [s for s in subjects if s not in unfit], unfit
        flush_naming(line)
        state.open = subjects = kept
    apiece = any(m.has("list.apiece") for m in line.marks[at + 1 : at + 2])
    if (line.all_said or apiece) and state.chain and line.speaker != "patient":
        recent = [s for s in state.chain if state.sentence - s.sentence <= 6]
        known = {id(s) for s in subjects}
        subjects = [s for s in recent if id(s) not in known and not s.naming] + subjects
    end = _respectively(line, at, subjects)
    if end:
        return end
    confidence = 1.0 - 0.04 * min(line.strange, 5)
    made = assign(line, claim, subjects, rule="term before value", confidence=confidence)
    if made is None:
        return at + 1
    if made or claim.number:
        state.open = []
    state.chain = []
    line.excluded = []
    line.group_since = at
    line.all_said = False
    line.strange = 0
    return at + 1


def _of_region(line: Line, at: int) -> bool:
    """Whether bulk is said of a part of the limb that has no item: "forearm bulk fine"."""
    for mark in reversed(line.marks[:at]):
        if mark.has("region"):
            return True
        if not mark.light:
            return False
    return False


def _value_for_last(line: Line, at: int, claim: Claim) -> int:
    """A value with no new term: a second side, a second kind, a doubt, or nothing."""
    state = line.state
    if corrections.apply_value(line, at, claim):
        return at + 1
    if claim.number and _refines(line, claim):
        return at + 1
    if claim.predicates and describes_a_thing(line.marks, at, line.vocabulary):
        return at + 1
    if line.speaker == "patient":
        if line.group and any(
            m.has("hedge.alternative") for m in line.marks[line.group_since : at]
        ):
            corrections.second_value(line, at, claim)
            return at + 1
        if state.last and state.last[-1].patient and _same_turn(line, at):
            assign(line, claim, state.last_subjects, rule="second answer")
        return at + 1
    if claim.number and any(m.has("asked_place") for m in line.marks[max(0, at - 3) : at]):
        _ask_which_finger(line, at)
        return at + 1
    if claim.number and not state.last_subjects and _unknown(line, at):
        state.stray = state.sentence
    if not state.last_subjects:
        return at + 1
    fresh = state.sentence - max(s.sentence for s in state.last_subjects) <= 2
    if fresh and not line.value_side:
        line.value_side = sides.side_after_value(line, at)
    if not line.value_side and (_less_than_said(line, claim) or _range_too(line, claim)):
        return at + 1
    if line.value_side and fresh:
        value_on_side(line, claim)
        line.group_since = at
        return at + 1
    felt = {"no_contraction", "palpable", "impalpable", "cannot_feel", "can_feel"}
    if (
        claim.predicates
        or any(
            w.name in felt or (state.context.kind == "contraction" and "contraction" in w.means)
            for w in claim.words
        )
    ) and (fresh and corrections.add_kind(line, claim)):
        return at + 1
    if (
        state.modality
        and fresh
        and line.group
        and line.group[-1].detail.get("modality")
        not in {
            None,
            state.modality,
        }
    ):
        assign(line, claim, state.last_subjects, rule="other modality")
        return at + 1
    if claim.number:
        if _graded_after_felt(line, claim):
            return at + 1
        known = len(state.doubts)
        corrections.second_value(line, at, claim)
        if len(state.doubts) == known and _unknown(line, at):
            state.stray = state.sentence
    return at + 1


def _graded_after_felt(line: Line, claim: Claim) -> bool:
    """A grade of what was only felt or seen so far: "neither contracts. Both are zero"."""
    state = line.state
    felt = [d for d in line.group or state.last if not d.gone]
    if not felt or state.sentence - felt[-1].sentence > 2:
        return False
    if not all(d.item.startswith(("contraction.", "wasting.")) for d in felt):
        return False
    subjects = list(state.last_subjects)
    if any(m.has("list.all") or m.text == "they" for m in line.marks):
        near = [d for d in state.drafts[-12:] if d.sentence == felt[-1].sentence and not d.gone]
        kind = felt[-1].item.partition(".")[0]
        same = [d for d in near if d.item.startswith(f"{kind}.")]
        subjects = [Subject(d.term, d.marks[0], sentence=d.sentence) for d in same]
    return bool(assign(line, claim, subjects, rule="grade after what was felt"))


def _same_turn(line: Line, at: int) -> bool:
    """Whether the last answer was given in this turn or the sentence before."""
    last = line.state.last[-1]
    here, there = line.marks[at].written.utterance, last.marks[-1].written.utterance
    return here.index == there.index or line.state.sentence - last.sentence <= 1


def _range_too(line: Line, claim: Claim) -> bool:
    """ "Elbow flexion three, passive range full": the movement just graded."""
    state = line.state
    last = state.last_subjects
    if state.context.kind != "range" or not claim.words or line.group:
        return False
    if any(m.terms or m.text in line.vocabulary.joints for m in line.marks):
        return False
    if state.sentence - last[-1].sentence > 1 or any(s.term.category != "movement" for s in last):
        return False
    return bool(assign(line, claim, list(last), rule="passive range of the last"))


THERE = frozenset({"present", "palpable", "good_pulse", "reflex_there", "good"})
GRADUAL = ("pulse.", "reflex.", "conduction.")


def _less_than_said(line: Line, claim: Claim) -> bool:
    """ "Present, but weaker than the other": there at all, and less than it should be."""
    state = line.state
    said = state.last_claim
    if said is None or not line.group or not any(w.name in THERE for w in said.words):
        return False
    group = [d for d in line.group if not d.gone and d.item.startswith(GRADUAL)]
    for draft in group:
        kind = draft.item.partition(".")[0]
        if not any(word.means.get(kind) in {"reduced", "brisk"} for word in claim.words):
            return False
    for draft in group:
        kind = draft.item.partition(".")[0]
        draft.value = next(w.means[kind] for w in claim.words if kind in w.means)
        draft.marks = [*draft.marks, claim.mark]
    return bool(group)


def _unknown(line: Line, at: int) -> bool:
    """Whether words that were not understood stand before a value."""
    return line.strange > 0 or any(m.has("unknown") for m in line.marks[:at])


def _refines(line: Line, claim: Claim) -> bool:
    """A number asked for after an answer in words ("duller ... give me a number ... five")."""
    state = line.state
    worded = [d for d in state.last if not d.gone and not d.value.isdigit()]
    if not worded or len(worded) != len(state.last) or line.group:
        return False
    if not all(d.item.startswith("sensation.") and d.patient for d in worded):
        return False
    if state.sentence - worded[-1].sentence > 3:
        return False
    subjects = [Subject(d.term, d.marks[0], side=d.side if d.side_spoken else None) for d in worded]
    made = assign(line, claim, subjects, rule="answer in numbers")
    for draft in made or ():
        old = [d for d in worded if d.item == draft.item and d.side == draft.side]
        draft.corrects = old[0] if old else None
    return bool(made)


def _ask_which_finger(line: Line, at: int) -> None:
    """The ring finger has two dermatomes: a score for it is asked about."""
    mark = line.marks[at]
    line.state.doubts.append(
        Doubtful(
            "value",
            False,
            f'"{heard_text(mark)}" was said of the ring finger: which dermatome is meant?',
            suggestions=("C8", "C7"),
            marks=(mark,),
        )
    )


def _is_pronoun(line: Line, at: int) -> bool:
    """ "And the little one?" asks about a finger where no muscle waits for a grade."""
    mark, before = line.marks[at], line.marks[at - 1].text if at else ""
    if mark.number is None or mark.number.value != 1 or line.state.open:
        return False
    return before in {"little", "middle", "small", "big"}


def _respectively(line: Line, at: int, subjects: list[Subject]) -> int:
    """ "Deltoid and biceps four and three": as many grades as terms are given out in turn; the
    place after them, or 0 where the numbers differ."""
    state = line.state
    named = list(dict.fromkeys(id(s.mark) for s in subjects))
    if len(named) < 2 or line.all_said or line.marks[at].number is None:
        return 0
    places = [at]
    for place in range(at + 1, len(line.marks)):
        mark = line.marks[place]
        if mark.number is not None:
            places.append(place)
        elif not (mark.text == "and" or mark.has("pause")):
            break
    if len(places) != len(named):
        return 0
    for key, place in zip(named, places, strict=True):
        mine = [s for s in subjects if id(s.mark) == key]
        mark = line.marks[place]
        assign(line, Claim(mark, mark.number), mine, rule="one grade each")
    state.open, state.chain = [], []
    return places[-1] + 1
