"""Denials that stand behind what they deny: "ptosis he has not", "winging I could not find",
"deltoid is not wasted, triceps also not"."""

from dictate2exam.findings.bulk import BULKY
from dictate2exam.findings.line import SIGN_KINDS
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.state import State
from dictate2exam.findings.structure import JOINERS
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.phrases import Predicate

ARTICLES = frozenset({"a", "an", "the"})


def name_denied(sentence: Sentence, state: State, vocabulary: Vocabulary) -> None:
    """Makes such a denial the value of the name before it."""
    marks = sentence.marks
    if sentence.asked or marks[0].written.utterance.speaker == "patient":
        return
    for at, mark in enumerate(marks):
        if mark.scope or not _closes(marks, at):
            continue
        if mark.has("negation.fronted"):
            _deny_sign(marks, at, vocabulary)
        elif mark.text not in vocabulary.phrases.cues["neither.not"]:
            continue
        elif not _deny_after_bulk(marks, at, state, vocabulary):
            _deny_wasting(marks, at)


def _closes(marks: list[Mark], at: int) -> bool:
    after = marks[at + 1] if at + 1 < len(marks) else None
    return after is None or after.has("pause") or after.text in {"either", "and", "but"}


def _deny_sign(marks: list[Mark], at: int, vocabulary: Vocabulary) -> None:
    named = _named(marks, at)
    if named < 0 or marks[named].terms[0].category not in SIGN_KINDS:
        return
    before = (m for m in reversed(marks[:named]) if m.text not in ARTICLES)
    opens = next(before, None)
    led = opens is None or opens.has("pause") or opens.has("side")
    if led or (opens is not None and opens.text.split()[0] in {"and", "but"}):
        marks[at].values = vocabulary.words_named("absent")
        marks[at].roles, marks[at].predicates = frozenset({"predicative"}), ()


def _named(marks: list[Mark], at: int) -> int:
    """The place of the name before a denial, with no more than a pronoun or a side between."""
    for place in range(at - 1, -1, -1):
        mark = marks[place]
        if mark.terms:
            return place
        if not (mark.light or mark.has("side")) or mark.has("pause") or mark.text in JOINERS:
            return -1
    return -1


def _deny_wasting(marks: list[Mark], at: int) -> None:
    """ "Triceps also not", behind what was wasted or not."""
    named = _named(marks, at)
    if named < 0 or marks[named].terms[0].category not in BULKY:
        # "Also" joins as well as "and" does.
        named = at - 2 if at > 1 and marks[at - 2].terms else -1
        if named < 0 or marks[named].terms[0].category not in BULKY:
            return
    said = next((n for n in range(named - 1, -1, -1) if marks[n].valued), -1)
    wasted = next((p for p in marks[said].predicates if p.kind == "wasting"), None)
    if said < 0 or wasted is None or any(m.terms for m in marks[said + 1 : named]):
        return
    if any(m.number for m in marks):
        return
    denied = any(m.has("negation.before") for m in marks[max(0, said - 1) : said])
    denied = denied or marks[said].text.split()[0] in {"not", "isnt"}
    if wasted.value == "present" or denied:
        marks[at].predicates, marks[at].values = (_absent(wasted),), ()
        marks[at].roles = frozenset()
        for mark in marks[named + 1 : at]:
            mark.values, mark.roles = (), frozenset({"list.light"})


def _deny_after_bulk(marks: list[Mark], at: int, state: State, vocabulary: Vocabulary) -> bool:
    """ "Triceps is wasted. Deltoid's not.": a sentence of a name and a denial alone."""
    last = [d for d in state.last if not d.gone]
    looked = bool(last) and all(d.item.startswith("wasting.") for d in last)
    if not looked or state.sentence - last[-1].sentence > 1:
        return False
    others = [m for m in marks if m is not marks[at]]
    named = [m for m in others if m.terms]
    plain = all(m.terms or m.light or m.has("pause") or m.has("side") for m in others)
    if not (plain and len(named) == 1 and named[0].terms[0].category in BULKY):
        return False
    wasted = [p for p in vocabulary.phrases.predicates if p.kind == "wasting"]
    present = next((p for p in wasted if p.value == "present"), None)
    if present is None or marks.index(named[0]) > at:
        return False
    marks[at].predicates, marks[at].values, marks[at].number = (_absent(present),), (), None
    marks[at].roles = frozenset()
    return True


def _absent(said: Predicate) -> Predicate:
    return said.model_copy(update={"value": "absent", "denied": "absent"})
