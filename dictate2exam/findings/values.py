"""Values: before or after their terms, in answers, in instructions, or of what was last said."""

from dictate2exam.findings import columns, corrections, leading, percussion, tables
from dictate2exam.findings.bulk import doubted_bulk, doubts_bulk
from dictate2exam.findings.claims import Claim
from dictate2exam.findings.denial import denied_after, directly_denied, unfelt
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.everything import heads_list
from dictate2exam.findings.last_said import value_for_last
from dictate2exam.findings.line import (
    SENSORY,
    Line,
    current_terms,
    following_terms,
    has_tight_value,
    list_end,
)
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.named_only import without_headings, without_places
from dictate2exam.findings.naming import flush_naming, named_there
from dictate2exam.findings.no_value import (
    adjective,
    bare_degrees,
    breaks_out,
    counts_things,
    held_at,
    is_fine_there,
    is_pronoun,
    looks_fine,
    nothing_to_do,
    number_follows,
    number_follows_offer,
    of_another_noun,
    of_own_muscle,
    only_an_answer,
    only_way,
    ruled_out,
    taken_back,
)
from dictate2exam.findings.sameness import read_same, value_on_side
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Subject
from dictate2exam.findings.steering import steer
from dictate2exam.findings.studies import beside, turn_to_needle

# Words that are grades by themselves: "a flicker for ECRL, and ECRB zero".
GRADES = frozenset({"flicker", "trace"})
LOOKED = frozenset({"looked", "looks", "appeared", "appears"})
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
        "into",
        "from",
    ]
)


def _of_next_site(line: Line, at: int) -> bool:
    """Whether a value is given to a site after it: "nothing, and nothing in the axilla either"."""
    place = following_terms(line, at)
    if place < 0 or has_tight_value(line, place):
        return False
    words = [word for m in line.marks[at + 1 : place + 1] for word in m.text.split()]
    sited = line.marks[place].terms[:1]
    return (
        bool(sited)
        and sited[0].category == "percussion"
        and not sited[0].is_group
        and words[0] in STRICT_PREPOSITIONS
    )


def _stands_before(line: Line, at: int, claim: Claim) -> bool:
    """Whether the value at `at` belongs to the terms after it."""
    state = line.state
    if leading.opens_sentence(line, at, claim) or leading.is_given(line, at, claim):
        return True
    if claim.number and leading.is_inverted(line, at):
        return True
    place = following_terms(line, at)
    if place < 0 or line.value_side or _of_what_is_gone(line, at, claim):
        return False
    if any(m.has("kind.reflex") and not m.scope for m in line.marks[at + 1 : place]):
        state.context.kind = "reflex"  # "a brisk jerk at the biceps"
    first = current_terms(line, line.marks[place])[0]
    if (
        first.category != "percussion"
        and not first.is_group
        and (read_claim(first, claim, state.context, line.vocabulary) is None)
    ):
        return False
    gap = line.marks[at + 1 : place]
    preposition = any(m.text.split()[0] in STRICT_PREPOSITIONS for m in gap if not m.has("kind"))
    # "A loss of extension, flexion full".
    preposition = preposition or line.marks[at].text.endswith((" of", " in"))
    if _doubts_next(line, at, place):
        return True
    opened_here = [
        s
        for s in state.open
        if s.sentence == state.sentence
        and read_claim(s.term, claim, state.context, line.vocabulary) is not None
    ]
    mark = line.marks[at]
    if mark.number and gap and gap[0].text == "for" and first.category in {"muscle", "movement"}:
        opened_here = [s for s in opened_here if s.term.category != "place"]
    if opened_here:
        return False
    last = list_end(line, place, own_values=preposition)
    after = line.next_solid(last)
    postvalued = has_tight_value(line, last)
    if not postvalued:
        return preposition or not state.open or not mark.number or mark.predicates != ()
    if preposition and (mark.number or any(word.name in GRADES for word in mark.values)):
        return True
    ahead = following_terms(line, after)
    if ahead >= 0:
        return _stands_before_parity(line, at)
    return bool(mark.predicates and preposition)


def _of_what_is_gone(line: Line, at: int, claim: Claim) -> bool:
    """Whether bulk is told of the muscle before: "the deltoid has gone, wasted, and the biceps"."""
    before = [m for m in line.marks[:at] if not (m.light or m.has("pause"))]
    gone = bool(before) and before[-1].text in line.vocabulary.phrases.cues["bulk.gone"]
    told = any(before[-1] in d.marks for d in line.group) if gone else False
    return told and claim.kind == "wasting" and line.marks[at - 1].text not in {"and", "but"}


def _doubts_next(line: Line, at: int, place: int) -> bool:
    """Whether a doubt is told of what it names: "could not make up my mind about the sweating"."""
    unsure = any(word.name == "uncertain" for word in line.marks[at].values)
    return unsure and [m.text for m in line.marks[at + 1 : place] if m.text != "the"] == ["about"]


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
    claim = Claim.of(mark)
    if mark.has("homophone") and not mark.values and not mark.predicates:
        return at + 1
    if mark.number and (is_pronoun(line, at) or bare_degrees(line, at) or counts_things(line, at)):
        return at + 1
    if mark.number and ruled_out(line, at):
        return at + 1
    if mark.number and (of_own_muscle(line, at) or held_at(line, at)):
        return at + 1
    if taken_back(line, at):
        for subject in state.open:
            subject.mark.terms, subject.mark.roles = (), frozenset({"list.light"})
        state.open = []
        return at + 1
    if only_way(line, at) or doubts_bulk(line, at):
        return at + 1
    if looks_fine(line, at):
        state.open = []
        return at + 1
    if of_another_noun(line, at):
        return at + 1
    if is_fine_there(line, at):
        claim.words = tuple(w for w in line.vocabulary.phrases.values if w.name == "normal")
    elif only_an_answer(line, at) or adjective(line, at):
        steer(line, mark, at)
        return at + 1
    if nothing_to_do(line, at) or (mark.scope == "counting" and mark.number):
        return at + 1
    if mark.scope in {"instruction", "plan"} and not breaks_out(line, at):
        steer(line, mark, at)
        return at + 1
    if mark.scope == "question" and mark.reach in {"offered", "starting"} and not line.yes_no:
        if mark.number or any("sensation" in w.means or "sign" in w.means for w in mark.values):
            answered = (
                any(m.has("answer.yes") or m.has("answer.no") for m in line.marks[:at])
                and state.offered is not None
            )
            if not answered and not number_follows_offer(line, at):
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
    if claim.words and not claim.predicates and number_follows(line, at):
        _felt_before_grade(line, claim)
        return at + 1
    if claim.number is None and corrections.word_after_no(line, at, claim):
        return at + 1
    if line.denial is not None and claim.number is None:
        untested = any(word.name == "not_tested" for word in claim.words)
        claim.denied = not untested and directly_denied(line, at)
    if claim.number and not state.open and corrections.value_after_no(line, at, claim):
        return at + 1
    if (line.doubt and not claim.number) or doubted_bulk(line, at):
        claim.uncertain = True
    turn_to_needle(state, mark)
    if beside(line, at):
        return at + 1
    if percussion.finds_none(line, at):
        return at + 1
    if line.percussion.takes(line, claim):
        percussion.claim(line, at, claim, ahead=_of_next_site(line, at))
        return at + 1
    if any(w.name == "cannot_feel" for w in mark.values) and unfelt(line, at, claim):
        return at + 1
    if heads_list(line, at, claim):
        return at + 1
    before = _stands_before(line, at, claim)
    if claim.predicates and not claim.denied:
        claim.denied = denied_after(line, at, before)
    if before:
        _felt_beside_grade(line, at, claim)
        line.pre = claim
        if claim.denied:
            line.denial = None
        return at + 1
    if state.open:
        return _value_for_open(line, at, claim)
    if columns.second(line, claim):
        return at + 1
    end = tables.give_out_again(line, at)
    if end:
        return end
    return value_for_last(line, at, claim)


def _felt_before_grade(line: Line, claim: Claim) -> None:
    """ "Adductor pollicis, no contraction, so zero": what was felt is told beside the grade."""
    felt = tuple(word for word in claim.words if word.name == "no_contraction")
    subjects = [s for s in line.state.open if s.term.category == "muscle"]
    if felt and subjects and line.denial is None:
        context = line.state.context
        kind, context.kind = context.kind, "contraction"
        assign(line, Claim(claim.mark, words=felt), subjects, rule="felt before its grade")
        context.kind = kind


def _felt_beside_grade(line: Line, at: int, claim: Claim) -> None:
    """Of a muscle that has its grade, "no contraction of serratus" is what was felt beside it."""
    if not any(word.name == "no_contraction" for word in claim.words):
        return
    term = line.marks[following_terms(line, at)].terms[:1]
    graded = line.state.of_item(f"power.{term[0].term_id}") if term else []
    if any(d.side == (line.state.side or "none") and not d.gone for d in graded):
        line.state.context.kind = "contraction"


def _value_for_open(line: Line, at: int, claim: Claim) -> int:
    state = line.state
    if claim.words and _praises(line, at):
        return at + 1
    looked = at > 0 and line.marks[at - 1].text in LOOKED
    if looked and any("wasting" in word.means for word in claim.words) and not claim.number:
        state.context.kind = "wasting"  # "the triceps appeared well preserved"
    far = line.strange > line.vocabulary.phrases.doubt.far_words
    here = any(s.sentence == state.sentence for s in state.open)
    if claim.number and not claim.strong and line.strange > 3 and not here:
        return at + 1
    if far and not claim.strong:
        return at + 1
    if claim.kind == "wasting" and _of_region(line, at):
        return at + 1
    other = _of_other_side(line, at, claim)
    if other:
        flush_naming(line)
        state.open = []
        line.value_side = other
        value_on_side(line, claim)
        return at + 1
    subjects = list(state.open)
    pained = _pain_denied(line, claim, subjects)
    if pained:
        state.open = [s for s in subjects if s not in pained]
        assign(line, claim, pained, rule="pain denied")
        return at + 1
    if claim.kind == "contraction" and all(s.term.category in SENSORY for s in subjects):
        return value_for_last(line, at, claim)
    if claim.words and line.strange > 1 and all(s.naming for s in subjects):
        flush_naming(line)
        return at + 1
    if _felt_of_graded(line, claim, subjects):
        state.context.kind = "contraction"
    unfit = [
        s
        for s in subjects
        if s.naming and read_claim(s.term, claim, state.context, line.vocabulary) is None
    ]
    if unfit and len(unfit) < len(subjects):
        kept, state.open = [s for s in subjects if s not in unfit], unfit
        flush_naming(line)
        state.open = subjects = kept
    there = named_there(line, claim, subjects)
    if there:
        state.open = there
        flush_naming(line)
        state.open = subjects = [s for s in subjects if s not in there]
    apiece = any(m.has("list.apiece") for m in line.marks[at + 1 : at + 2])
    if (line.all_said or apiece) and state.chain and line.speaker != "patient":
        # "Supinator and pronator were each three": two that are named here are all of them.
        two = len({id(s.mark) for s in subjects if s.sentence == state.sentence}) > 1
        reach = 0 if two else 6
        recent = [s for s in state.chain if state.sentence - s.sentence <= reach]
        known = {id(s) for s in subjects}
        subjects = [s for s in recent if id(s) not in known and not s.naming] + subjects
        subjects = without_headings(subjects, line.vocabulary)
    subjects = without_places(subjects, claim, state.context.topic)
    if columns.first(line, claim, subjects):
        return at + 1
    end = tables.give_out(line, at, subjects)
    if end:
        return end
    confidence = 1.0 - 0.04 * min(line.strange, 5)
    made = assign(line, claim, subjects, rule="term before value", confidence=confidence)
    if made is None:
        return at + 1
    if made or claim.number:
        state.open = []
    for subject in subjects:
        subject.naming = subject.naming and not claim.words
    state.chain = []
    line.excluded = []
    line.group_since = at
    line.all_said = False
    line.strange = 0
    return at + 1


def _pain_denied(line: Line, claim: Claim, subjects: list[Subject]) -> list[Subject]:
    """The pain that was asked for last, which alone a bare "none" is said of."""
    if claim.number or line.asked or any(m.terms for m in line.marks):
        return []
    pained = [s for s in subjects if s.asked and s.term.term_id == "neuropathic_pain"]
    last = bool(pained) and line.state.sentence - pained[-1].sentence <= 1
    return pained if last and len(subjects) > len(pained) else []


def _praises(line: Line, at: int) -> bool:
    """Whether a word of praise only thanks for what was asked: "let me feel the pulse. Lovely"."""
    waiting = line.state.open
    bidden = all(s.asked and s.mark.scope in {"instruction", "plan"} for s in waiting)
    return (
        line.marks[at].text in line.vocabulary.phrases.mood["praise"]
        and bidden
        and line.speaker != "patient"
        and all(s.term.category == "pulse" and s.mark not in line.marks for s in waiting)
    )


def _felt_of_graded(line: Line, claim: Claim, subjects: list[Subject]) -> bool:
    """Whether no contraction is told of muscles that have their nought: "triceps zero. Triceps
    palpated, no contraction"."""
    if claim.number or not any(word.name == "no_contraction" for word in claim.words):
        return False
    if any(s.term.category != "muscle" for s in subjects):
        return False
    sides = {line.state.side or "none", *(s.side for s in subjects)}
    return all(
        any(
            d.value == "0" and d.side in sides and not d.gone
            for d in line.state.of_item(f"power.{s.term.term_id}")
        )
        for s in subjects
    )


def _of_other_side(line: Line, at: int, claim: Claim) -> str:
    """The second side of "ptosis on the right, nothing on the left"; its word is used up."""
    first = {s.side for s in line.state.open}
    place = line.next_solid(at)
    if len(first) != 1 or not claim.words or not all(s.naming for s in line.state.open):
        return ""
    if place >= len(line.marks) or not line.between_light(at, place, pauses=False):
        return ""
    mark, said = line.marks[place], str(next(iter(first)) or "")
    if not said and any(m.has(f"side.{line.state.side}") for m in line.marks[:at]):
        said = line.state.side  # "right ptosis, none on the left"
    named = next((name for name in OPPOSITE if mark.has(f"side.{name}")), "")
    other = named or (OPPOSITE.get(said, "") if mark.has("side.other") else "")
    if said not in OPPOSITE or other not in OPPOSITE or other == said:
        return ""
    mark.roles = frozenset({"list.light"})
    return other


def _of_region(line: Line, at: int) -> bool:
    """Whether bulk is said of a part of the limb that has no item: "forearm bulk fine"."""
    for place in range(at - 1, -1, -1):
        mark = line.marks[place]
        if mark.has("region"):
            before = line.marks[place - 1] if place else mark
            joined = before.has("list.join") and not before.has("list.degree")
            return not (joined and place > 1 and line.marks[place - 2].terms)
        if not mark.light:
            return False
    return False
