"""Words that sound like a grade, a score or a muscle, read as such where only that can stand."""

from itertools import pairwise

from dictate2exam.findings.marks import Mark, Number
from dictate2exam.findings.state import Doubtful, State, heard_text
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

MOTOR = frozenset({"muscle", "movement"})
DENIABLE = frozenset({"sign", "posture"})
# Denials that were heard instead of a nought: "C five is not, and C six is one".
AFTER_COPULA = frozenset({"not"})
# Words that "and" does not follow unless they were numbers: "biceps was for and triceps five".
NEVER_JOINING = frozenset({"for", "fore", "tree", "free", "sex", "sick"})

ARTICLES = frozenset({"the", "his", "her"})
WORDED = ("reflex.", "conduction.", "wasting.", "needle.", "contraction.")
COPULAS = ("is ", "was ", "are ", "were ")


def mend_numbers(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """ "biceps for" at the end of what is said, or before the next term, is biceps four."""
    table = vocabulary.phrases.numbers.homophones
    for at, mark in enumerate(marks):
        text = _without_copula(mark.text)
        if text not in table or mark.number or mark.terms or mark.predicates:
            continue
        owner = at - 1
        while owner > 0 and not marks[owner].terms and _links(marks[owner]):
            owner -= 1
        before = marks[owner] if at else None
        following = at + 1
        if text in AFTER_COPULA | NEVER_JOINING and _text(marks, following) == "and":
            following += 1
        if text in AFTER_COPULA and _text(marks, following) in ARTICLES:
            following += 1
        after = marks[following] if following < len(marks) else None
        if before is None or not before.terms:
            continue
        if before.terms[0].category not in {"muscle", "movement", "level"}:
            continue
        ends = (
            after is None
            or after.has("pause")
            or (bool(after.terms) and after.terms[0].category == before.terms[0].category)
        )
        also = text == "too" and _just_found(state)
        adds = also and (_has_article(marks, owner) or _told_in_words(state))
        if text == "too" and (adds or _says_also(marks, owner)):
            continue
        moved = before.terms[0].category == "movement"
        ranges = moved and _says_range(mark)
        if (ranges or (moved and text == "too")) and _passive(marks, state):
            continue
        if not ends or (after is not None and after.terms and mark.text in {"to", "too"}):
            continue
        if after is not None and after.terms and mark.text == "for":
            beyond = marks[following + 1] if following + 1 < len(marks) else None
            if beyond is None or not beyond.valued:
                continue
        mark.number = Number(table[text])
        mark.likeness = vocabulary.phrases.doubt.homophone
        unsure = text in AFTER_COPULA or ranges or also
        mark.roles = frozenset({"guess", "doubted"} if unsure else {"guess"})
        mark.scope = before.scope


def _says_range(mark: Mark) -> bool:
    return any("range" in word.means for word in mark.values)


def _passive(marks: list[Mark], state: State) -> bool:
    """Whether passive movement is spoken of, which may be "free" and is no three."""
    said = any(m.has("kind.range") for m in marks)
    return said or "range" in (state.context.kind, state.context.topic)


def _says_also(marks: list[Mark], owner: int) -> bool:
    """ "The triceps is five, the anconeus too": after a value and a pause it means as well."""
    before = marks[:owner]
    graded = [
        place
        for place, m in enumerate(before)
        if m.number is not None or m.predicates or (m.values and not m.light)
    ]
    between = before[graded[-1] + 1 :] if graded else []
    if graded and before[graded[-1]].predicates and all(m.light for m in between):
        return True  # "wasting of the biceps too"
    return any(m.has("pause") or m.text.split()[0] == "and" for m in between)


def _just_found(state: State) -> bool:
    """ "The triceps is zero. The deltoid too": something was found in the sentence before."""
    return any(not d.gone and d.sentence >= state.sentence - 1 for d in state.last)


def _told_in_words(state: State) -> bool:
    """ "Biceps jerk absent. Supinator too": what was just found has hardly ever a number."""
    return all(d.item.startswith(WORDED) for d in state.last if not d.gone)


def _has_article(marks: list[Mark], owner: int) -> bool:
    """Whether the name is said as in prose, where grades are no bare words."""
    return owner > 0 and bool(ARTICLES & set(marks[owner - 1].text.split()))


def _without_copula(text: str) -> str:
    """ "Was not" is one negation; heard of a grade it is "was nought"."""
    return next((text.removeprefix(word) for word in COPULAS if text.startswith(word)), text)


def _links(mark: Mark) -> bool:
    return mark.has("list.copula") or mark.has("list.all")


def _text(marks: list[Mark], at: int) -> str:
    return marks[at].text if at < len(marks) else ""


def mend_names(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "let's five" at the start or after a pause or value is "lats five"."""
    for at, (mark, after) in enumerate(pairwise(marks)):
        names = [role for role in mark.roles if role.startswith("misheard.")]
        before = marks[at - 1] if at else None
        opens = before is None or before.has("pause") or before.number is not None
        if names and after.number is not None and opens and not mark.terms:
            mark.terms = (vocabulary.by_id[("muscle", names[0].partition(".")[2])],)
            mark.roles, mark.values, mark.scope = frozenset(), (), ""
            mark.likeness = vocabulary.phrases.doubt.homophone
            after.scope = "" if after.scope == "instruction" else after.scope


def grades_given_first(marks: list[Mark]) -> None:
    """ "five for wrist extension": the grade comes first; "for" may have been heard as four."""
    for at in range(1, len(marks) - 1):
        grade, word, after = marks[at - 1], marks[at], marks[at + 1]
        four = word.number is not None and word.text == "4" and not word.number.sign
        if grade.number is None or not (word.text == "for" or four):
            continue
        if not after.terms or after.terms[0].category not in {"muscle", "movement"}:
            continue
        earlier = [m for m in marks[: at - 1] if not m.light]
        if earlier and (earlier[-1].terms or earlier[-1].number):
            continue
        word.number, word.roles, word.values = None, frozenset({"list.light"}), ()
        for mark in (grade, word, after):
            mark.scope = "" if mark.scope == "instruction" else mark.scope


def _same_kind(one: Term, other: Term) -> bool:
    return one != other and (
        one.category == other.category or {one.category, other.category} <= MOTOR
    )


def weigh_twins(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Gives a term whose sound-alike means another thing ("abductor", "adductor") that rival,
    where the word was not heard surely."""
    swaps = vocabulary.twins
    for mark in marks:
        if not mark.terms:
            continue
        form = tuple(mark.text.split())
        unsure = {
            word: token.confidence
            for token in mark.written.tokens[mark.start : mark.end]
            if token.confidence is not None and token.confidence < vocabulary.phrases.doubt.twin
            for word in token.text.split()
        }
        for place, word in enumerate(form):
            for other in swaps.get(word, ()) if word in unsure else ():
                twin = vocabulary.terms.get((*form[:place], other, *form[place + 1 :]))
                if twin and _same_kind(twin[0], mark.terms[0]):
                    mark.rivals = (*mark.rivals, twin[0])
                    mark.rivalry = max(mark.rivalry, round(1 - unsure[word], 3))


def mend_denials(marks: list[Mark], state: State) -> None:
    """ "know ptosis" is "no ptosis", and is asked about; elsewhere the word denies nothing."""
    for at, mark in enumerate(marks):
        if not mark.has("negation.misheard"):
            continue
        after = marks[at + 1] if at + 1 < len(marks) else None
        if after is None or not after.terms or after.terms[0].category not in DENIABLE:
            mark.roles = mark.roles - {"negation", "negation.misheard"}  # "nah" stays an answer
            continue
        mark.roles = frozenset({"negation", "negation.before"})
        term = after.terms[0]
        said = f"{heard_text(mark)} {heard_text(after)}"
        question = f'"{said}": was {term.label} denied?'
        item = "" if term.is_group else f"{term.category}.{term.term_id}"
        state.doubts.append(
            Doubtful(
                "mishearing",
                True,
                question,
                item,
                "none",
                ("absent", "present"),
                [],
                (mark, after),
                rule="misheard_denial",
            )
        )
