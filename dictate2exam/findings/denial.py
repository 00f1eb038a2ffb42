"""Denial and doubt before a term: how far they reach, and what ends them."""

from dictate2exam.findings.asking import ask_about
from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import (
    SIGN_KINDS,
    Line,
    alike,
    following_terms,
    has_tight_value,
    list_end,
    says_its_own,
)
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.naming import flush_naming
from dictate2exam.findings.sides import local
from dictate2exam.findings.state import Doubtful, Subject
from dictate2exam.lexicon.terms import Term

# Names of the value words that say that nothing is there.
NONE = frozenset({"absent", "nothing", "not_noticed"})


# So many marks behind "cannot feel" may a tendon and its muscle stand.
TENDON = 6
# What is felt of one muscle may be denied of the next by these: "None in the biceps".
STILL = frozenset({"none", "nothing", "nor", "nor any", "neither"})


def turn_denial(mark: Mark, denial: Mark | None, doubt: str) -> tuple[Mark | None, str]:
    """The denial and doubt that hold after a mark, out of those that held before it."""
    if mark.has("negation.doubt"):
        return denial, "doubt"
    if mark.has("negation.unconvinced"):
        return denial, "unconvinced"
    if mark.has("negation.before"):
        return mark, doubt
    if mark.has("negation.ends"):
        return None, doubt
    return denial, doubt


def denied_here(line: Line, at: int, term: Term) -> bool:
    """Emits an absent (or uncertain) sign where a denial or doubt stands before it."""
    state = line.state
    name = ""
    if line.denial is not None and line.denied and not _same_denial(line, at, term):
        line.denial = None
        return False
    if line.denial is not None and _says_itself(line, at):
        line.denial = None
        return False
    if line.denial is not None and _own_value(line, at):
        line.denial = None
        return False
    if line.doubt == "doubt" or line.doubt == "unconvinced":
        name = "uncertain"
    elif line.denial is not None:
        name = "absent"
    if not name:
        return False
    following = line.next_solid(at)
    if following < len(line.marks) and line.marks[following].valued:
        words = line.marks[following].values
        if any(w.name == "not_tested" for w in words) and line.between_light(at, following):
            return False
    if name == "uncertain" and term.category not in SIGN_KINDS:
        return False
    mark = line.marks[at]
    if name == "absent" and _said_already(line, at, term):
        return True
    words = line.vocabulary.words_named(name)
    subject = Subject(term, mark, side=local(line, at), sentence=state.sentence)
    claim = Claim(line.denial or mark, words=words)
    said = state.last_claim
    if said is not None and line.group and said.mark is line.denial and said.words == words:
        claim = said  # one list: a side named after it is of all
    flush_naming(line)
    made = assign(line, claim, [subject], rule="denied" if name == "absent" else "doubted")
    state.open = []
    line.denied = term.category if made is not None else line.denied
    if name == "uncertain":
        line.doubt = ""
        return made is not None
    nxt = line.marks[at + 1] if at + 1 < len(line.marks) else None
    if nxt is not None and nxt.has("pause"):
        _comma_after_denial(line, at)
    return made is not None


def name_nothing(marks: list[Mark]) -> None:
    """ "Nothing wasted at the thenar" denies what follows, where nothing waits for the word."""
    for at, mark in enumerate(marks[:-1]):
        nothing = any(word.name == "nothing" for word in mark.values)
        if not nothing or mark.scope or not marks[at + 1].predicates:
            continue
        if not any(m.terms for m in marks[:at]):
            mark.values, mark.roles = (), frozenset({"negation", "negation.before"})


def _said_already(line: Line, at: int, term: Term) -> bool:
    """ "The clavicle is straight, no deformity": it is only said in other words."""
    said = [d for d in line.state.sentence_drafts if not d.gone]
    if not said or said[-1].term != term or said[-1].value != "absent":
        return False
    first = next((n for n, m in enumerate(line.marks) if m is said[-1].marks[-1]), 0)
    return not any(m.has("side") for m in line.marks[first + 1 :])


def all_but(line: Line, at: int) -> bool:
    """ "No wasting except in the deltoid": what is denied of all others is so of what follows."""
    denial = line.denial
    if denial is None or denial not in line.marks:
        return False
    between = line.marks[line.marks.index(denial) + 1 : at]
    said = [m for m in between if m.predicates]
    if not said or any(m.terms for m in between):
        return False
    line.pre = Claim(said[-1], words=said[-1].values, predicates=said[-1].predicates)
    line.denial = None
    return True


def ask_doubted(line: Line) -> None:
    """ "I could not convince myself of a contraction in the biceps" says no value: it is asked."""
    state = line.state
    waiting = [
        s for s in state.open if s.sentence == state.sentence and s.term.category == "muscle"
    ]
    if not line.doubt or state.sentence_drafts or not waiting or line.speaker == "patient":
        return
    if waiting[0].mark in line.marks and not waiting[0].asked:
        said = waiting[0].mark.written.utterance.text
        question = f'"{said}" says only a doubt: what was found?'
        state.doubts.append(
            Doubtful("value", False, question, marks=(waiting[0].mark,), rule="doubt_alone")
        )
        state.open = []


def _says_itself(line: Line, at: int) -> bool:
    """Whether a term after a pause is a sentence of its own: "no winging, the arm hangs loose"."""
    if line.denial not in line.marks:
        return False
    between = line.marks[line.marks.index(line.denial) + 1 : at]
    verbs = line.vocabulary.phrases.mood["verb"]
    if between and between[-1].text in {"is", "are", "was", "were"}:
        return any(m.text == "," for m in between)
    return any(m.has("pause") for m in between) and any(
        word in verbs for word in line.marks[at].text.split()[1:]
    )


def denied_muscle(line: Line, at: int, term: Term) -> bool:
    """ "No deltoid" names no grade: it is asked."""
    denial = line.denial
    if denial is None or denial.text != "no" or denial not in line.marks:
        return False
    if not line.between_light(line.marks.index(denial), at, pauses=False):
        return False
    if any(m.valued or m.has("kind") for m in line.marks[at + 1 : at + 4]):
        return False
    mark = line.marks[at]
    ask_about(line, [Subject(term, mark)], f'"no {mark.text}" says no grade; is it 0?', mark)
    line.state.open = []
    return True


def _own_value(line: Line, at: int) -> bool:
    """Whether a term after a denial has a value of its own that the denial does not echo."""
    if not has_tight_value(line, at):
        return False
    ahead = line.marks[line.next_solid(at)]
    terms = line.marks[at].terms
    claim = Claim.of(ahead)
    if terms and read_claim(terms[0], claim, line.state.context, line.vocabulary) is None:
        return False
    denial = line.denial
    echo = any(w.name in {"present", "palpable", "positive", "reflex_there"} for w in ahead.values)
    if echo or ahead.number:
        return False
    if denial is None or denial not in line.marks:
        return True
    place = line.marks.index(denial)
    return not line.between_light(place, at, pauses=False) or ahead.predicates == ()


def _same_denial(line: Line, at: int, term: Term) -> bool:
    """Whether a denial that has been used goes on to this term."""
    if alike(line.denied, term.category):
        return True
    before = line.marks[at - 1].text if at else ""
    return before in {"or", "nor", "any"}


def _comma_after_denial(line: Line, at: int) -> None:
    """A comma ends a denial unless the list goes on to an "or"."""
    rest = line.marks[at + 1 :]
    for place, mark in enumerate(rest):
        if mark.text in {"or", "nor", "and"} and place + 1 < len(rest):
            follow = [m for m in rest[place + 1 :] if not m.light]
            if mark.text != "and" or (follow and follow[0].terms):
                return
        if mark.has("negation.ends") and not mark.light:
            break
        if mark.valued or (mark.has("negation.before")):
            break
    family = [m for m in rest if m.terms]
    if (
        family
        and all(m.terms[0].category in SIGN_KINDS for m in family)
        and not any(m.text in {"a", "theres", "there is"} or m.valued for m in rest)
    ):
        return
    line.denial = None


def directly_denied(line: Line, at: int) -> bool:
    denial = line.denial
    if denial is None or denial not in line.marks:
        return False
    place = line.marks.index(denial)
    own_kind = bool(line.marks[at].predicates)
    gap = line.marks[place + 1 : at]
    if denial.text == "no" and gap and gap[0].has("pause") and place:
        return False  # "Triceps, no, that one's reduced" only turns from what was said before
    if any(m.terms for m in gap):
        if own_kind and line.denied and gap[-1].text in {"or", "nor", "any", "or any"}:
            return True
        muscles = all(m.terms[0].category in {"muscle", "bulk"} for m in gap if m.terms)
        if not muscles or any(m.text == "and" or m.has("pause") for m in gap):
            return False
    return all(m.light or m.has("kind") or m.has("modality") or (own_kind and m.terms) for m in gap)


def denied_after(line: Line, at: int, before: bool) -> bool:
    """ "Wasting of the deltoids: none": whether the word that follows denies; it is used up."""
    first = following_terms(line, at) if before else at
    last = list_end(line, first) if before else at
    if last > first and says_its_own(line, last):
        return False  # "a pseudomeningocele at C6, and C5 is not seen"
    for place in range(last + 1, len(line.marks)):
        mark = line.marks[place]
        after = line.marks[place + 1] if place + 1 < len(line.marks) else None
        none = mark.has("answer.no") or any(w.name in NONE for w in mark.values)
        if none and not mark.scope:
            closes = after is None or after.has("pause") or after.has("side")
            if closes:
                mark.roles, mark.values = frozenset({"list.light"}), ()
            return closes
        if not (mark.light or mark.has("pause") or mark.has("side")):
            return False
    return False


def unfelt(line: Line, at: int, claim: Claim) -> bool:
    """ "I can't feel triceps (contract)": a contraction that is not there."""
    place = following_terms(line, at)
    if _of_a_tendon(line, at):
        return True
    if place < 0 or (
        line.marks[place].terms[:1] and (line.marks[place].terms[0].category != "muscle")
    ):
        return False
    line.denial = line.marks[at]
    if not any(p.kind == "contraction" for m in line.marks[place:] for p in m.predicates):
        line.state.context.kind = "contraction"
        line.pre = claim
    return True


def _of_a_tendon(line: Line, at: int) -> bool:
    """ "I cannot feel the tendon of palmaris" tells of what comes next, and grades nothing."""
    ahead = line.marks[at + 1 : at + 1 + TENDON]
    tendons = line.vocabulary.phrases.cues["missing_one.tendon"]
    said = next((n for n, m in enumerate(ahead) if m.text.split()[-1] in tendons), len(ahead))
    moved = any(m.predicates for m in line.marks[at:])
    return not moved and any(m.terms for m in ahead[said:])


def still_felt(line: Line) -> None:
    """ "No contraction felt in the deltoid. None in the biceps either": none is of the same."""
    state = line.state
    last = [d for d in state.last if not d.gone]
    solid = [m for m in line.marks if not (m.light or m.has("pause")) or m.values]
    if not last or not solid or state.sentence - last[-1].sentence > 1:
        return
    felt = all(d.item.startswith("contraction.") and d.value == "absent" for d in last)
    named = [m.terms[0].category for m in solid if m.terms]
    if not (felt and named) or any(m.number or m.predicates for m in solid):
        return
    if solid[0].text in STILL and all(category == "muscle" for category in named):
        state.context.kind = "contraction"
