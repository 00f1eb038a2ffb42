"""Terms: which of them wait for a value, in which list, and which are only talk."""

from copy import copy

from dictate2exam.findings import percussion, sides
from dictate2exam.findings.blamed import blamed, mistaken_for, stands_in
from dictate2exam.findings.claims import Claim
from dictate2exam.findings.denial import denied_here, denied_muscle
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import (
    DENIABLE,
    Line,
    alike,
    following_terms,
    has_tight_value,
    list_end,
)
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.named_only import already_told, drop_explained, felt_beside
from dictate2exam.findings.naming import flush_naming, names
from dictate2exam.findings.state import State, Subject
from dictate2exam.findings.studies import unseen_root
from dictate2exam.lexicon.terms import Term
from dictate2exam.units import Side

# So many scores before a place tell whether nerves or dermatomes are examined.
RUN = 3
AREAS = frozenset({"area", "region", "patch", "skin", "side"})
FINGERS = frozenset({"finger", "thumb", "index", "fingertip"})
PLACED = frozenset({"under", "beneath", "below", "above", "over", "around", "at", "on", "behind"})


def read_term(line: Line, at: int, terms: tuple[Term, ...]) -> int:
    mark, state = line.marks[at], line.state
    term = terms[0]
    if line.speaker == "patient" and not _patient_term(line, term):
        return at + 1
    if term.category == "context":
        return at + 1
    if term.category == "muscle" and stands_in(line, at):
        denied = line.marks[0].text.split()[0] in line.vocabulary.denials
        if state.last and (denied or any(m.number for m in line.marks[at:])):
            state.correcting, state.correcting_since = "replace", state.sentence
        mark.terms, mark.roles = (), frozenset({"list.light"})
        return at + 1
    own = at > 0 and line.marks[at - 1].text == "my"
    mine = own or "my" in mark.text.split()
    if mine and (line.speaker != "examiner" or term.category in {"place", "area"}):
        return at + 1
    asked = mark.scope in {"plan", "question", "instruction", "counting"}
    tight = has_tight_value(line, at)
    if asked and tight and not (mark.scope == "question" and mark.reach in {"offered", "starting"}):
        asked = False
    if (asked and mark.scope in {"instruction", "counting"}) and (
        term.category in {"place", "area", "percussion", "sign", "posture", "pulse"}
    ):
        touching = any(m.text in {"touch", "feel", "feeling", "touching"} for m in line.marks)
        again = any(m.has("correction.again") for m in line.marks[:at])
        felt = (touching or again) and state.context.topic == "sensation"
        tapped = term.category == "percussion" and line.percussion.named is not None
        if tapped or (felt and term.category in {"place", "area"}):
            pass
        elif not (term.category == "sign" and term.term_id in {"ok_sign", "froment"}):
            return at + 1
    if term.category == "pulse" and mistaken_for(line, at):
        if any(d.value == "1" for d in state.last if not d.gone):
            state.correcting, state.correcting_since = "again", state.sentence
        mark.leave()
        return at + 1
    if term.category == "muscle" and blamed(line, at):
        mark.terms, mark.roles = (), frozenset({"list.light"})
        return at + 1
    nxt = line.marks[at + 1] if at + 1 < len(line.marks) else None
    if term.category == "level" and nxt is not None and nxt.has("lesion"):
        return at + 1
    if term.category in {"muscle", "place", "area"} and _tells_where(line, at):
        return at + 1
    if term.category == "place" and _place_of_sign(line, at):
        return at + 1
    if term.category in {"place", "area"} and _is_posed(line, at):
        return at + 1
    if term.category == "level" and _innervation(line, at):
        return at + 1
    if term.category == "percussion":
        return percussion.term(line, at, term)
    if (
        term.category == "level"
        and at + 1 < len(line.marks)
        and (line.marks[at + 1].text in {"root", "roots"})
    ):
        state.context.kind = "imaging"
    if term.category == "reflex" and term.is_group and line.pre is None and _heading(line, at):
        state.context.kind = state.context.topic = "reflex"
        return at + 1
    if term.category == "reflex" and term.is_group and _only_sided(line, at):
        state.context.kind = state.context.topic = "reflex"
    if unseen_root(line, at, term) or already_told(line, at, term):
        return at + 1
    if line.excepting:
        _except(line, at, terms, asked)
        return at + 1
    if term.category in {"muscle", "movement"} and denied_muscle(line, at, term):
        return at + 1
    if term.category in DENIABLE and not asked and denied_here(line, at, term):
        return at + 1
    open_terms(line, at, terms, asked)
    return at + 1


def _is_posed(line: Line, at: int) -> bool:
    """Whether a part of the hand only tells how a muscle is tried that waits for its grade:
    "brachioradialis next, thumb pointing up, pull"."""
    motor = any(s.term.category in {"muscle", "movement"} for s in line.state.open)
    after = line.marks[at + 1 :]
    turned = bool(after) and after[0].text.split()[0] in line.vocabulary.phrases.cues["posed.words"]
    last = [d for d in line.state.last if not d.gone]
    graded = bool(last) and all(d.item.startswith("power.") for d in last)
    motor = motor or (turned and graded and line.state.context.topic != "sensation")
    felt = line.state.context.topic == "sensation" or any(m.has("modality") for m in line.marks)
    if not motor and turned and not felt and line.speaker != "patient":
        return _is_moved(line, at)
    if not motor or line.speaker == "patient" or (has_tight_value(line, at) and not turned):
        return False
    bidden = any(m.scope == "instruction" for m in after)
    return turned if felt else turned or bidden


def _is_moved(line: Line, at: int) -> bool:
    """Whether a finger is only told where to go: "little finger out to the side, nothing", not
    "index, out of ten"."""
    mood, after = line.vocabulary.phrases.mood, line.marks[at + 1 :]
    finger = line.marks[at].text.split()[-1] in FINGERS
    going = after[0].text.split()[0] in mood["moved_way"]
    return finger and going and not (len(after) > 1 and after[1].text.split()[0] == "of")


def _patient_term(line: Line, term: Term) -> bool:
    """A patient's term counts where it names what was asked, or pain of a neuropathic kind."""
    if term.category == "sign" and term.term_id == "neuropathic_pain":
        return True
    return any(s.term == term for s in line.state.open)


def _heading(line: Line, at: int) -> bool:
    """Whether a word for all reflexes only heads a list of them."""
    following = line.next_solid(at)
    if following >= len(line.marks):
        return True
    ahead = line.marks[following]
    if ahead.has("side"):
        ahead = (
            line.marks[line.next_solid(following)]
            if line.next_solid(following) < len(line.marks)
            else ahead
        )
    if ahead.valued and not ahead.terms:
        place = line.marks.index(ahead)
        beyond = following_terms(line, place)
        gap = line.marks[place + 1 : max(beyond, place)]
        return any(m.has("list.prepose") or m.text == "for" for m in gap)
    return bool(ahead.terms) or ahead.has("bare.reflex")


def _only_sided(line: Line, at: int) -> bool:
    """Whether nothing but a side follows: "reflexes, right", which may wait for "all normal"."""
    rest = line.marks[at + 1 :]
    sided = any(m.has("side") for m in rest)
    return sided and all(m.has("side") or m.light or m.has("pause") for m in rest)


def _drop_wholes(state: State, terms: tuple[Term, ...]) -> None:
    """A whole or group that was only the heading of its parts waits no longer."""
    names = {term.term_id for term in terms}
    headings = {
        id(s.mark)
        for s in state.open
        if names & set(s.term.parts) or (s.expanded and s.term.term_id in names)
    }
    state.open = [s for s in state.open if id(s.mark) not in headings]


def _connected(line: Line, at: int, term: Term) -> bool:
    """Whether a term goes on the list of the terms before it."""
    state = line.state
    if not state.open or not alike(state.open[-1].term.category, term.category):
        return False
    if state.open[-1].sentence < state.sentence - 1:
        return False
    last = state.open[-1].mark
    if last.written is not line.marks[at].written or last not in line.marks:
        before = [m for m in line.marks[:at] if not m.has("pause")]
        return bool(before) and all(
            m.has("list.join") or m.text in {"the", "also", "then"} for m in before
        )
    place = line.marks.index(last)
    for mark in line.marks[place + 1 : at]:
        if mark.has("pause") or mark.has("list.join") or mark.has("list.all"):
            continue
        if mark.light or mark.has("side") or mark.has("kind") or mark.has("modality"):
            continue
        if mark.has("hedge.none"):
            continue
        return False
    return True


def open_terms(line: Line, at: int, terms: tuple[Term, ...], asked: bool) -> None:
    """Makes a term wait for its value, or takes one that stood before it."""
    state, mark = line.state, line.marks[at]
    _drop_wholes(state, terms)
    drop_explained(line, at, terms[0])
    if line.pre is None and not _connected(line, at, terms[0]):
        state.chain.extend(state.open)
        flush_naming(line)
        state.open = []
        line.all_said = False
    made: list[Subject] = []
    words = mark.text.split() if mark.end - mark.start > 1 else []
    in_words: Side | None = "left" if "left" in words else "right" if "right" in words else None
    for term in (*terms, *mark.shared):
        if among_nerves(line, mark, term):
            pit = "armpit" in mark.text or "oxter" in mark.text
            name = "intercostobrachial_axilla" if pit else "mbcn_medial_arm"
            term = line.vocabulary.by_id[("area", name)]
        if term.is_group:
            members = [line.vocabulary.by_id[(term.category, name)] for name in term.members or ()]
        else:
            members = [term]
        for member in members:
            made.append(
                Subject(
                    member,
                    mark,
                    side=sides.local(line, at) or in_words,
                    asked=asked,
                    expanded=len(members) > 1 or bool(mark.shared),
                    sentence=state.sentence,
                    naming=not asked and names(line, mark, member),
                )
            )
    line.strange = 0
    line.subject_here = True
    if line.pre is not None:
        claim = line.pre
        drafted = assign(line, claim, made, rule="value before term")
        if drafted is None:
            line.pre = None
            state.open.extend(made)
            return
        flush_naming(line)
        # A word that said no value ("numbness") leaves the term open for one.
        state.open = [] if drafted or not claim.words else made
        if line.pre_last < at:
            line.pre_last = list_end(line, at, own_values=True)
        nxt = line.next_solid(at)
        more = nxt <= line.pre_last
        if not more or (has_tight_value(line, nxt) and not _only_noted(line, nxt, claim)):
            line.pre = None
            line.pre_last = -1
        return
    state.open.extend(made)
    state.correcting = "" if state.correcting == "term" else state.correcting


def among_nerves(line: Line, mark: Mark, term: Term) -> bool:
    """Whether the upper inner arm is named where the skin of nerves is examined, and no row of
    dermatomes: after a fingertip, the back of the hand and the inner forearm."""
    if (term.category, term.term_id) != ("place", "arm_upper_inner") or "arm" not in mark.text:
        return False
    felt = [d for d in line.state.drafts[-RUN:] if d.item.startswith("sensation.") and not d.gone]
    return len(felt) >= RUN and all(d.term.category == "area" for d in felt)


def _only_noted(line: Line, at: int, claim: Claim) -> bool:
    """Whether what follows a name only says that all of it is there: "wasting in deltoid and
    biceps was noted"."""
    said = line.marks[line.next_solid(at)]
    return bool(claim.predicates) and {word.name for word in said.values} == {"present"}


def _except(line: Line, at: int, terms: tuple[Term, ...], asked: bool) -> None:
    """Takes a term out of the group it was part of; it waits for a value of its own."""
    state, mark = line.state, line.marks[at]
    denied = _denied_of(line, at)
    if denied is not None:
        claim = copy(denied)
        claim.denied = not claim.denied
        subjects = [Subject(term, mark, sentence=state.sentence) for term in terms]
        assign(line, claim, subjects, rule="not of")
        return
    names = {
        member
        for term in terms
        for member in ((term.members or (term.term_id,)) if term.is_group else (term.term_id,))
    }
    group = line.group or state.last
    hit = [d for d in group if d.term.term_id in names]
    if not hit and state.open and any(s.term.term_id in names for s in state.open):
        state.open = [s for s in state.open if s.term.term_id not in names]
        line.excluded.append(Subject(terms[0], mark, sentence=state.sentence))
        return
    for draft in hit:
        draft.dropped = True
    if group:
        state.open = [] if line.marks[at - 1].has("list.except") else state.open
        subjects = [Subject(term, mark, sentence=state.sentence) for term in terms]
        state.open = [*state.open, *subjects]


def _denied_of(line: Line, at: int) -> Claim | None:
    """ "Wasting of deltoid, but not of trapezius": what was said to be there is denied of it."""
    claim = line.state.last_claim
    gap = [m.text for m in line.marks[max(0, at - 3) : at]]
    if claim is None or not claim.predicates or has_tight_value(line, at):
        return None
    return claim if "but not" in gap else None


def _tells_where(line: Line, at: int) -> bool:
    """Whether a muscle only tells where the skin was touched: "the badge area, on the deltoid", or
    where another was felt: "under the biceps, the brachialis four"; so with a place: "the first
    web space, near the thumb"."""
    muscle = line.marks[at].terms[0].category == "muscle"
    if muscle and felt_beside(line, at):
        return True
    opened = [s for s in line.state.open if s.sentence == line.state.sentence]
    if not opened or opened[-1].term.category not in {"area", "place"}:
        return False
    after = line.marks[at + 1].text.split()[0] if at + 1 < len(line.marks) else ""
    if muscle and after in AREAS:
        return True
    gap = [
        m for m in line.marks[max(0, at - 3) : at] if m.text not in {"the", "his", "her", "your"}
    ]
    by = line.vocabulary.phrases.cues["aside.known"]
    near = {"on", "over", "above", "around", *by} if muscle else by
    if not gap or gap[-1].text.split()[0] not in near:
        return False
    before = opened[-1].mark
    if before not in line.marks:
        return False
    between = line.marks[line.marks.index(before) + 1 : line.marks.index(gap[-1])]
    return all(m.light or m.has("pause") or (m.has("part") and not m.valued) for m in between)


def _place_of_sign(line: Line, at: int) -> bool:
    """Whether a place only tells where a sign is: "no subluxation under the acromion"."""
    placed = False
    for mark in reversed(line.marks[:at]):
        if mark.terms:
            return placed and mark.terms[0].category == "sign"
        if mark.text.split()[0] in PLACED:
            placed = True
        elif not mark.light or mark.has("pause"):
            return False
    return False


def _innervation(line: Line, at: int) -> bool:
    """Whether a level only tells where a muscle gets its supply: "triceps, which is C7"."""
    opened = [s for s in line.state.open if s.sentence == line.state.sentence]
    if not opened or opened[-1].term.category != "muscle" or opened[-1].mark not in line.marks:
        return False
    gap = line.marks[line.marks.index(opened[-1].mark) + 1 : at]
    return any(m.text.startswith("which") or m.text in {"thats", "mostly", "mainly"} for m in gap)
