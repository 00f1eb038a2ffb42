"""What a clause leaves out because it was just said: "EDC is wasted, triceps isn't", "C5 is
avulsed, C6 is not", "ptosis is there, miosis isn't"."""

from collections.abc import Collection

from dictate2exam.findings.claims import Context, kinds_of
from dictate2exam.findings.line import SIGN_KINDS
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.reach import FIRM
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.phrases import Predicate, ValueWord

# The words that a verb alone repeats or denies, by the word that was said of a sign.
REPEATED = SIGN_KINDS | {"reflex"}
PRONOUNS = frozenset({"that", "thats", "it", "its", "they", "theyre", "those"})
HAVING = ("has", "have", "had")
OPPOSITE = {"present": "absent", "positive": "negative", "absent": "present"}


def name_left_out(sentence: Sentence, state: State, vocabulary: Vocabulary) -> None:
    """Gives a verb that closes its clause the word that was said just before it."""
    marks = sentence.marks
    cues = vocabulary.phrases.cues
    predicate, word = _said_before(state, vocabulary)
    denies = predicate is not None and any(d.value == predicate.denied for d in state.last[-1:])
    for at, mark in enumerate(marks):
        if mark.number or mark.scope in FIRM:
            predicate, word = None, None
        elif mark.predicates and not mark.scope:
            predicate, word = _affirmed(mark, vocabulary), None
            denies = _is_denied(marks, at, vocabulary)
        elif mark.values and not mark.terms and (not mark.light or mark.values[0].name in OPPOSITE):
            predicate, word = None, mark.values[0]
        if (predicate or word) is None or mark.scope or sentence.asked:
            continue
        denied = mark.text in cues["left_out.denied"]
        name = _name_before(marks, at) if _closes(marks, at, cues["left_out.nor"]) else None
        if denied or mark.text in cues["left_out.said"]:
            if name is not None and marks[at - 1].text not in cues["left_out.nor"]:
                _say(mark, name, predicate, word, denied, vocabulary)
        elif mark.text in cues["left_out.nor"] and predicate is not None:
            _say_nor(marks, at, predicate, vocabulary)
            if mark.has("negation.before") and denies and _opens_clause(marks, at):
                _say_bare_nor(marks, at, predicate, vocabulary)
        elif predicate is not None and (
            mark.text in cues["left_out.nor_is"]
            or (not denies and _not_of_next(marks, at, cues["left_out.not"]))
        ):
            _say_bare_nor(marks, at, predicate, vocabulary)


def _is_denied(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """Whether a word is denied where it stands: "isn't wasted", "was not wasted"."""
    before = next((m for m in reversed(marks[:at]) if not m.light), None)
    denied = before is not None and before.has("negation.before") and not before.has("list.join")
    return denied or bool(vocabulary.denials & set(marks[at].text.split()))


def _affirmed(mark: Mark, vocabulary: Vocabulary) -> Predicate:
    """The word without the denial in it: "not wasted" leaves "wasted" to be said again."""
    said = mark.predicates[0]
    if not vocabulary.denials & set(mark.text.split()) or not said.denied:
        return said
    return Predicate(
        name=said.name,
        kind=said.kind,
        value=said.denied,
        denied=said.value,
        spoken=said.spoken,
    )


def _said_before(state: State, vocabulary: Vocabulary) -> tuple[Predicate | None, ValueWord | None]:
    """What the sentence before said last, where it said it of something."""
    claim, last = state.last_claim, [d for d in state.last if not d.gone]
    if claim is None or not last or last[-1].sentence != state.sentence:
        return None, None
    if claim.predicates and claim.mark.predicates:
        return _affirmed(claim.mark, vocabulary), None
    return None, claim.words[0] if claim.words else None


def _closes(marks: list[Mark], at: int, nor: Collection[str]) -> bool:
    """Whether nothing more is said of the name before the next one."""
    for mark in marks[at + 1 :]:
        if mark.terms or mark.text in nor:
            return True
        if mark.scope in FIRM and marks[at + 1].has("pause"):
            return all(m.scope or m.has("pause") for m in marks[at + 1 :])  # "..., if I'm honest"
        if mark.valued and not (mark.light and not mark.has("predicative")):
            return False
        if not (mark.light or mark.has("pause") or mark.has("list.join") or mark.has("list.same")):
            return mark.has("negation.ends") or mark.text == "either"
    return True


def _name_before(marks: list[Mark], at: int) -> Mark | None:
    """The name that the verb at `at` is said of."""
    for mark in reversed(marks[:at]):
        if mark.terms:
            return mark
        if not (mark.light and mark.text not in {"but", "which"}) and not mark.has("side"):
            return None
    return None


def _fits(name: Mark, predicate: Predicate, vocabulary: Vocabulary) -> bool:
    return predicate.kind in kinds_of(name.terms[0], Context(), vocabulary)


def _say(
    mark: Mark,
    name: Mark,
    predicate: Predicate | None,
    word: ValueWord | None,
    denied: bool,
    vocabulary: Vocabulary,
) -> None:
    if predicate is not None and _fits(name, predicate, vocabulary):
        _settle(mark, predicate, predicate.denied if denied else predicate.value)
    elif word is not None and name.terms[0].category in REPEATED and word.name in OPPOSITE:
        wanted = OPPOSITE[word.name] if denied else word.name
        if mark.text.startswith(HAVING) and name.terms[0].category in SIGN_KINDS:
            wanted = "absent" if denied else "present"  # "clonus she hasn't", whatever was before
        mark.values = vocabulary.words_named(wanted)
        mark.roles = frozenset({"predicative"})


def _say_nor(marks: list[Mark], at: int, predicate: Predicate, vocabulary: Vocabulary) -> None:
    """ "Deltoid is not wasted, nor is triceps": the verb goes before its name."""
    verb = marks[at + 1] if at + 1 < len(marks) else None
    if verb is None or verb.text not in vocabulary.phrases.cues["left_out.said"]:
        return
    ahead = next((m for m in marks[at + 2 :] if not (m.light or m.has("side"))), None)
    after = marks[marks.index(ahead) + 1 :] if ahead is not None else []
    if after and after[0].predicates:
        return  # "nor is the triceps wasted" says its own
    if ahead is not None and ahead.terms and _fits(ahead, predicate, vocabulary):
        _settle(marks[at], predicate, predicate.denied)


def _opens_clause(marks: list[Mark], at: int) -> bool:
    return not at or marks[at - 1].has("pause") or marks[at - 1].text in {"and", "."}


def _not_of_next(marks: list[Mark], at: int, words: Collection[str]) -> bool:
    return marks[at].text in words and _opens_clause(marks, at) and _named_alone(marks, at)


def _named_alone(marks: list[Mark], at: int) -> bool:
    """Whether a denial has names behind it and no more: "not the thenar though, and not the
    hypothenar either"."""
    place = at + 1
    while place < len(marks) and not marks[place].has("pause"):
        mark = marks[place]
        if (mark.valued and not mark.light) or not (mark.terms or mark.light or _closing(mark)):
            return False
        place += 1
    rest = marks[place + 1 :]
    told = next((m for m in rest if not m.light or m.text in PRONOUNS), None)
    return told is None or told.text not in PRONOUNS


def _closing(mark: Mark) -> bool:
    return mark.has("negation.ends") or mark.has("list.all") or mark.has("list.prepose")


def _say_bare_nor(marks: list[Mark], at: int, predicate: Predicate, vocabulary: Vocabulary) -> None:
    """ "No wasting of the deltoid. Nor the biceps.": no verb stands between."""
    after = marks[at + 1 : at + 4]
    ahead = next((m for m in after if not (m.light or m.has("list.prepose"))), None)
    if ahead is None or not ahead.terms or not _fits(ahead, predicate, vocabulary):
        return
    rest = marks[marks.index(ahead) + 1 :]
    if rest and rest[0].predicates:
        return
    own = next((m for m in rest if m.terms or (m.valued and not m.light)), None)
    if own is None or own.terms or own.predicates:
        _settle(marks[at], predicate, predicate.denied)


def _settle(mark: Mark, predicate: Predicate, value: str) -> None:
    """Makes the mark a word that brings its kind along, and denies nothing else."""
    if not value:
        return
    same = Predicate(
        name=predicate.name,
        kind=predicate.kind,
        value=value,
        denied=value,
        spoken=predicate.spoken,
    )
    mark.predicates, mark.values, mark.roles = (same,), (), frozenset()
