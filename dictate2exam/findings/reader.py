"""Reads sentences one after another: which value belongs to which term, and what is only talk."""

from dictate2exam.findings import corrections, percussion, sides
from dictate2exam.findings.drafting import ask_about, assign, note_detail
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.meaning import Claim, read_claim
from dictate2exam.findings.scopes import FIRM
from dictate2exam.findings.state import Doubtful, Draft, State, Subject
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term
from dictate2exam.speech.model import Speaker

STRICT_PREPOSITIONS = frozenset(
    "in of for at over on across throughout involving affecting around to from".split()
)
SIGN_KINDS = frozenset({"sign", "posture"})
DENIABLE = frozenset({"sign", "posture", "reflex", "pulse", "conduction", "percussion"})
TURNS = frozenset({"but", "with", "whereas", "while", "although", "though", "however"})
HEAD_KINDS = ("power", "sensation", "reflex", "range", "conduction", "needle", "imaging", "percussion")


class Line:
    """One sentence while it is read; `at` is the mark being read."""

    def __init__(
        self, sentence: Sentence, state: State, vocabulary: Vocabulary, speaker: Speaker
    ) -> None:
        self.marks = sentence.marks
        self.asked = sentence.asked
        self.state = state
        self.vocabulary = vocabulary
        self.speaker = speaker
        self.denial: Mark | None = None
        self.doubt = ""
        self.hedge: Mark | None = None
        self.hedge_weak = False
        self.pre: Claim | None = None
        self.excepting = False
        self.excluded: list[Subject] = []
        self.group: list[Draft] = []
        self.value_side: str = ""
        self.strange = 0
        self.percussion = percussion.Taps()
        self.group_since = 0
        self.yes_no = ""
        self.all_said = False
        self.subject_here = False
        self.denied = ""
        self.prefix_side = ""
        self.side_doubt: Doubtful | None = None
        self.withdraw_named = False
        self.pending_detail: dict[str, str] = {}

    # -- looking around ------------------------------------------------------------------

    def next_solid(self, at: int) -> int:
        """The next mark that is a term, value or side, or the length where none follows."""
        for place in range(at + 1, len(self.marks)):
            mark = self.marks[place]
            if mark.terms or mark.valued or mark.has("side"):
                return place
        return len(self.marks)

    def between_light(self, first: int, last: int, pauses: bool = True) -> bool:
        """Whether only light words (and pauses) lie between two marks."""
        return all(
            (m.light and m.text not in TURNS and (pauses or not m.has("pause")))
            or (pauses and m.has("pause"))
            or m.has("kind")
            or m.has("modality")
            for m in self.marks[first + 1 : last]
        )


def current_terms(line: Line, mark: Mark) -> tuple[Term, ...]:
    """The terms a mark means here: percussion sites only where tapping is spoken of."""
    terms = mark.terms
    state = line.state
    kind = state.context.kind or state.context.topic
    for bare in ("reflex", "conduction"):
        if kind == bare:
            found = line.vocabulary.bare[bare].get(tuple(mark.text.split()))
            if found:
                return (found,)
    if len(terms) > 1:
        tapping = line.percussion.active
        sites = tuple(t for t in terms if t.category == "percussion")
        rest = tuple(t for t in terms if t.category != "percussion")
        if tapping and sites:
            return sites[:1]
        if rest:
            return rest[:1]
    if terms and terms[0].category == "percussion" and not terms[0].is_group:
        return terms if line.percussion.active or kind == "percussion" else ()
    return terms[:1]


def read_sentence(
    sentence: Sentence, state: State, vocabulary: Vocabulary, speaker: Speaker
) -> None:
    """Reads one sentence, adding its drafts and doubts to the state."""
    if not sentence.marks:
        return
    state.sentence += 1
    state.sentence_drafts = []
    state.context.kind = ""
    line = Line(sentence, state, vocabulary, speaker)
    if state.context.topic == "percussion":
        line.percussion.active = True
    at = 0
    while at < len(line.marks):
        at = _read_mark(line, at)
    _finish(line)


def _read_mark(line: Line, at: int) -> int:
    mark = line.marks[at]
    state = line.state
    if mark.scope in FIRM:
        return _firm(line, at)
    patient = line.speaker == "patient"
    if not patient and corrections.read(line, at):
        return at + 1
    if mark.has("list.except") and (state.sentence_drafts or line.group or state.open):
        line.excepting = True
        return at + 1
    if line.percussion.active and mark.has("kind_values.radiation"):
        return percussion.radiation(line, at)
    if mark.terms or mark.has("bare"):
        terms = current_terms(line, mark)
        if terms:
            return _read_term(line, at, terms)
    if mark.has("side"):
        return sides.read(line, at)
    if mark.has("kind.percussion"):
        percussion.start(line, at)
        return at + 1
    if line.percussion.active and mark.has("kind_values.percussion_present"):
        percussion.claim_present(line, at)
        return at + 1
    if mark.valued:
        return _read_value(line, at)
    if mark.has("list.same_as") and not patient and corrections.read_same(line, at, None):
        return at + 1
    if mark.has("patient.pain") and patient and line.denial is None and not mark.scope:
        _patient_pain(line, mark)
    _steer(line, mark, at)
    return at + 1


def _patient_pain(line: Line, mark: Mark) -> None:
    """Pain of a neuropathic kind is the one thing a patient says unasked that is a finding."""
    state = line.state
    term = line.vocabulary.by_id.get(("sign", "neuropathic_pain"))
    if term is None or any(
        d.item == "sign.neuropathic_pain" and not d.gone for d in state.drafts[-20:]
    ):
        return
    words = tuple(w for w in line.vocabulary.phrases.values if w.name == "present")
    subject = Subject(term, mark, sentence=state.sentence)
    assign(line, Claim(mark, words=words), [subject], rule="volunteered")


def _firm(line: Line, at: int) -> int:
    """Inside history a term may still be what a later value is about; the rest is passed over."""
    mark = line.marks[at]
    if mark.terms and mark.terms[0].category == "percussion" and mark.terms[0].is_group:
        line.state.context.topic = "percussion"
    if mark.scope == "teaching" and line.asked and mark.terms:
        terms = current_terms(line, mark)
        if terms and terms[0].category not in {"place", "level"}:
            _open(line, at, terms, asked=True)
        return at + 1
    if mark.has("side.left") or mark.has("side.right"):
        if mark.scope == "teaching" and len(mark.text.split()) > 1:
            return sides.read(line, at)
    if mark.scope == "history" and mark.terms and line.speaker != "patient":
        later = [
            m
            for m in line.marks[at + 1 :]
            if not m.scope and m.valued
        ]
        terms = current_terms(line, mark)
        if later and terms and terms[0].category not in {"sign", "posture", "percussion"}:
            _open(line, at, terms, asked=False)
    return at + 1


def _steer(line: Line, mark: Mark, at: int) -> None:
    """Words that change how the next ones are read."""
    state = line.state
    note_detail(line, mark)
    if mark.has("scale.ten"):
        state.context.scale = "ten"
    if mark.has("scale.isncsci"):
        state.context.scale = "isncsci"
    if mark.has("scale"):
        state.context.topic = "sensation"
    for name in ("touch", "pin"):
        if mark.has(f"modality.{name}"):
            state.modality = name
            line.group_since = at
    for kind in HEAD_KINDS + ("wasting", "contraction"):
        if mark.has(f"kind.{kind}"):
            state.context.kind = kind
            if kind in HEAD_KINDS and kind != "range":
                if kind in {"power", "sensation", "reflex"} and kind != state.context.topic:
                    if mark.text != "muscles" and not line.subject_here:
                        state.open = []
                if kind != "sensation":
                    state.modality = ""
                state.context.topic = kind
            break
    asking = mark.scope == "question" and mark.reach in {"offered", "starting"}
    if mark.has("answer.yes") and state.offered is not None and not line.yes_no and not asking:
        line.yes_no = "yes"
        _yes(line, mark)
        return
    if mark.has("answer.yes") and _asked_signs(state) and _alone(line, at) and not asking:
        _answer_signs(line, mark, "present")
        return
    if mark.has("answer.no") and not asking and _no(line, mark, at):
        return
    if mark.has("negation.doubt"):
        line.doubt = "doubt"
    elif mark.has("negation.unconvinced"):
        line.doubt = "unconvinced"
    elif mark.has("negation.before"):
        line.denial = mark
    elif mark.has("negation.ends") and line.denial is not None:
        line.denial = None
    if mark.has("hedge.none"):
        line.hedge = None
    elif mark.has("hedge.before") and not mark.has("quantity"):
        _hedge(line, mark, at)
    if mark.has("list.all"):
        line.all_said = True
    if not (mark.light or mark.has("pause") or mark.roles):
        line.strange += 1


def _hedge(line: Line, mark: Mark, at: int) -> None:
    following = line.next_solid(at)
    weak = mark.has("hedge.weak") and line.speaker != "examiner"
    if weak and line.state.context.topic == "sensation":
        return
    if line.speaker == "patient":
        return
    ahead = line.marks[following] if following < len(line.marks) else None
    if line.group and not line.state.open and (ahead is None or not ahead.valued):
        if line.between_light(line.group_since, at) and (ahead is None or not ahead.terms):
            corrections.mark_hedged(line, line.group, mark)
            return
    line.hedge = mark


def _asked_signs(state: State) -> list[Subject]:
    return [s for s in state.open if s.asked and s.term.category in {"sign", "posture", "percussion"}]


def _alone(line: Line, at: int) -> bool:
    return not any(m.valued for m in line.marks[:at])


def _answer_signs(line: Line, mark: Mark, value: str) -> None:
    words = tuple(w for w in line.vocabulary.phrases.values if w.name == value)
    claim = Claim(mark, words=words)
    assign(line, claim, _asked_signs(line.state), rule="answered")
    line.state.open = []
    line.state.offered = None


def _yes(line: Line, mark: Mark) -> None:
    """A yes to an offered value makes it the answer."""
    state = line.state
    claim = state.offered
    state.offered = None
    if claim is None:
        return
    subjects = state.open or state.last_subjects
    if subjects:
        assign(line, claim, subjects, rule="offered and confirmed", extra=mark)
        state.open = []


def _no(line: Line, mark: Mark, at: int) -> bool:
    """A no as an answer to what was offered or asked; False where it is a denial."""
    state = line.state
    following = line.next_solid(at)
    ahead = line.marks[following] if following < len(line.marks) else None
    if ahead is not None and (ahead.terms or ahead.predicates):
        return False
    here = [s for s in state.open if s.sentence == state.sentence and s.naming]
    if here and (at + 1 == len(line.marks) or line.marks[at + 1].has("pause")):
        words = tuple(w for w in line.vocabulary.phrases.values if w.name == "absent")
        assign(line, Claim(mark, words=words), here, rule="denied after")
        state.open = []
        return True
    answering = line.speaker == "patient" or (at == 0 and any(s.asked for s in state.open))
    answering = answering or state.offered is not None
    if not answering:
        return False
    if ahead is not None and ahead.valued:
        state.offered = None
        return True
    if _asked_signs(state):
        _answer_signs(line, mark, "absent")
        return True
    if state.offered is not None:
        if state.open:
            ask_about(line, state.open, "The answer to what was offered was no; what is it?", mark)
        state.offered = None
        state.open = []
        return True
    asked = [s for s in state.open if s.asked]
    if asked and line.speaker != "examiner":
        words = tuple(w for w in line.vocabulary.phrases.values if w.name == "cannot_feel")
        if assign(line, Claim(mark, words=words), asked, rule="answered no"):
            state.open = []
            return True
    return False


# -- terms ---------------------------------------------------------------------------------


def _read_term(line: Line, at: int, terms: tuple[Term, ...]) -> int:
    mark, state = line.marks[at], line.state
    term = terms[0]
    if line.speaker == "patient" and not _patient_term(line, term):
        return at + 1
    if term.category == "context":
        return at + 1
    asked = mark.scope in {"plan", "question", "instruction", "counting"}
    tight = _has_tight_value(line, at)
    if asked and tight and not (mark.scope == "question" and mark.reach in {"offered", "starting"}):
        asked = False
    if asked and mark.scope in {"instruction", "counting"}:
        if term.category in {"place", "area", "percussion", "sign", "posture", "pulse"}:
            touching = any(m.text in {"touch", "feel", "feeling", "touching"} for m in line.marks)
            if term.category in {"place", "area"} and touching and state.context.topic == "sensation":
                pass
            elif not (term.category == "sign" and term.term_id in {"ok_sign", "froment"}):
                return at + 1
    if term.category == "percussion":
        return percussion.term(line, at, term)
    if term.category == "reflex" and term.is_group and _heading(line, at):
        state.context.kind = state.context.topic = "reflex"
        return at + 1
    if line.excepting:
        _except(line, at, terms, asked)
        return at + 1
    if term.category in {"muscle", "movement"} and _denied_muscle(line, at, term):
        return at + 1
    if term.category in DENIABLE and not asked and _denied_here(line, at, term):
        return at + 1
    _open(line, at, terms, asked)
    return at + 1


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
        ahead = line.marks[line.next_solid(following)] if line.next_solid(following) < len(
            line.marks
        ) else ahead
    return bool(ahead.terms) or ahead.has("bare.reflex")


def _has_tight_value(line: Line, at: int) -> bool:
    following = line.next_solid(at)
    if following >= len(line.marks):
        return False
    ahead = line.marks[following]
    if any(m.text in {"and", "or"} for m in line.marks[at + 1 : following]):
        return False
    return ahead.valued and not ahead.has("side") and line.between_light(at, following, False)


def _denied_here(line: Line, at: int, term: Term) -> bool:
    """Emits an absent (or uncertain) sign where a denial or doubt stands before it."""
    state = line.state
    name = ""
    if line.denial is not None and line.denied and not _same_denial(line, at, term):
        line.denial = None
        return False
    if line.denial is not None and _own_value(line, at):
        line.denial = None
        return False
    if line.doubt == "doubt":
        name = "uncertain"
    elif line.doubt == "unconvinced":
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
    words = tuple(w for w in line.vocabulary.phrases.values if w.name == name)
    subject = Subject(term, mark, sentence=state.sentence)
    claim = Claim(line.denial or mark, words=words)
    _flush_naming(line)
    made = assign(line, claim, [subject], rule="denied" if name == "absent" else "doubted")
    state.open = []
    line.denied = term.category if made else line.denied
    if name == "uncertain":
        line.doubt = ""
        return bool(made)
    nxt = line.marks[at + 1] if at + 1 < len(line.marks) else None
    if nxt is not None and nxt.has("pause"):
        _comma_after_denial(line, at)
    return bool(made)


def _denied_muscle(line: Line, at: int, term: Term) -> bool:
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


def _ask_about_rest(line: Line) -> None:
    """A value for "everything else" or "throughout" names no items: it is asked."""
    values = [m for m in line.marks if m.valued and not m.light and not m.scope]
    rest = [m for m in line.marks if m.has("list.rest") and not m.scope]
    if not (values and rest) or any(m.terms for m in line.marks) or line.speaker == "patient":
        return
    said = line.marks[0].written.utterance.text
    line.state.doubts.append(
        Doubtful(
            "value",
            False,
            f'"{said}" gives a value without saying of what: which items were examined?',
            marks=(rest[0], values[0]),
        )
    )


def _own_value(line: Line, at: int) -> bool:
    """Whether a term after a denial has a value of its own that the denial does not echo."""
    if not _has_tight_value(line, at):
        return False
    ahead = line.marks[line.next_solid(at)]
    denial = line.denial
    echo = any(w.name in {"present", "palpable", "positive"} for w in ahead.values)
    if echo or ahead.number:
        return False
    if denial is None or denial not in line.marks:
        return True
    place = line.marks.index(denial)
    return not line.between_light(place, at, pauses=False) or ahead.predicates == ()


def _same_denial(line: Line, at: int, term: Term) -> bool:
    """Whether a denial that has been used goes on to this term."""
    if _alike(line.denied, term.category):
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
    if family and all(m.terms[0].category in SIGN_KINDS for m in family) and not any(
        m.text in {"a", "theres", "there is"} or m.valued for m in rest
    ):
        return
    line.denial = None


MOTOR = frozenset({"muscle", "movement", "level"})
SENSORY = frozenset({"place", "area", "level"})


def _alike(one: str, other: str) -> bool:
    """Whether two categories of term can stand in one list."""
    return (
        one == other
        or {one, other} <= MOTOR
        or {one, other} <= SENSORY
        or {one, other} <= SIGN_KINDS | {"bulk", "muscle"}
    )


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
    if not state.open or not _alike(state.open[-1].term.category, term.category):
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


def _open(line: Line, at: int, terms: tuple[Term, ...], asked: bool) -> None:
    """Makes a term wait for its value, or takes one that stood before it."""
    state, mark = line.state, line.marks[at]
    _drop_wholes(state, terms)
    if line.pre is None and not _connected(line, at, terms[0]):
        state.chain.extend(state.open)
        _flush_naming(line)
        state.open = []
        line.all_said = False
    made: list[Subject] = []
    for term in (*terms, *mark.shared):
        if term.is_group:
            members = [
                line.vocabulary.by_id[(term.category, name)] for name in term.members or ()
            ]
        else:
            members = [term]
        for member in members:
            made.append(
                Subject(
                    member,
                    mark,
                    side=sides.local(line),
                    asked=asked,
                    expanded=len(members) > 1 or bool(mark.shared),
                    sentence=state.sentence,
                    naming=not asked and _names(line, mark, member),
                )
            )
    line.strange = 0
    line.subject_here = True
    if line.pre is not None:
        claim = line.pre
        if assign(line, claim, made, rule="value before term") is None:
            line.pre = None
            state.open.extend(made)
            return
        _flush_naming(line)
        state.open = []
        nxt = line.next_solid(at)
        more = nxt < len(line.marks) and line.marks[nxt].terms and line.between_light(at, nxt)
        if not more or _has_tight_value(line, nxt):
            line.pre = None
        return
    state.open.extend(made)
    state.correcting = "" if state.correcting == "term" else state.correcting


def _names(line: Line, mark: Mark, term: Term) -> bool:
    """Whether the bare name of a sign says that it is there."""
    if term.category not in SIGN_KINDS:
        return False
    cues = line.vocabulary.phrases.cues
    if term.term_id not in cues["naming.not"]:
        return True
    return mark.text in cues["naming.but"]


def _except(line: Line, at: int, terms: tuple[Term, ...], asked: bool) -> None:
    """Takes a term out of the group it was part of; it waits for a value of its own."""
    state, mark = line.state, line.marks[at]
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


def _flush_naming(line: Line) -> None:
    """Signs that were named and got no other value are present."""
    state = line.state
    waiting = [s for s in state.open if s.naming]
    if waiting:
        words = tuple(w for w in line.vocabulary.phrases.values if w.name == "present")
        assign(line, Claim(waiting[-1].mark, words=words), waiting, rule="named")
        state.open = [s for s in state.open if not s.naming]


# -- values --------------------------------------------------------------------------------


def _following_terms(line: Line, at: int) -> int:
    """The place of the first term that a value standing before it may belong to, or -1."""
    for place in range(at + 1, len(line.marks)):
        mark = line.marks[place]
        if mark.has("pause") or mark.scope in FIRM:
            return -1
        if (mark.terms or mark.has("bare")) and current_terms(line, mark):
            return place
        if mark.valued and not mark.light:
            return -1
        if mark.light or mark.has("kind") or mark.has("side") or mark.has("modality"):
            continue
        if mark.has("scale") or mark.has("hedge"):
            continue
        return -1
    return -1


def _unfelt(line: Line, at: int, claim: Claim) -> bool:
    """ "I can't feel triceps (contract)": a contraction that is not there."""
    place = _following_terms(line, at)
    if place < 0 or line.marks[place].terms[:1] and (
        line.marks[place].terms[0].category != "muscle"
    ):
        return False
    line.denial = line.marks[at]
    if not any(p.kind == "contraction" for m in line.marks[place:] for p in m.predicates):
        line.state.context.kind = "contraction"
        line.pre = claim
    return True


def _stands_before(line: Line, at: int, claim: Claim) -> bool:
    """Whether the value at `at` belongs to the terms after it."""
    state = line.state
    place = _following_terms(line, at)
    if place < 0:
        return False
    first = current_terms(line, line.marks[place])[0]
    if first.category != "percussion" and not first.is_group and (
        read_claim(first, claim, state.context, line.vocabulary) is None
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
    last = place
    while True:
        nxt = line.next_solid(last)
        if nxt >= len(line.marks) or not line.between_light(last, nxt):
            break
        if not line.marks[nxt].terms:
            break
        last = nxt
    after = line.next_solid(last)
    postvalued = (
        after < len(line.marks)
        and line.marks[after].valued
        and not line.marks[after].has("side")
        and line.between_light(last, after, pauses=False)
    )
    if not postvalued:
        return preposition or not state.open or not mark.number or mark.predicates != ()
    if preposition and mark.number:
        return True
    ahead = _following_terms(line, after)
    if ahead >= 0:
        return _stands_before_parity(line, at)
    if mark.predicates and preposition:
        return True
    return False


def _stands_before_parity(line: Line, at: int) -> bool:
    """In "value term value term" the last thing said tells which way the pairs run."""
    last = ""
    for mark in line.marks[at:]:
        if mark.terms:
            last = "term"
        elif mark.valued and not mark.light:
            last = "value"
    return last == "term"


def _read_value(line: Line, at: int) -> int:
    mark, state = line.marks[at], line.state
    claim = Claim(mark, mark.number, mark.values, mark.predicates)
    if mark.has("homophone") and not mark.values and not mark.predicates:
        return at + 1
    if _only_an_answer(line, at) or _adjective(line, at):
        _steer(line, mark, at)
        return at + 1
    if mark.scope == "counting" and mark.number:
        return at + 1
    if mark.scope in {"instruction", "plan"} and not _breaks_out(line, at):
        _steer(line, mark, at)
        return at + 1
    if mark.scope == "question" and mark.reach in {"offered", "starting"} and not line.yes_no:
        if mark.number or any("sensation" in w.means or "sign" in w.means for w in mark.values):
            answered = any(
                m.has("answer.yes") or m.has("answer.no")
                for m in line.marks[:at]
            ) and state.offered is not None
            if not answered and not _number_follows_offer(line, at):
                state.offered = claim
                return at + 1
            state.offered = None
        elif not (mark.predicates and not mark.light):
            _steer(line, mark, at)
            return at + 1
        else:
            return at + 1
    if mark.has("list.same") and corrections.read_same(line, at, claim):
        return at + 1
    if claim.words and not claim.predicates and _number_follows(line, at):
        return at + 1
    if line.denial is not None and claim.number is None:
        claim.denied = _directly_denied(line, at)
    if line.denial is not None and claim.number is not None and not state.open:
        if corrections.value_after_no(line, at, claim):
            return at + 1
    if line.doubt and not claim.number:
        claim.uncertain = True
    if line.percussion.takes(line, claim):
        percussion.claim(line, at, claim)
        return at + 1
    if any(w.name == "cannot_feel" for w in mark.values) and _unfelt(line, at, claim):
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
    if not mark.light:
        return False
    nxt = at + 1
    while nxt < len(line.marks) and line.marks[nxt].light:
        nxt += 1
    ahead = line.marks[nxt] if nxt < len(line.marks) else None
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
    place = _following_terms(line, at)
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
    return line.between_light(at, following)


def _number_follows_offer(line: Line, at: int) -> bool:
    """Two voices in one line: what follows an offer and a no is the answer."""
    return line.state.offered is not None and line.marks[at].number is not None and any(
        m.has("answer.no") for m in line.marks[:at]
    )


def _breaks_out(line: Line, at: int) -> bool:
    """Whether a value inside an instruction is a finding all the same: "biceps push up four"."""
    mark, state = line.marks[at], line.state
    claim = Claim(mark, mark.number, mark.values, mark.predicates)
    if claim.strong or (mark.predicates and mark.scope != "plan"):
        return True
    before = line.marks[at - 1] if at else None
    if before is not None and (before.terms or (before.light and at > 1 and line.marks[at - 2].terms)):
        return True
    if not state.open:
        return False
    final = all(m.light or m.has("pause") for m in line.marks[at + 1 :])
    prep = before is not None and before.text in {"for", "to", "on", "of", "one", "up", "your", "my"}
    if mark.number:
        return final and not prep and before is not None
    return final and any("power" in w.means or "sign" in w.means for w in mark.values)


def _directly_denied(line: Line, at: int) -> bool:
    denial = line.denial
    if denial is None or denial not in line.marks:
        return False
    place = line.marks.index(denial)
    own_kind = bool(line.marks[at].predicates)
    gap = line.marks[place + 1 : at]
    if any(m.terms for m in gap):
        muscles = all(m.terms[0].category in {"muscle", "bulk"} for m in gap if m.terms)
        if not muscles or any(m.text == "and" or m.has("pause") for m in gap):
            return False
    return all(
        m.light or m.has("kind") or m.has("modality") or (own_kind and m.terms) for m in gap
    )


def _value_for_open(line: Line, at: int, claim: Claim) -> int:
    state = line.state
    far = line.strange > line.vocabulary.phrases.doubt.far_words
    here = any(s.sentence == state.sentence for s in state.open)
    if claim.number and not claim.strong and line.strange > 3 and not here:
        return at + 1
    if far and not claim.strong:
        return at + 1
    subjects = list(state.open)
    if line.all_said and state.chain and line.speaker != "patient":
        recent = [s for s in state.chain if state.sentence - s.sentence <= 6]
        known = {id(s) for s in subjects}
        subjects = [s for s in recent if id(s) not in known and not s.naming] + subjects
    confidence = 1.0 - 0.04 * min(line.strange, 5)
    made = assign(line, claim, subjects, rule="term before value", confidence=confidence)
    if made is None:
        return at + 1
    state.open = []
    state.chain = []
    line.excluded = []
    line.group_since = at
    line.all_said = False
    line.strange = 0
    return at + 1


def _value_for_last(line: Line, at: int, claim: Claim) -> int:
    """A value with no new term: a second side, a second kind, a doubt, or nothing."""
    state = line.state
    if corrections.apply_value(line, at, claim):
        return at + 1
    if line.speaker == "patient":
        if state.last and state.last[-1].patient and state.sentence - state.last[-1].sentence <= 1:
            assign(line, claim, state.last_subjects, rule="second answer")
        return at + 1
    if not state.last_subjects:
        return at + 1
    fresh = state.sentence - max(s.sentence for s in state.last_subjects) <= 2
    if line.value_side and fresh:
        assign(line, claim, state.last_subjects, rule="other side", only_side=line.value_side)
        line.value_side = ""
        line.group_since = at
        return at + 1
    felt = {"no_contraction", "palpable", "impalpable", "cannot_feel", "can_feel"}
    if claim.predicates or any(w.name in felt for w in claim.words):
        if fresh and corrections.add_kind(line, claim):
            return at + 1
    if state.modality and fresh and line.group and line.group[-1].detail.get("modality") not in {
        None,
        state.modality,
    }:
        assign(line, claim, state.last_subjects, rule="other modality")
        return at + 1
    if claim.number:
        kinds = {d.item.partition(".")[0] for d in line.group}
        if kinds and kinds <= {"contraction", "wasting"}:
            assign(line, claim, state.last_subjects, rule="grade after what was felt")
            return at + 1
        corrections.second_value(line, at, claim)
    return at + 1


def _finish(line: Line) -> None:
    """Closes a sentence: named signs are present, taps are settled, talk drops what waited."""
    state = line.state
    percussion.finish(line)
    corrections.finish(line)
    if not line.asked:
        _flush_naming(line)
    for subject in state.open:
        if subject.term.category in {"place", "area", "level"}:
            subject.asked = True
    sides.finish(line)
    if state.sentence_drafts:
        return
    if any(m.scope == "question" for m in line.marks):
        state.last_subjects = []
    examining = line.vocabulary.examining
    strange = [
        m
        for m in line.marks
        if not m.roles and not m.terms and not m.valued and m.text not in examining
    ]
    useful = any(
        m.terms or m.valued or m.scope in {"instruction", "question", "plan", "counting"}
        for m in line.marks
    )
    if len(strange) >= 3 and not useful and line.speaker != "patient":
        state.open = []
        state.chain = []
        state.offered = None
    elif len(strange) >= 4 and not useful:
        state.open = []
        state.offered = None
    _ask_about_rest(line)
    if len(line.marks) == 1 and line.marks[0].text in {"no", "sorry"} and not state.open:
        state.correcting, state.correcting_since = "replace", state.sentence
    talk = [m for m in line.marks if m.scope in {"talk", "other_person"}]
    if talk:
        state.open = []
        state.offered = None
