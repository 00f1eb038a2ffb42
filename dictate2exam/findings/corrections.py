"""Corrected values, items and sides: what was said last is written down anew."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.correction_words import active
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark, graded_alone, next_sentence
from dictate2exam.findings.meaning import read_claim
from dictate2exam.findings.reach import FIRM
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Doubtful, Draft, Subject, one_each
from dictate2exam.findings.wondered import wonders

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line
    from dictate2exam.findings.state import State
    from dictate2exam.lexicon.terms import Term

# "No, nothing else", "no, the same": words that put nothing right by themselves.
NO_CORRECTION = frozenset({"nothing", "same", "less", "uncertain", "good", "not_tested"})
# A name after one of these is what comes next.
LOOKING_ON = frozenset({"now", "next", "then", "and", "what about", "how about", "first", "again"})
# So many sentences after a grade it may be looked at again.
AGAIN = 3
PRONOUNS = frozenset(
    {"it", "its", "that", "thats", "they", "theyre", "he", "she", "there", "hes", "shes"}
)
# A no alone and one word behind it tell nothing.
LONG_NO = 4
WORSE = frozenset({"less", "weak"})
NO = frozenset({"no", "nah", "nope"})
SPEAKING = frozenset({"i", "im", "ill", "i'll", "ive", "i've", "id"})


def value_after_no(line: Line, at: int, claim: Claim) -> bool:
    """ "biceps four, no, three": a no before a second grade puts the first right."""
    state = line.state
    denial = line.denial or _leading_no(line, at) or _inner_no(line, at)
    if denial is None or not (denial.text == "not" or denial.has("correction.no")):
        return False
    fresh = state.last and state.sentence - state.last[-1].sentence <= 1 + _only_bidden(line)
    doubted = any(not d.drafts and d.sentence == state.sentence for d in state.doubts[-2:])
    if not line.group and not doubted and not (fresh and _opens(line, denial)):
        return False
    if line.denial is None and _says_again(state.last, claim):
        return False
    line.denial = None
    if denial.text == "not":
        return True
    state.correcting, state.correcting_since = "replace", state.sentence
    return apply_value(line, at, claim)


def _only_bidden(line: Line) -> int:
    """How many sentences since the last finding only bade the patient do something: "three. Thumb
    to your nose, show me. No, that's a four"."""
    state = line.state
    bidden = 0
    for sentence in reversed(state.read[-AGAIN:]):
        said = [m for m in sentence.marks if not (m.light or m.has("pause"))]
        if sentence.marks is line.marks:
            continue
        if not said or not all(m.scope == "instruction" or m.has("instructed") for m in said):
            break
        bidden += 1
    return bidden


def _leading_no(line: Line, at: int) -> Mark | None:
    """The no that opens a sentence and tells why a grade was wrong: "no, with it held it's a five",
    "nah, that's a trick, zero"."""
    head, last = line.marks[:at], [d for d in line.state.last if not d.gone]
    graded = bool(last) and all(_is_graded(d) for d in last)
    if not graded or line.speaker == "patient" or line.asked or line.group:
        return None
    named = any(m.terms and not _only_mentioned(line, n) for n, m in enumerate(head))
    if named or any(m.number or m.scope or m.has("side") for m in head):
        return None
    if not _opens_with_no(line, PRONOUNS | SPEAKING):
        return None
    return next(m for m in head if m.has("correction.no"))


def _inner_no(line: Line, at: int) -> Mark | None:
    """The no that stands apart behind a grade, where a word of time or a pronoun leads to another:
    "he says seven, no, now he says eight"."""
    marks = line.marks
    place = next((n for n in range(at - 1, 0, -1) if marks[n].has("correction.no")), 0)
    if not place or not line.group or line.state.open or marks[place].scope:
        return None
    told = marks[place + 1 : at]
    apart = marks[place - 1].has("pause") and bool(told) and told[0].has("pause")
    said = any(m.number and m in draft.marks for m in marks[:place] for draft in line.group)
    strange = [m for m in told if not (m.light or m.has("pause") or m.roles or m.scope)]
    plain = not any(m.terms or m.valued or m.has("side") for m in told)
    # "Four, no, you let go, push again, five".
    plain = plain and all(m.scope in {"", "instruction"} for m in told)
    plain = plain and not any(m.has("kind") or m.has("modality") or m.has("scale") for m in told)
    return marks[place] if apart and said and plain and len(strange) <= 1 else None


def _is_graded(draft: Draft) -> bool:
    """Whether an examiner gave it a number, or passed on a score: "two. No, he guesses. Zero"."""
    said_by = draft.marks[-1].written.utterance.speaker
    return draft.item.startswith("power.") or (
        draft.item.startswith("sensation.") and said_by != "patient"
    )


def _says_again(last: list[Draft], claim: Claim) -> bool:
    """ "Four. No, I'm happy with four": nothing is put right."""
    said = claim.number.text if claim.number else ""
    return any(d.value == said for d in last if not d.gone)


def _only_mentioned(line: Line, at: int) -> bool:
    """Whether a name only stands in what is told: "he's letting go of a flexed thumb", "she lifts
    it with the brachioradialis", and not "no, it's the thumb"."""
    marks, cues = line.marks, line.vocabulary.phrases.cues
    told = next((n for n, m in enumerate(marks) if m.text.split()[0] in PRONOUNS), at)
    plain = any(not (m.light or m.has("pause") or m.valued) for m in marks[told + 1 : at])
    lead = [word for m in marks[max(told + 1, at - 2) : at] for word in m.text.split()]
    helping = bool(set(lead) & set(cues["correction.helping"]))
    return plain and (marks[at].terms[0].category == "place" or helping)


def _opens(line: Line, denial: Mark) -> bool:
    """Whether a no is the first word of its sentence that is more than a sound: "ah no"."""
    before = line.marks[: line.marks.index(denial)] if denial in line.marks else line.marks
    return all(m.light or m.has("pause") for m in before)


def tells_why(line: Line) -> bool:
    """Whether a no at the head of a sentence that finds nothing tells why what was just found is
    wrong, where one value alone follows: "absent. No, he gets something there. Reduced"."""
    state, marks = line.state, line.marks
    old = [d for d in state.last if not d.gone]
    if line.speaker == "patient" or line.asked or state.open or not old:
        return False
    if state.sentence - old[-1].sentence > 1 or not _opens_with_no(line, PRONOUNS | SPEAKING):
        return False
    if any(m.terms or m.valued or m.scope for m in marks) or len(marks) < LONG_NO:
        return False
    ahead = [m for m in next_sentence(state.ahead) if not (m.light or m.has("pause"))]
    values = [word for m in ahead for word in m.values]
    word = len(ahead) == 1 and bool(values) and not any(w.name in NO_CORRECTION for w in values)
    return word and not ahead[0].scope


def word_after_no(line: Line, at: int, claim: Claim) -> bool:
    """ "Triceps jerk absent. No, it's there": a no that opens the next sentence, and a word that
    says something else of what was said last, put that right."""
    state, marks = line.state, line.marks
    again = active(line) and state.correcting == "again"
    if line.speaker == "patient" or state.open or line.asked or state.offered is not None:
        return False
    within = _no_within(line, at)
    since = marks[within:] if within else marks
    if not (within or _opens_with_no(line) or again) or any(m.terms or m.number for m in since):
        return False
    strange = [m for m in since[: at - within] if not (within or m.roles or m.valued)]
    old = [d for d in state.last if not d.gone]
    if not old or len(strange) > 1 or state.sentence - old[-1].sentence > (2 if again else 1):
        return False
    if {word.name for word in claim.words} & NO_CORRECTION or marks[at].scope or marks[at].light:
        return False
    context = copy(state.context)
    context.kind = old[-1].item.partition(".")[0]
    told = [read_claim(d.term, claim, context, line.vocabulary) for d in old]
    differs = [
        made is not None and made.item == d.item and made.value not in {"?", d.value}
        for made, d in zip(told, old, strict=True)
    ]
    if not all(differs):
        return False
    line.denial = None
    state.correcting, state.correcting_since = "replace", state.sentence
    return apply_value(line, at, claim)


def _no_within(line: Line, at: int) -> int:
    """The place of a no that stands apart behind what was just found in the sentence, where a
    pronoun leads to the value: "absent, no, let me look again, it was reduced"; else 0."""
    marks = line.marks
    place = next((n for n in range(at - 1, 0, -1) if marks[n].has("correction.no")), 0)
    if not place or not line.group or not marks[place - 1].has("pause"):
        return 0
    told = marks[place + 1 : at]
    said = any(mark in marks[:place] for draft in line.group for mark in draft.marks)
    led = any(m.text.split()[0] in PRONOUNS for m in [*told[-3:], marks[at]])
    led = led or (len(told) == 1 and wonders(marks[:place]))
    # "Let me look at the trace again" grades nothing.
    valued = any(m.values and told[n - 1].text.split()[-1] != "the" for n, m in enumerate(told))
    plain = not valued and not any(m.terms or m.has("side") for m in told)
    return place if said and led and plain and told[0].has("pause") else 0


def _opens_with_no(line: Line, turning: frozenset[str] = PRONOUNS) -> bool:
    """Whether a no stands apart at the head of the sentence: "no, it's", "actually no, absent"."""
    head = [m for m in line.marks[:3] if not m.has("pause")]
    place = next((n for n, m in enumerate(line.marks[:3]) if m.has("correction.no")), -1)
    if place < 0 or place + 1 == len(line.marks) or any(m.valued for m in line.marks[:place]):
        return False
    after = line.marks[place + 1]
    turns = after.has("pause") or after.text.split()[0] in turning
    return turns and bool(head)


def apply_value(line: Line, at: int, claim: Claim) -> bool:
    """Replaces the values just said by a corrected one; False where nothing is being corrected."""
    state = line.state
    graded = claim.number or any(letter.isdigit() for letter in claim.mark.text)
    named = {term for m in line.marks for term in m.terms}
    again = state.correcting == "again" and graded and named <= {d.term for d in line.group}
    if not active(line) or not (state.correcting == "replace" or again):
        return False
    if state.stray and state.sentence - state.stray <= 1 and line.speaker != "patient":
        _ask_of_what(line, at)
        return True
    last, taken = [d for d in state.last if not d.gone], state.withdrawing
    # What was found since something was taken back is what is put right.
    old = last if last and taken and last[-1].sentence > taken[-1].sentence else taken or last
    if not old and _answers_doubt(line, claim):
        return True
    if not old or state.sentence - old[-1].sentence > 4:
        return False
    if claim.words and not claim.number and line.speaker != "patient":
        weak = all(w.name in {"same", "less", "uncertain"} for w in claim.words)
        if weak or _of_what_follows(line, claim, old):
            return False
    subjects = [Subject(d.term, d.marks[0], side=_kept_side(d)) for d in one_each(old)]
    before = list(state.last)
    context_kind = state.context.kind
    kind = old[-1].item.partition(".")[0]
    state.context.kind = kind
    made = assign(line, claim, subjects, rule="corrected value")
    state.context.kind = context_kind
    if not made:
        state.last = before
        return False
    for draft in made:
        match = [d for d in old if d.item == draft.item and d.side == draft.side]
        if match:
            draft.corrects = match[-1]
            match[-1].withdrawn = False
            draft.side_spoken = match[-1].side_spoken
    state.withdrawing = []
    state.correcting = ""
    return True


def _of_what_follows(line: Line, claim: Claim, old: list[Draft]) -> bool:
    """Whether "nothing" alone is said of the muscle that is graded nought behind it: "turn
    the palm down. No. Nothing. Pronator teres zero"."""
    if any(word.name != "nothing" for word in claim.words) or any(d.value == "0" for d in old):
        return False
    if not all(d.item.startswith("power.") or d.value.isdigit() for d in old):
        return False
    alone = all(m is claim.mark or m.light or m.has("pause") for m in line.marks)
    ahead = next_sentence(line.state.ahead)
    named = [m.terms[0] for m in ahead if m.terms]
    graded = [m.number for m in ahead if m.number]
    other = bool(named) and all(term not in {d.term for d in old} for term in named)
    return alone and other and bool(graded) and graded[0].value == 0


def stands(line: Line, at: int, claim: Claim) -> bool:
    """ "Four, though this rose to five when held, and five is what I have recorded": the grade that
    is said to stand replaces the one before it in the sentence."""
    state, after = line.state, line.marks[at + 1 : at + 2]
    said = bool(after) and after[0].has("correction.stands")
    group = [d for d in line.group if not d.gone and d.item.startswith("power.")]
    if not said or claim.number is None or state.open or not group or line.marks[at].scope:
        return False
    state.correcting, state.correcting_since, state.stray = "replace", state.sentence, 0
    state.last = group
    done = apply_value(line, at, claim)
    between = [m for m in line.marks[line.marks.index(group[-1].marks[-1]) : at] if m.number]
    for draft in state.last:
        draft.marks = [*draft.marks, *between]
    if done:  # which of the two it is was just said
        asked = [d for d in state.doubts if d.rule == "second_value" and d.drafts]
        known = [d for d in asked if d.drafts[-1] in group]
        state.doubts = [d for d in state.doubts if d not in known]
    return done


def _ask_of_what(line: Line, at: int) -> None:
    """A correction after a value that found no name corrects nothing that was understood."""
    state, mark = line.state, line.marks[at]
    said = mark.written.utterance.text
    state.doubts.append(
        Doubtful(
            "unknown_term",
            False,
            f'"{said}" corrects a value whose name was not understood: what is {mark.text}?',
            marks=(mark,),
            rule="correction_of_nothing",
        )
    )
    state.correcting, state.stray = "", 0


def _answers_doubt(line: Line, claim: Claim) -> bool:
    """A correction of what was no value: "one plus, no, call it two"."""
    state = line.state
    asked = [d for d in state.doubts[-3:] if not d.drafts and state.sentence - d.sentence <= 1]
    items = {d.item for d in asked}
    subjects = state.last_subjects
    if not items or not subjects or claim.number is None:
        return False
    made = assign(line, claim, subjects, rule="corrected value")
    if not made:
        return False
    settled = {d.item for d in made}
    state.doubts = [d for d in state.doubts if not (d in asked and d.item in settled)]
    state.correcting = ""
    return True


def _kept_side(draft: Draft):  # type: ignore[no-untyped-def]
    return draft.side if draft.side in OPPOSITE and draft.side_spoken else None


def replace_side(line: Line, side: str, mark: Mark) -> None:
    """Makes corrected copies of what was just said, on the other side."""
    state = line.state
    made = []
    for draft in [d for d in state.last if not d.gone]:
        twin = copy(draft)
        twin.side = side  # type: ignore[assignment]
        twin.side_spoken = twin.side_local = True
        twin.marks = [*draft.marks, mark]
        twin.detail = dict(draft.detail)
        twin.corrects = draft
        twin.rule = "corrected side"
        made.append(twin)
    state.drafts.extend(made)
    state.sentence_drafts.extend(made)
    state.last = made
    line.group = made


def _only_says_that(line: Line) -> bool:
    """Whether a sentence holds a word of correction and a name, and nothing that looks on:
    "I beg your pardon, brachialis", but not "sorry, now brachialis"."""
    held = all(m.terms or (m.roles and not m.valued) for m in line.marks)
    return held and not any(m.scope or m.text in LOOKING_ON for m in line.marks)


def finish(line: Line) -> None:
    """Settles what a correction in this sentence still waits for."""
    state = line.state
    if line.withdraw_named:
        names = {s.term for s in state.open if s.sentence == state.sentence}
        taken = [d for name in names for d in _last_of(name, state)]
        for draft in taken:
            draft.withdrawn = True
        if len(taken) == 1:
            state.last = state.withdrawing = taken
            state.correcting, state.correcting_since = "replace", state.sentence
        state.open = [s for s in state.open if s.sentence != state.sentence]
        return
    if _blames_another(line):
        state.correcting, state.correcting_since = "replace", state.sentence
        state.open = [s for s in state.open if s.sentence != state.sentence]
        return
    if state.correcting == "replace" and state.correcting_since == state.sentence:
        opened = [s for s in state.open if s.sentence == state.sentence and not s.asked]
        old = [d for d in state.last if not d.gone and d.sentence >= state.sentence - 1]
        if (
            len(opened) == 1
            and old
            and state.last_claim is not None
            and (state.sentence_drafts or _only_says_that(line))
        ) and (old[-1].term.category == opened[0].term.category):
            opened[0].side = opened[0].side or _kept_side(old[-1])
            made = assign(line, state.last_claim, opened, rule="corrected item")
            for draft in made or ():
                draft.corrects = old[-1]
            state.open = []
            state.correcting = ""
    if state.correcting in {"", "again"} and _takes_back(line):
        state.correcting, state.correcting_since = "replace", state.sentence
        state.open = [s for s in state.open if s.sentence != state.sentence]
    elif state.correcting and _still_looks(line):
        state.correcting, state.correcting_since = "again", state.sentence
    elif state.correcting and state.sentence - state.correcting_since >= 1:
        state.correcting = ""
        state.withdrawing = []


def _last_of(term: Term, state: State) -> list[Draft]:
    """What was found last of a term, on both sides where one sentence told of both: its grade, and
    not its bulk told before."""
    found = [d for d in state.drafts if d.term == term and not d.gone]
    last = found[-1:]
    return [d for d in found if d.item == last[0].item and d.sentence == last[0].sentence]


def _blames_another(line: Line) -> bool:
    """Whether a sentence only says that another muscle did it, and a lower grade stands alone
    behind it: "deltoid two. No, that was the trapezius. | One"."""
    state, ahead = line.state, next_sentence(line.state.ahead)
    last = [d for d in state.last if not d.gone]
    if line.speaker == "patient" or line.asked or not last or state.sentence_drafts:
        return False
    named = [m for m in line.marks if m.terms]
    graded = all(d.item.startswith("power.") and d.value[0].isdigit() for d in last)
    no = line.marks[0].text.split()[0] in NO
    if not (no and graded) or len({d.item for d in last}) > 1 or len(named) != 1:
        return False
    pointed = {word for m in line.marks[1:] for word in m.text.split()} & PRONOUNS
    pointed = pointed or set(line.marks[0].text.split()[1:]) & PRONOUNS
    rest = [m for m in line.marks if m not in named and not (m.light or m.has("pause"))]
    plain = all(m.text.split()[0] in {*NO, *PRONOUNS, "1"} for m in rest)
    other = named[0].terms[0].category == "muscle" and named[0].terms[0] != last[-1].term
    if not (pointed and plain and other and graded_alone(ahead)):
        return False
    now = next(m.number.value for m in ahead if m.number)
    return state.sentence - last[-1].sentence <= 1 and now < int(last[-1].value[0])


def _still_looks(line: Line) -> bool:
    """Whether a sentence of the examiner's names and grades nothing, so that what was said last is
    still looked at: "Actually, he hadn't understood me. Cough again. No, that's a five"."""
    state = line.state
    last = [d for d in state.last if not d.gone and state.sentence - d.sentence <= AGAIN]
    if line.speaker == "patient" or not last or state.open or state.withdrawing:
        return False
    return not any(
        m.terms or m.number or m.values or m.predicates or m.has("side") or m.scope in FIRM
        for m in line.marks
    )


def _takes_back(line: Line) -> bool:
    """Whether a sentence only takes back the grade before it, and the right one stands alone behind
    it: "three. No, that's the trapezius helping. | Two"."""
    state, ahead = line.state, next_sentence(line.state.ahead)
    # "No, less" says that the grade was too good.
    worse = [m for m in line.marks if m.values and {w.name for w in m.values} <= WORSE]
    said = [m for m in line.marks if m.valued and not m.has("answer") and m not in worse]
    if said or line.group:
        return False
    last = [d for d in state.last if not d.gone]
    near = 2 if state.correcting == "again" else 1
    fresh = bool(last) and state.sentence - last[-1].sentence <= near
    led = _leading_no(line, len(line.marks)) if fresh else None
    return led is not None and graded_alone(ahead)
