"""Reads sentences one after another: which value belongs to which term, and what is only talk."""

from dictate2exam.findings import (
    columns,
    contrasts,
    correction_words,
    corrections,
    counted_again,
    excursions,
    former,
    not_that,
    percussion,
    references,
    side_answers,
    side_changes,
    side_words,
    sides,
    supposed,
    tables,
    turning,
)
from dictate2exam.findings.ability import ask_ability
from dictate2exam.findings.answers import (
    ask_pain,
    feels_now,
    name_got,
    name_none,
    name_same,
    patient_pain,
)
from dictate2exam.findings.asked_again import ask_again
from dictate2exam.findings.degrees import SO, read_so, soften
from dictate2exam.findings.denial import all_but, ask_doubted, name_nothing, still_felt
from dictate2exam.findings.denied_behind import name_denied
from dictate2exam.findings.details import note_details
from dictate2exam.findings.each_place import answer_each, leave_little_one, name_little_one
from dictate2exam.findings.everything import (
    add_also,
    ask_about_rest,
    carry_to_list,
    rest_after_terms,
)
from dictate2exam.findings.fingertips import name_fingertips
from dictate2exam.findings.heads import healthy, leave_torn, name_signs, name_toes
from dictate2exam.findings.instructed import bidden_anew, leave_bidden, name_instructed
from dictate2exam.findings.joints import ask_movements, name_movements, note_degrees
from dictate2exam.findings.level_heads import leave_levels
from dictate2exam.findings.line import (
    Line,
    current_terms,
    name_bare,
    name_pulses,
)
from dictate2exam.findings.marks import Sentence, graded_alone, next_sentence
from dictate2exam.findings.named_only import give_to_listed
from dictate2exam.findings.naming import flush_naming
from dictate2exam.findings.neither import name_neither
from dictate2exam.findings.parts import leave_halves, name_of_list
from dictate2exam.findings.parts_told import leave_summed, name_listed
from dictate2exam.findings.radiation import radiates, radiation
from dictate2exam.findings.reach import FIRM
from dictate2exam.findings.recalled import carry_over, hang
from dictate2exam.findings.reflexes import (
    leave_reflex_names,
    leave_reflexes,
    leave_reinforced,
    reflexes_in_plus,
)
from dictate2exam.findings.sameness import leave_own, read_same, same_in, says_also
from dictate2exam.findings.split_names import name_contraction, name_split
from dictate2exam.findings.state import State, Subject
from dictate2exam.findings.steering import steer
from dictate2exam.findings.studies import leave_pronouns, leave_recorded, name_nerves, name_study
from dictate2exam.findings.subjects import open_terms, read_term
from dictate2exam.findings.tapping import leave_joints, name_joints, name_tapped_parts, tell
from dictate2exam.findings.told_next import tell_named
from dictate2exam.findings.two_point import free_numbers, note_millimetres, settle_distance
from dictate2exam.findings.values import read_value
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.findings.wholes import name_parts
from dictate2exam.findings.wondered import leave_wondering
from dictate2exam.speech.model import Speaker


def read_sentence(
    sentence: Sentence, state: State, vocabulary: Vocabulary, speaker: Speaker
) -> None:
    """Reads one sentence, adding its drafts and doubts to the state."""
    if not sentence.marks:
        return
    state.sentence += 1
    state.sentence_drafts = []
    state.context.kind = ""
    side_before = state.side
    tell(sentence)
    name_joints(sentence.marks, state.context.topic, vocabulary)
    leave_joints(sentence.marks)
    name_tapped_parts(sentence.marks, state.context.topic, vocabulary)
    name_movements(sentence.marks, state, vocabulary)
    name_parts(sentence.marks, state, vocabulary)
    give_to_listed(sentence.marks, vocabulary)
    name_fingertips(sentence.marks, state, vocabulary)
    name_study(sentence.marks, state)
    name_nerves(sentence.marks, state, vocabulary)
    leave_recorded(sentence.marks, state, vocabulary)
    leave_pronouns(sentence.marks, state)
    name_signs(sentence.marks, state, vocabulary)
    leave_torn(sentence.marks, vocabulary)
    name_toes(sentence.marks, vocabulary)
    name_split(sentence.marks, vocabulary)
    name_contraction(sentence, vocabulary)
    soften(sentence.marks)
    free_numbers(sentence.marks)
    name_nothing(sentence.marks)
    tables.name_grades(sentence.marks)
    name_neither(sentence.marks, vocabulary)
    name_denied(sentence, state, vocabulary)
    name_of_list(sentence.marks, vocabulary)
    leave_halves(sentence.marks)
    leave_summed(sentence.marks)
    if speaker != "patient":
        name_little_one(sentence.marks, sentence.asked, state, vocabulary)
    leave_little_one(sentence.marks)
    line = Line(sentence, state, vocabulary, speaker)
    supposed.name_supposed(line)
    supposed.name_other_face(line)
    if state.context.topic == "percussion":
        line.percussion.active = True
    percussion.asks(line)
    leave_reflex_names(line)
    leave_reflexes(line)
    leave_reinforced(line)
    name_pulses(line)
    reflexes_in_plus(line)
    name_bare(line, 0, state.context.topic)
    name_listed(line)
    leave_own(line)
    leave_levels(line)
    columns.watch(line)
    references.set_aside(line)
    tell_named(line)
    side_answers.answer_sides(line, plainly=True)
    contrasts.note(line)
    side_words.name_both(line)
    name_none(line)
    name_got(line)
    name_same(line)
    side_answers.answer_sides(line)
    answer_each(line)
    name_instructed(line)
    carry_to_list(line)
    carry_over(line)
    counted_again.give_out(line)
    former.pass_over(line)
    still_felt(line)
    not_that.put_right(line)
    leave_wondering(line)
    at = 0
    while at < len(line.marks):
        at = _read_mark(line, at)
    _finish(line)
    turning.watch(line, side_before)
    excursions.leave(line, side_before)


def _read_mark(line: Line, at: int) -> int:
    mark = line.marks[at]
    state = line.state
    if mark.scope in FIRM:
        return _firm(line, at)
    patient = line.speaker == "patient"
    if not patient and mark.has("correction.replace"):
        percussion.close(line)
    if not patient and correction_words.read(line, at):
        return at + 1
    if mark.has("list.except") and all_but(line, at):
        return at + 1
    if mark.has("list.except") and (state.sentence_drafts or line.group or state.open):
        line.excepting = True
        return at + 1
    if radiates(line, at):
        return radiation(line, at)
    if mark.terms or mark.has("bare"):
        terms = current_terms(line, mark)
        if terms and mark.has("healthy"):
            return healthy(line, at, terms[0])
        if terms:
            return read_term(line, at, terms)
    if mark.has("list.same") and line.group and counted_again.give_out_at(line, at):
        return len(line.marks)
    if mark.has("side"):
        following = sides.read(line, at)
        percussion.sided_site(line, at)
        return following
    if mark.has("kind.percussion"):
        percussion.start(line, at)
        return at + 1
    if percussion.relative(line, at):
        return at + 1
    if line.percussion.active and mark.has("kind_values.percussion_present"):
        percussion.claim_present(line, at)
        return at + 1
    if mark.valued:
        return read_value(line, at)
    same = mark.has("list.same_as") or mark.has("list.same_side") or says_also(line, at)
    if not patient and (same or same_in(line, at)) and read_same(line, at, None):
        return at + 1
    if mark.roles & SO and read_so(line, at):
        return at + 1
    if mark.has("patient.pain") and patient and line.denial is None and not mark.scope:
        patient_pain(line, mark)
    if mark.has("patient.pain") and (line.asked or mark.scope == "question") and not patient:
        ask_pain(line, mark)
    steer(line, mark, at)
    return at + 1


def _asks_back(line: Line) -> bool:
    """Whether a score that was just given is only asked again: "Two, was it? Three?"."""
    last = [d for d in line.state.last if not d.gone]
    scored = bool(last) and all(d.item.startswith("sensation.") for d in last)
    return scored and all(m.number or m.light or m.has("pause") for m in line.marks)


def _heads_sensation(line: Line) -> bool:
    """Whether a scale is told of what is examined next: "the dermatomes, it goes from zero to
    two"."""
    heads = any(m.has("kind.sensation") for m in line.marks)
    return heads and line.speaker != "patient" and not any(m.terms for m in line.marks)


def _firm(line: Line, at: int) -> int:
    """Inside history a term may still be what a later value is about; the rest is passed over."""
    mark = line.marks[at]
    if sides.closes_with_both(line, at):
        return at + 1
    pain = mark.has("patient.pain") or any(t.term_id == "neuropathic_pain" for t in mark.terms)
    if pain and line.asked and line.speaker != "patient":
        ask_pain(line, mark)
    site = mark.terms and mark.terms[0].category == "percussion" and mark.terms[0].is_group
    if site or percussion.announced(line, at):
        line.state.context.topic = "percussion"
    if mark.has("patient.pain") and line.speaker == "patient" and feels_now(line, mark):
        patient_pain(line, mark)
    if mark.has("scale.isncsci") and mark.scope == "teaching" and _heads_sensation(line):
        steer(line, mark, at)
        return at + 1
    if mark.scope == "teaching" and line.asked and mark.terms:
        terms = current_terms(line, mark)
        if terms and terms[0].category not in {"place", "level"}:
            open_terms(line, at, terms, asked=True)
        return at + 1
    if (
        (mark.has("side.left") or mark.has("side.right"))
        and (not line.state.side or side_changes.corrects_heading(line, at))
        and (mark.scope in {"teaching", "history"})
    ):
        return sides.read(line, at)
    if (mark.has("side.left") or mark.has("side.right")) and (
        (mark.scope == "teaching" or (mark.scope == "talk" and not line.state.side))
        and len(mark.text.split()) > 1
    ):
        return sides.read(line, at)
    if mark.scope in {"history", "teaching"} and mark.terms and line.speaker != "patient":
        later = [m for m in line.marks[at + 1 :] if not m.scope and m.valued]
        if any(m.text.split()[-1] == "yet" for m in line.marks[at + 1 :]):
            # "The referral says FCU three, I haven't tested it yet": it is still to be tested.
            later = [m for m in later if not any(w.name == "not_tested" for w in m.values)]
        terms = current_terms(line, mark)
        nxt = line.marks[at + 1] if at + 1 < len(line.marks) else None
        if nxt is not None and nxt.has("lesion"):
            return at + 1
        if later and terms and terms[0].category not in {"sign", "posture", "percussion"}:
            open_terms(line, at, terms, asked=False)
    return at + 1


def _finish(line: Line) -> None:
    """Closes a sentence: named signs are present, taps are settled, talk drops what waited."""
    state = line.state
    percussion.finish(line)
    percussion.drop_unplaced(line)
    corrections.finish(line)
    note_degrees(line)
    ask_movements(line)
    settle_distance(line)
    note_millimetres(line)
    add_also(line)
    if not line.asked:
        flush_naming(line)
    note_details(line)
    if not line.asked and any(m.scope == "history" for m in line.marks):
        # "Hit on the inside of the elbow two months ago" asks nothing about the place.
        skin = [
            s for s in state.open if s.sentence == state.sentence and s.term.category == "place"
        ]
        state.open = [s for s in state.open if s not in skin]
    for subject in state.open:
        if subject.term.category in {"place", "area", "level"}:
            subject.asked = True
    sides.finish(line)
    hang(line)
    ask_ability(line)
    ask_doubted(line)
    leave_bidden(line)
    if state.sentence_drafts:
        if rest_after_terms(line):
            ask_about_rest(line)
        return
    if ask_again(line):
        return
    named = any(m.terms or m.valued for m in line.marks)
    only_side = any(m.has("side") for m in line.marks) and not named
    asking = any(m.scope == "question" for m in line.marks) and line.speaker != "patient"
    if asking and not only_side and not _asks_back(line):
        state.last_subjects = []
    examining = line.vocabulary.examining | {*line.vocabulary.phrases.cues["method.words"]}
    strange = [
        m
        for m in line.marks
        if not m.roles and not m.terms and not m.valued and m.text not in examining
    ]
    useful = any(
        m.terms or m.valued or m.scope in {"instruction", "question", "plan", "counting"}
        for m in line.marks
    )
    waits = graded_alone(next_sentence(state.ahead))
    if len(strange) >= 3 and not (useful or waits) and line.speaker != "patient":
        state.open = []
        state.chain = []
        state.offered = None
    elif len(strange) >= 4 and not (useful or waits):
        state.open = []
        state.offered = None
    ask_about_rest(line)
    only = line.marks[0] if len(line.marks) == 1 and not state.open else None
    no = only is not None and only.has("correction.no") and not bidden_anew(line)
    if corrections.tells_why(line):
        state.correcting, state.correcting_since = "replace", state.sentence
    if only is not None and (no or only.text == "sorry"):
        state.correcting, state.correcting_since = "replace", state.sentence
    talk = [m for m in line.marks if m.scope in {"talk", "other_person"}]
    if talk:
        asked = line.speaker == "patient" or not any(m.terms or m.number for m in line.marks)
        if not (asked and waits):
            state.open = [s for s in state.open if _outlasts(s, line, asked)]
        state.offered = None


def _outlasts(subject: Subject, line: Line, asked: bool) -> bool:
    """Whether a term waits on through talk: what was asked where the talk names nothing, and what
    was named before somebody broke off."""
    if subject.asked:
        return asked or subject.term.term_id == "neuropathic_pain"
    return subject.mark in line.marks and not subject.mark.scope
