"""Yes, no and pain: what a patient answers to what was asked or offered."""

from dictate2exam.findings.asking import ask_about
from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import SENSORY, SIGN_KINDS, Line
from dictate2exam.findings.marks import Mark, graded_alone, next_sentence
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import State, Subject


def asked_signs(state: State) -> list[Subject]:
    return [
        s for s in state.open if s.asked and s.term.category in {"sign", "posture", "percussion"}
    ]


def alone(line: Line, at: int) -> bool:
    return not any(m.valued for m in line.marks[:at])


def answer_signs(line: Line, mark: Mark, value: str) -> None:
    words = line.vocabulary.words_named(value)
    claim = Claim(mark, words=words)
    assign(line, claim, asked_signs(line.state), rule="answered")
    line.state.open = []
    line.state.offered = None


def name_none(line: Line) -> None:
    """Makes "there isn't any" a value where it closes its clause: "Horner's, there isn't any"; so
    with "I found one"."""
    words = line.vocabulary.words_named("absent")
    for at, mark in enumerate(line.marks):
        none = mark.has("answer.none_of_it")
        none = none and (not mark.text.endswith(" 1") or _is_sign(line, at))
        if mark.scope or not (none or _found_one(line, at)):
            continue
        after = line.marks[at + 1] if at + 1 < len(line.marks) else None
        if after is None or after.has("pause"):
            there = line.vocabulary.words_named("present")
            mark.values, mark.number = (there if mark.number else words), None
            mark.roles = frozenset({"predicative"})


def _found_one(line: Line, at: int) -> bool:
    """Whether "one" is a sign or pulse that was looked for: "felt for a pulse and found one"."""
    number = line.marks[at].number
    verb = line.marks[at - 1].text.split()[-1] if at else ""
    plain = number is not None and number.value == 1 and not (number.sign or number.scale)
    looked = verb in line.vocabulary.phrases.cues["found_one.words"]
    return plain and looked and _is_sign(line, at)


def _is_sign(line: Line, at: int) -> bool:
    """Whether what was named last before a place is there or not: "palmaris, cannot feel one" only
    tells why it was not tested."""
    named = [m.terms[0].category for m in line.marks[:at] if m.terms]
    return bool(named) and named[-1] in SIGN_KINDS | {"pulse", "percussion"}


def name_got(line: Line) -> None:
    """ "Got, little finger, every night": a patient's whole yes in the English of Singapore."""
    first = line.marks[0]
    words = line.vocabulary.phrases.cues["got.words"]
    closed = len(line.marks) == 1 or line.marks[1].has("pause")
    if line.speaker == "patient" and not line.asked and closed and first.text in words:
        first.roles = frozenset({"answer", "answer.yes"})


def name_same(line: Line) -> None:
    """ "Same as the left" is a patient's whole answer: the side only tells what is compared."""
    first = next((m for m in line.marks if not m.has("pause")), None)
    if line.speaker != "patient" or first is None or not first.has("comparison"):
        return
    alike = first.text in line.vocabulary.phrases.cues["reference.alike"]
    rest = line.marks[line.marks.index(first) + 1 :]
    if alike and rest and all(m.light or m.has("side") or m.has("pause") for m in rest):
        first.values, first.roles = line.vocabulary.words_named("same"), frozenset()
        for mark in rest:
            mark.roles = frozenset({"list.light"})


def breaks_off(line: Line, at: int) -> bool:
    """Whether a no only leads to that it was not done: "axilla, no, I skipped it"."""
    rest = line.marks[at + 1 :]
    said = next((m for m in rest if m.terms or m.valued), None)
    return said is not None and any(word.name == "not_tested" for word in said.values)


def yes(line: Line, mark: Mark) -> None:
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


def no(line: Line, mark: Mark, at: int) -> bool:
    """A no as an answer to what was offered or asked; False where it is a denial."""
    state = line.state
    following = line.next_solid(at)
    ahead = line.marks[following] if following < len(line.marks) else None
    here = [
        s
        for s in state.open
        if s.sentence == state.sentence and not s.asked and _may_be_denied(s, state)
    ]
    if here and (at + 1 == len(line.marks) or line.marks[at + 1].has("pause")):
        words = line.vocabulary.words_named("absent")
        assign(line, Claim(mark, words=words), here, rule="denied after")
        state.open = []
        return True
    ends_so = line.marks[-1].text == mark.text and bool(line.marks[0].terms)
    if here and ends_so:
        words = line.vocabulary.words_named("absent")
        assign(line, Claim(mark, words=words), here, rule="denied after")
        state.open = []
        return True
    if ahead is not None and (ahead.terms or ahead.predicates):
        return False
    answering = line.speaker == "patient" or (at == 0 and any(s.asked for s in state.open))
    answering = answering or state.offered is not None
    if not answering:
        return False
    scored = any(m.number is not None for m in line.marks[at + 1 :])
    if _only_dulled(line, at):
        answer_signs(line, mark, "absent")
        return True
    if (ahead is not None and ahead.valued) or scored:
        state.offered = None
        return True
    if asked_signs(state):
        answer_signs(line, mark, "absent")
        return True
    if state.offered is not None:
        if state.open and line.speaker != "patient" and graded_alone(next_sentence(state.ahead)):
            state.offered = None
            return True
        if state.open:
            since = len(state.doubts)
            ask_about(line, state.open, "The answer to what was offered was no; what is it?", mark)
            for doubt in state.doubts[since:]:
                doubt.sentence = state.sentence
        state.offered = None
        if not _tells_what_it_is(line):
            state.open = []
        return True
    asked = [s for s in state.open if s.asked and s.term.category in SENSORY]
    if asked and line.speaker != "examiner":
        words = line.vocabulary.words_named("cannot_feel")
        if assign(line, Claim(mark, words=words), asked, rule="answered no"):
            state.open = []
            return True
    return False


def _only_dulled(line: Line, at: int) -> bool:
    """Whether a patient denies the pain asked about, and tells what it is like instead: "no, it's
    just dead", "no, only numb"."""
    asked = asked_signs(line.state)
    rest = [m for m in line.marks[at + 1 :] if m.valued or m.terms]
    pain = bool(asked) and all(s.term.term_id == "neuropathic_pain" for s in asked)
    told = bool(rest) and all(m.values and not (m.terms or m.number) for m in rest)
    paused = line.marks[at + 1 : at + 2] and line.marks[at + 1].has("pause")
    return line.speaker == "patient" and pain and told and bool(paused)


def _tells_what_it_is(line: Line) -> bool:
    """Whether the patient goes on to say what it is: "No. It's numb there"."""
    ahead = next_sentence(line.state.ahead)
    said = [m for m in ahead if m.valued and not m.light]
    return line.speaker == "patient" and len(said) == 1 and not any(m.terms for m in ahead)


def changes_answer(line: Line, mark: Mark, at: int, value: str) -> bool:
    """ "Yes. No, hang on": a patient who answers otherwise in the same breath; the last stands."""
    state = line.state
    last = [d for d in state.last if not d.gone]
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    if line.speaker != "patient" or at or state.open or not last:
        return False
    if not (after is None or after.has("pause")) or last[-1].sentence == state.sentence:
        return False
    turn = mark.written.utterance.index
    for draft in last:
        known = draft.term.category in SIGN_KINDS | {"percussion"} and draft.patient
        if not known or draft.value == value or draft.marks[-1].written.utterance.index != turn:
            return False
    words = tuple(w for w in line.vocabulary.phrases.values if w.name == value)
    subjects = [
        Subject(d.term, d.marks[0], d.side if d.side in OPPOSITE else None, sentence=state.sentence)
        for d in last
    ]
    return bool(assign(line, Claim(mark, words=words), subjects, rule="second answer"))


def _may_be_denied(subject: Subject, state: State) -> bool:
    """Whether a closing no denies it: a sign, or the bulk of a region after other wasting."""
    wasted = bool(state.last) and state.last[-1].item.startswith("wasting.")
    category = subject.term.category
    return category in SIGN_KINDS or (category == "bulk" and wasted)


def ask_pain(line: Line, mark: Mark) -> None:
    """A kind of pain that is asked for waits for the patient's yes or no."""
    state = line.state
    term = line.vocabulary.by_id.get(("sign", "neuropathic_pain"))
    if term is not None and not any(s.term == term for s in state.open):
        state.open.append(Subject(term, mark, asked=True, sentence=state.sentence))


def feels_now(line: Line, mark: Mark) -> bool:
    """Whether a patient tells of a pain of his own, however general it sounds: "what gets me is
    there's this burning in my arm"."""
    words = {word for m in line.marks for word in m.text.split()}
    own = bool(words & {"my", "me", "i"}) and not words & {"if", "would", "he", "she", "his", "her"}
    before = line.marks[: line.marks.index(mark)]
    denied = any(m.has("negation.before") or m.has("answer.no") for m in before)
    behind = " ".join(m.text for m in line.marks[line.marks.index(mark) :])
    likened = any(one in behind for one in line.vocabulary.phrases.mood["likened_to"])
    return (mark.scope == "teaching" or likened) and own and not denied


def patient_pain(line: Line, mark: Mark) -> None:
    """Pain of a neuropathic kind is the one thing a patient says unasked that is a finding."""
    state = line.state
    term = line.vocabulary.by_id.get(("sign", "neuropathic_pain"))
    if term is None or any(
        d.item == "sign.neuropathic_pain" and not d.gone for d in state.drafts[-20:]
    ):
        return
    words = line.vocabulary.words_named("present")
    sides = {side for m in line.marks for side in OPPOSITE if m.has(f"side.{side}")}
    where = sides.pop() if len(sides) == 1 else None  # "in the left hand, burning"
    subject = Subject(term, mark, where, sentence=state.sentence)  # type: ignore[arg-type]
    assign(line, Claim(mark, words=words), [subject], rule="volunteered")
