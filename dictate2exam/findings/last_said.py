"""Values of what was said last: a second side, a second kind, a second answer, a doubt."""

from dictate2exam.findings import corrections, second_values, sides
from dictate2exam.findings.asked_again import other_modality
from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import Line
from dictate2exam.findings.ordinary import describes_a_thing
from dictate2exam.findings.sameness import value_on_side
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Doubtful, Draft, Subject, heard_text

# "Rhomboids on the right two. Other side? Easy. The left is five": so many sentences between.
FAR = 4
# More words than an answer has that means nothing here.
STORY = 3
# With a score up to this nearly nothing is felt.
LOW = 3
SIZES = frozenset({"size", "shape", "girth", "mass"})
# "He says six", "you said a ten", no longer before than so many sentences.
TELLERS, TELLS, JUST = frozenset({"he", "she", "you"}), frozenset({2, 3}), 2
SAYING = frozenset({"says", "said", "reckons", "thinks", "makes", "gives"})


def value_for_last(line: Line, at: int, claim: Claim) -> int:
    """A value with no new term: a second side, a second kind, a doubt, or nothing."""
    state = line.state
    kinds = {d.item.partition(".")[0] for d in state.last if not d.gone}
    other_kind = claim.kind == "contraction" and kinds == {"power"}
    if corrections.stands(line, at, claim):
        return at + 1
    if other_kind:
        state.correcting = ""
    elif corrections.apply_value(line, at, claim):
        return at + 1
    if claim.number and _refines(line, claim):
        return at + 1
    if claim.words and _leaves_open(line, claim):
        return at + 1
    if claim.predicates and describes_a_thing(line.marks, at, line.vocabulary):
        return at + 1
    if claim.kind == "wasting" and _size_of_another(line, at):
        return at + 1
    if line.speaker == "patient":
        if line.group and any(
            m.has("hedge.alternative") for m in line.marks[line.group_since : at]
        ):
            second_values.second_value(line, at, claim)
            return at + 1
        if state.last and state.last[-1].patient and _same_turn(line, at):
            if _agrees(line, claim) or (claim.words and _tells_a_story(line)):
                return at + 1
            asked = state.last_subjects
            assign(
                line, claim, asked[-1:] if _of_that_one(line, at) else asked, rule="second answer"
            )
        return at + 1
    if claim.number and _relayed(line, at, claim):
        return at + 1
    if claim.number and any(m.has("asked_place") for m in line.marks[max(0, at - 3) : at]):
        _ask_which_finger(line, at)
        return at + 1
    if claim.number and not state.last_subjects and _unknown(line, at):
        state.stray = state.sentence
    if not state.last_subjects:
        return at + 1
    told = [*(s.sentence for s in state.last_subjects), *(d.sentence for d in state.last)]
    _of_looked_at(line, at, claim)
    fresh = state.sentence - max(told) <= (FAR if _of_side_alone(line) else 2)
    if fresh and not line.value_side:
        line.value_side = sides.side_after_value(line, at)
    if not line.value_side and (_less_than_said(line, claim) or _range_too(line, claim)):
        return at + 1
    if line.value_side and fresh and _of_whole_limb(line, at, claim):
        line.value_side = ""
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
    ) and (fresh and second_values.add_kind(line, claim)):
        return at + 1
    if fresh and other_modality(line, claim):
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
        if _graded_after_felt(line, claim) or _felt_and_graded(line, claim):
            return at + 1
        known = len(state.doubts)
        second_values.second_value(line, at, claim)
        if len(state.doubts) == known and _unknown(line, at):
            state.stray = state.sentence
    return at + 1


def _of_whole_limb(line: Line, at: int, claim: Claim) -> bool:
    """ "Intrinsics zero. The right arm is strong." tells of the arm and grades no muscle of it."""
    sided = [n for n, m in enumerate(line.marks[:at]) if m.has("side")]
    limbs = line.vocabulary.phrases.mood["whole_limb"]
    if claim.number or not sided or line.marks[sided[-1]].text.split()[-1] not in limbs:
        return False
    graded = [d for d in line.state.last if not d.gone]
    plain = all(m.light or m.has("pause") for m in line.marks[:at] if not m.has("side"))
    copula = any(m.has("list.copula") for m in line.marks[sided[-1] + 1 : at])
    pointed = any(m.has("list.prepose") for m in line.marks[: sided[-1]])
    power = bool(graded) and all(d.item.startswith("power.") for d in graded)
    if not (power and plain and copula) or pointed or any(m.terms for m in line.marks):
        return False
    said = line.marks[0].written.utterance.text
    question = f'"{said}" gives a value without saying of what: which items were examined?'
    side, strong = line.marks[sided[-1]], line.marks[at]
    line.state.doubts.append(
        Doubtful("value", False, question, marks=(side, strong), rule="value_of_nothing")
    )
    return True


def _of_that_one(line: Line, at: int) -> bool:
    """Whether the second of several places asked about is told of: "normal. And that one numb"."""
    words = [word for m in line.marks[:at] for word in m.text.split()]
    return words[:1] in (["and"], ["but"]) and bool({"one", "1", "second", "last"} & set(words))


def _size_of_another(line: Line, at: int) -> bool:
    """Whether a size is of something that is no muscle: "pupils of normal size"."""
    sized = bool(SIZES & set(line.marks[at].text.split()))
    return sized and not line.group and _unknown(line, at)


def _relayed(line: Line, at: int, claim: Claim) -> bool:
    """The patient's answer said on: "two, was it? One? He says one"."""
    state = line.state
    old = [d for d in state.last if not d.gone]
    before = [word for m in line.marks[:at] for word in m.text.split()][-4:]
    if not old or not all(d.item.startswith("sensation.") for d in old):
        return False
    if not _says_it_now(line, at) and (
        state.offered is None or not (set(before) & SAYING and set(before) & {"he", "she"})
    ):
        return False
    return _instead_of(line, claim, old, "answer said on")


def _says_it_now(line: Line, at: int) -> bool:
    """Whether it is told that the patient says otherwise than was just put down: "thumb five, he
    says six", "an eight, oh, you said ten"."""
    state, marks = line.state, line.marks
    low = at
    while low and not marks[low - 1].has("pause"):
        low -= 1
    said = [word for m in marks[low:at] for word in m.text.split()]
    while said and said[0] in line.vocabulary.phrases.mood["filler"]:
        said.pop(0)
    fresh = state.sentence - state.last[-1].sentence <= JUST and not state.open
    plain = not any(m.terms or m.scope or m.has("modality") for m in marks[low:])
    tells = len(said) in TELLS and said[0] in TELLERS and said[1] in SAYING
    return fresh and plain and tells and not line.asked


def _instead_of(line: Line, claim: Claim, old: list[Draft], rule: str) -> bool:
    """Gives the value to what findings were of, in their place; False where it fits none."""
    subjects = [Subject(d.term, d.marks[0], side=d.side if d.side_spoken else None) for d in old]
    made = assign(line, claim, subjects, rule=rule)
    for draft in made or ():
        known = [d for d in old if d.item == draft.item and d.side == draft.side]
        draft.corrects = known[0] if known else None
    return bool(made)


def _leaves_open(line: Line, claim: Claim) -> bool:
    """ "Wasting of the thenar eminence, hard to judge", or behind it "I'd put that as uncertain":
    what was just said to be there may be."""
    group = [d for d in line.group if not d.gone]
    last = [d for d in line.state.last if not d.gone]
    if not group and last and _judges_that(line) and line.state.sentence - last[-1].sentence <= 1:
        group = last
    kinds = ("wasting.",) if line.group else ("wasting.", "sign.", "posture.")
    bulk = all(d.item.startswith(kinds) and d.value == "present" for d in group)
    if not (group and bulk and any(w.name == "uncertain" for w in claim.words)):
        return False
    for draft in group:
        draft.value, draft.marks = "uncertain", [*draft.marks, claim.mark]
    return True


def _judges_that(line: Line) -> bool:
    """Whether a sentence names nothing and only says how sure what was just told is."""
    said = {word for m in line.marks for word in m.text.split()}
    # "Pronator quadratus wasting, under a plate. Uncertain."
    alone = all(m.values or m.light or m.has("pause") for m in line.marks)
    alone = alone and all(d.rule != "named" for d in line.state.last)
    pointed = alone or bool(said & {"that", "it", "this", "thats", "its"})
    return pointed and not any(m.terms or m.number or m.scope for m in line.marks)


def _tells_a_story(line: Line) -> bool:
    """Whether a patient goes on to tell of other times, and answers nothing: "sometimes the whole
    hand feels numb in the morning"."""
    said = [m for m in line.marks if not (m.light or m.roles or m.terms or m.valued)]
    return len(said) > STORY


def _agrees(line: Line, claim: Claim) -> bool:
    """Whether a word only says again what the score said: "two, it's just dull"."""
    scores = [d.value for d in line.state.last if not d.gone]
    said = {word.means.get("sensation") for word in claim.words}
    if claim.number or not scores or not all(s.isdigit() for s in scores):
        return False
    names = {"10": {"normal", "10"}, "0": {"absent", "0"}}
    nearly = any(m.has("hedge.before") for m in line.marks)
    if nearly and all(0 < int(score) <= LOW for score in scores) and said <= {"absent", "0"}:
        return True  # "one. Almost you're not there"
    return all(said & names.get(score, {"reduced"}) for score in scores)


def _of_side_alone(line: Line) -> bool:
    """Whether only a side and its value are said: "the left is five" goes over some talk."""
    said = (
        m.valued or m.light or m.has("side") or m.has("pause") or m.has("correction.told")
        for m in line.marks
    )
    return bool(line.value_side) and all(said)


def _of_looked_at(line: Line, at: int, claim: Claim) -> None:
    """Gives a bare grade to the side just compared: "compare the left. That one's five"."""
    state = line.state
    side, since = state.looked_at
    last = [d for d in state.last if not d.gone]
    if line.value_side or claim.number is None or not last or state.sentence - since > 2:
        return
    compared = all(d.side == OPPOSITE.get(side) and d.sentence <= since for d in last)
    if compared and all(m.light or m.has("pause") for m in line.marks[:at]):
        line.value_side = side
        state.looked_at = ("", -9)


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


def _felt_and_graded(line: Line, claim: Claim) -> bool:
    """Whether a nought only repeats what no contraction said: then it is a finding of its own,
    "no contraction in abductor digiti minimi, none in the first interosseous, each zero"."""
    state = line.state
    made = [d for d in state.sentence_drafts if not d.gone and d.rule == "value before term"]
    felt = [w for m in line.marks for w in m.values if w.name == "no_contraction"]
    nought = claim.number is not None and claim.number.text == "0"
    if not (made and felt and nought) or any(d.item != f"power.{d.term.term_id}" for d in made):
        return False
    said = next(m for m in line.marks if felt[0] in m.values)
    if any(d.value != "0" for d in made) or line.denial is not None:
        return False
    context, state.context.kind = state.context.kind, "contraction"
    subjects = [Subject(d.term, d.marks[0], d.side, sentence=d.sentence) for d in made]
    last, subjects_before = state.last, state.last_subjects
    assign(line, Claim(said, words=(felt[0],)), subjects, rule="another kind", extra=claim.mark)
    state.context.kind, state.last, state.last_subjects = context, last, subjects_before
    return True


def _same_turn(line: Line, at: int) -> bool:
    """Whether the last answer was given in this turn or the sentence before."""
    last = line.state.last[-1]
    here, there = line.marks[at].written.utterance, last.marks[-1].written.utterance
    near = here.index == there.index or line.state.sentence - last.sentence <= 1
    return near or _weighed_since(line, at, last)


def _weighed_since(line: Line, at: int, last: Draft) -> bool:
    """Whether a score is only weighed since it was given: "One. Maybe even nothing." "Which is it?"
    "Nothing, so. Zero."; a word, unlike a number, may answer whatever else was asked."""
    since = line.state.sentence - last.sentence
    plain = all(m.valued or m.light or m.has("pause") for m in line.marks)
    if since > FAR or not plain or not last.item.startswith("sensation."):
        return False
    between = [s.marks for s in line.state.read[1 - since :] if s.marks is not line.marks]
    if any(m.terms or m.has("side") or m.has("kind") for marks in between for m in marks):
        return False
    others = [m for m in between if m and m[0].written.utterance.speaker != "patient"]
    if line.marks[at].number is not None:
        return all(len(marks) <= FAR and not any(m.number for m in marks) for marks in others)
    return all(m.has("correction.again") for marks in others for m in marks)


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
    told = line.group or _just_before(line)
    if said is None or not told or not any(w.name in THERE for w in said.words):
        return False
    group = [d for d in told if not d.gone and d.item.startswith(GRADUAL)]
    for draft in group:
        kind = draft.item.partition(".")[0]
        if not any(word.means.get(kind) in {"reduced", "brisk"} for word in claim.words):
            return False
    for draft in group:
        kind = draft.item.partition(".")[0]
        draft.value = next(w.means[kind] for w in claim.words if kind in w.means)
        draft.marks = [*draft.marks, claim.mark]
    return bool(group)


def _just_before(line: Line) -> list[Draft]:
    """What the sentence before found, where this one is no more than a word: "There. Weak"."""
    last = [d for d in line.state.last if not d.gone]
    alone = all(m.values or m.light or m.has("pause") for m in line.marks)
    near = bool(last) and line.state.sentence - last[-1].sentence <= 1
    return last if alone and near and line.speaker != "patient" else []


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
    return _instead_of(line, claim, worded, "answer in numbers")


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
            rule="which_dermatome",
        )
    )
