"""Bulk under a heading or after its noun: "Wasting. Deltoid, yes. Trapezius, no", "no wasting in
the deltoid, none in supraspinatus", "thenar wasting, absent"."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from dictate2exam.findings.contrasts import of_other_side
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.reach import FIRM
from dictate2exam.findings.state import State
from dictate2exam.findings.structure import JOINERS
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.phrases import Predicate

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

BULKY = frozenset({"muscle", "bulk"})
# What inspection finds; so many findings back it is still going on.
SEEN = ("wasting.", "sign.", "posture.", "context.")
LATELY = 3
# An answer has at most so many words of a list ("quite a lot").
LONGEST = 4


def name_bulk(sentence: Sentence, state: State, vocabulary: Vocabulary) -> None:
    """Makes yes, no, none and words of degree say whether what is spoken of is wasted."""
    marks = sentence.marks
    headed = state.bulk_since >= 0 and state.sentence - state.bulk_since <= 0
    state.bulk_since = -1
    named = any(_bulky(m) for m in marks)
    if headed and not named and any(m.has("region") for m in marks):
        state.bulk_since = state.sentence + 1
    _in_turn(marks, state, vocabulary)
    nouns = [at for at, m in enumerate(marks) if _is_noun(m, vocabulary)]
    other = any(m.number or _other_kind(m) for m in marks)
    if other or any(m.has("kind.inspection") for m in marks):
        state.inspecting = not other
    asked, state.bulk_asked = state.bulk_asked, []
    if other or any(m.scope in FIRM for m in marks):
        return
    wasted = any(map(_wasted, marks))
    if sentence.asked and named and (nouns or headed or wasted):
        told = _told(marks)
        state.bulk_asked = [m for m in marks if _bulky(m) and m not in told]
        return
    if nouns and _named_alone(marks):
        state.bulk_asked = [m for m in marks if _bulky(m)]
        return
    if asked and not any(m.terms for m in marks) and _answers(sentence, asked, vocabulary):
        state.bulk_since = state.sentence + 1
        return
    if nouns and not any(m.terms for m in marks):
        if not _denied(marks, nouns[0]) and not _said(marks[nouns[-1] + 1 :], vocabulary):
            state.bulk_since = state.sentence + 1
        return
    again = not nouns and not headed and _said_as_noun(state, vocabulary)
    if named and not (nouns or headed) and _goes_on(marks, state, again, vocabulary):
        headed, again = True, False
    if named and not (nouns or headed) and _each_denied(marks) and _after_bulk(state):
        headed, again = True, False
    said = max((at for at, m in enumerate(marks) if _wasted(m)), default=-1)
    unsure = not (nouns or headed or again) and (_after_bulk(state) or said >= 0)
    if not named or not (headed or nouns or again or unsure):
        return
    if headed:
        state.bulk_since = state.sentence + 1
    first = nouns[0] if nouns and not headed else said + 1 if unsure else 0
    cues = vocabulary.phrases.cues
    answers: list[Mark] = []
    for at in range(first, len(marks)):
        size, value = _answer(marks, at, vocabulary)
        if again and size and marks[at].text not in cues["bulk.again"]:
            continue
        if unsure and size and value != "uncertain":
            continue
        if size and of_other_side(marks, at + size - 1):
            continue
        ahead = bool(size) and _before_name(marks, at + size)
        if size and (ahead or (not again and _after_name(marks, at))) and _closes(marks, at + size):
            _become(marks[at : at + size], value, vocabulary)
            if not ahead:
                answers.append(marks[at])
    if headed and not answers and _named_alone(marks):
        state.bulk_asked = [m for m in marks if _bulky(m)]
        return
    if not answers and (headed or unsure):
        _leave_unsure(marks[first:], vocabulary)
    _silence(marks, nouns, answers)


def _wasted(mark: Mark) -> bool:
    return any(p.kind == "wasting" for p in mark.predicates)


def _named_alone(marks: list[Mark]) -> bool:
    """Whether a sentence names bulk and its muscles, and says nothing of them: "biceps bulk"."""
    said = [m for m in marks if not (m.light or m.has("pause") or m.has("side"))]
    plain = all(_bulky(m) or (m.has("kind.wasting") and not m.valued) for m in said)
    return plain and any(_bulky(m) for m in said) and not any(m.scope for m in marks)


def _in_turn(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """ "Bulk is normal in the deltoid, reduced in the biceps": what follows is said of bulk too, to
    the end of the next sentence that goes on so."""
    first = next((n for n, m in enumerate(marks) if _says_bulk(m, vocabulary)), -1)
    going_on = first < 0 and state.sentence - state.bulk_in_turn <= 1 and bool(marks)
    if any(m.number or _other_kind(m) or m.scope in FIRM for m in marks):
        return
    if first < 0 and not (going_on and _answer(marks, 0, vocabulary)[0]):
        return
    state.bulk_in_turn = state.sentence + 1
    for at in range(first + 1, len(marks)):
        size, value = _answer(marks, at, vocabulary)
        if size and _before_name(marks, at + size) and not of_other_side(marks, at + size - 1):
            _become(marks[at : at + size], value, vocabulary)


def _says_bulk(mark: Mark, vocabulary: Vocabulary) -> bool:
    """Whether a mark tells of bulk by its noun: "bulk is normal"."""
    nouns = vocabulary.phrases.cues["bulk.noun"]
    wasting = any(p.kind == "wasting" for p in mark.predicates)
    return wasting and f"{mark.text} ".startswith(
        tuple(f"{noun} " for noun in nouns if "bulk" in noun)
    )


def _leave_unsure(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Takes a doubt told behind one name for the answer: "I'm not certain, so put uncertain"."""
    unsure = [m for m in marks if _worth(m, vocabulary) == "uncertain"]
    names = [n for n, m in enumerate(marks) if _bulky(m)]
    if not unsure or not names or any(m.predicates for m in marks):
        return
    if any(marks[n - 1].text not in {"of", "behind", "under"} for n in names[1:]):
        return  # "there is a fair bit of trapezius on top of it"
    rest = marks[names[0] + 1 :]
    if any(m.values and not m.light and m not in unsure for m in rest):
        return
    for mark in rest:  # "with the scar" only tells why
        mark.leave()
    _become([unsure[-1]], "uncertain", vocabulary)


def _said_as_noun(state: State, vocabulary: Vocabulary) -> bool:
    """Whether the sentence before said "wasting" of something: "there is some in the biceps"."""
    claim, last = state.last_claim, [d for d in state.last if not d.gone]
    fresh = bool(last) and last[-1].sentence == state.sentence
    if not fresh or claim is None:
        return False
    # "Wasting is present in infraspinatus. It is absent in deltoid".
    cues = vocabulary.phrases.cues
    answered = claim.kind == "wasting" and claim.mark.text in (
        *cues["bulk.some"],
        *cues["bulk.none"],
    )
    return _is_noun(claim.mark, vocabulary) or answered


def _after_bulk(state: State) -> bool:
    """Whether the sentence before told of bulk: "Deltoid, wasted. Biceps, hard to say"."""
    claim, last = state.last_claim, [d for d in state.last if not d.gone]
    fresh = bool(last) and last[-1].sentence == state.sentence
    return fresh and claim is not None and claim.kind == "wasting"


def _goes_on(marks: list[Mark], state: State, again: bool, vocabulary: Vocabulary) -> bool:
    """Whether "normal" is still said of bulk: behind "deltoid, bulk normal", and behind "deltoid,
    wasted" while inspection goes on."""
    claim = state.last_claim
    normal = any(w.name == "normal" for m in marks for w in m.values)
    if not normal or claim is None or any(m.predicates for m in marks):
        return False
    told = [d for d in state.last if not d.gone]
    as_noun = again and bool(told) and told[-1].value == "absent"
    seen = [d.item.startswith(SEEN) for d in state.drafts[-LATELY:] if not d.gone]
    wasted = any(d.item.startswith("wasting.") for d in state.drafts[-LATELY:])
    return as_noun or (state.inspecting and wasted and all(seen))


def _each_denied(marks: list[Mark]) -> bool:
    """Whether every name has a no right behind it: "supraspinatus no, infraspinatus no"."""
    names = [at for at, m in enumerate(marks) if m.terms]
    rests = [marks[at + 1 : at + 4] for at in names if _bulky(marks[at])]
    said = [rest[1:] if rest and rest[0].has("pause") else rest[:2] for rest in rests]
    denied = [m for m in said if m and m[0].has("answer.no") and (len(m) == 1 or m[1].has("pause"))]
    return bool(names) and len(denied) == len(names)


def _told(marks: list[Mark]) -> list[Mark]:
    """The names said to be wasted before another is asked about: "the deltoid is wasted, and the
    thenar, is it wasted?"."""
    asked = next((n for n, m in enumerate(marks) if m.scope == "question"), 0)
    said = [n for n, m in enumerate(marks[:asked]) if m.predicates]
    return marks[: said[-1]] if said and any(_bulky(m) for m in marks[said[-1] :]) else []


def _answers(sentence: Sentence, asked: list[Mark], vocabulary: Vocabulary) -> bool:
    """Gives the names asked about before ("Wasting of the deltoid?") the answer said now."""
    marks = [m for m in sentence.marks if not (m.light and not m.values) and not m.has("pause")]
    size, value = _answer(marks, 0, vocabulary) if marks else (0, "")
    if not size or any(m.valued or m.has("answer") for m in marks[size:]):
        return False
    _become(marks[:size], value, vocabulary)
    names = [copy(mark) for mark in asked]
    for name in names:
        name.scope = name.reach = ""
    sentence.marks = [*names, *sentence.marks]
    return True


def _bulky(mark: Mark) -> bool:
    return bool(mark.terms) and mark.terms[0].category in BULKY


def _is_noun(mark: Mark, vocabulary: Vocabulary) -> bool:
    """Whether the mark names wasting or bulk as a thing: "atrophy", not "atrophic"."""
    named = mark.text in vocabulary.phrases.cues["bulk.noun"]
    return named and not mark.terms


def _other_kind(mark: Mark) -> bool:
    """Whether the mark turns to something else than bulk."""
    other = any(p.kind != "wasting" for p in mark.predicates)
    kinds = [r for r in mark.roles if r.startswith("kind.")]
    return other or any(r not in {"kind.wasting", "kind.inspection"} for r in kinds)


def _denied(marks: list[Mark], at: int) -> bool:
    return any(m.has("negation.before") for m in marks[:at])


def _said(marks: list[Mark], vocabulary: Vocabulary) -> bool:
    """Whether a noun of bulk has its own value: "wasting present", "bulk normal"."""
    return any(m.values and _worth(m, vocabulary) for m in marks)


def _answer(marks: list[Mark], at: int, vocabulary: Vocabulary) -> tuple[int, str]:
    """How many marks from here on answer whether something is wasted, and the answer."""
    if marks[at].terms or marks[at].predicates or marks[at].scope:
        return 0, ""
    cues = vocabulary.phrases.cues
    for size in range(min(LONGEST, len(marks) - at), 0, -1):
        text = " ".join(m.text for m in marks[at : at + size])
        for value, name in (("present", "bulk.some"), ("absent", "bulk.none")):
            if text in cues[name]:
                return size, value
    return (1, _worth(marks[at], vocabulary)) if _worth(marks[at], vocabulary) else (0, "")


def _worth(mark: Mark, vocabulary: Vocabulary) -> str:
    """What a word of value or a yes or no says of wasting."""
    if mark.has("answer.yes"):
        return "present"
    if mark.has("answer.no"):
        return "absent"
    said = [w.means["wasting"] for w in mark.values if "wasting" in w.means and not w.only]
    return said[0] if said and said[0] in {"present", "absent", "uncertain"} else ""


def _after_name(marks: list[Mark], at: int) -> bool:
    """Whether a name, or the noun behind it, stands before the answer."""
    for mark in reversed(marks[:at]):
        if _bulky(mark) or mark.text in {"one"}:
            return True
        if not (mark.light or mark.has("pause") or mark.has("side") or mark.predicates):
            return False
        if mark.text in JOINERS and mark.text != ",":
            return False
    return False


def _before_name(marks: list[Mark], at: int) -> bool:
    """Whether "in" or "of" gives the answer to a name after it: "none in supraspinatus"."""
    preposed = False
    for mark in marks[at:]:
        if mark.terms:
            return preposed and _bulky(mark)
        preposed = preposed or mark.has("list.prepose")
        joins = mark.has("pause") or mark.text in JOINERS
        if joins or not (mark.light or mark.has("side")):
            return False
    return False


def _become(marks: list[Mark], value: str, vocabulary: Vocabulary) -> None:
    """Makes the answer a word that brings its own kind along; it denies nothing else."""
    found = next(p for p in vocabulary.phrases.predicates if p.kind == "wasting")
    said = Predicate(
        name=found.name, kind="wasting", value=value, denied=value, spoken=found.spoken
    )
    marks[0].predicates, marks[0].values = (said,), ()
    marks[0].roles, marks[0].scope = frozenset(), ""
    for mark in marks[1:]:
        mark.values, mark.roles = (), frozenset({"list.light"})


def _closes(marks: list[Mark], at: int) -> bool:
    """Whether the answer ends its clause, or a preposition gives it to the name ahead."""
    if at >= len(marks):
        return True
    ahead = marks[at]
    if ahead.has("pause") or ahead.has("list.join") or ahead.has("list.prepose"):
        return True
    return (
        ahead.has("list.same")
        or ahead.has("side")
        or ahead.text in {"but", "either", "there", "already"}
    )


def _silence(marks: list[Mark], nouns: list[int], answers: list[Mark]) -> None:
    """A noun whose names have answers of their own says nothing by itself."""
    for at in nouns:
        if _answered(marks, at, answers) and not _denied(marks, at):
            marks[at].predicates = ()
            marks[at].roles = frozenset({"kind", "kind.wasting", "list.light"})


# What is said of wasting, and not of the muscle that has none.
NONE = frozenset({"absent", "none", "nil", "nothing"})


def _is_none(mark: Mark) -> bool:
    """Whether the answer is said of the wasting itself: "wasting of A and B is absent"."""
    return mark.predicates[0].value != "absent" or bool(NONE & set(mark.text.split()))


def _answered(marks: list[Mark], at: int, answers: list[Mark]) -> bool:
    """Whether the names that follow a noun, or the one before it, come to an answer."""
    named, joined = 0, False
    owned = at > 0 and _bulky(marks[at - 1]) and marks[at + 1 : at + 2]
    if owned and owned[0].has("pause"):
        later = next((m for m in marks[at + 2 :] if not m.light and not m.has("side")), None)
        if later is not None and _bulky(later):
            return False  # "thenar wasting, hypothenar normal"
    for place in range(at + 1, len(marks)):
        mark = marks[place]
        if mark.predicates:
            own = {marks[place - 1].text, mark.text.split()[0]} & {"is", "was"}
            if named > 1 and own and not _is_none(mark):
                return False  # "wasting in the deltoid and the biceps is normal"
            paused = marks[place - 1].has("pause") or marks[place - 1].has("list.copula")
            whole = named <= 1 or joined or paused or mark.predicates[0].value == "present"
            return whole and any(mark is one for one in answers)
        if mark.terms and not _bulky(mark):
            return False
        named += bool(mark.terms)
        joined = joined or mark.text == "and"
        if not (mark.terms or mark.light or mark.has("pause") or mark.has("side")):
            return False
    return False


def doubted_bulk(line: Line, at: int) -> bool:
    """Whether wasting has its doubt right before it: "supraspinatus, uncertain wasting"."""
    mark, before = line.marks[at], line.marks[at - 1] if at else None
    wasting = any(p.kind == "wasting" for p in mark.predicates)
    return wasting and before is not None and any(w.name == "uncertain" for w in before.values)


def doubts_bulk(line: Line, at: int) -> bool:
    """Whether a doubt is only that of the wasting behind it: "hard to say, uncertain wasting"."""
    if not any(w.name == "uncertain" for w in line.marks[at].values):
        return False
    named = (n for n in range(at + 1, len(line.marks)) if line.marks[n].terms)
    end = next(named, len(line.marks))
    return any(doubted_bulk(line, n) for n in range(at + 1, end))
