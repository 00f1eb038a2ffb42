"""Parts named without their whole: "deltoid: front one, middle two", "5 in the clavicular head"."""

from itertools import takewhile

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.parts import POINTING, walks
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

# Sentences for which a whole that was named stays the one whose parts are spoken of.
STAYS = 3
HIGHEST_GRADE = 5
ALL_PARTS = frozenset({"all", "every", "each"})
PART_NOUNS = frozenset(
    {
        "part",
        "head",
        "parts",
        "heads",
        "portions",
        "fibres",
        "fibers",
        "thirds",
        "halves",
        "bits",
        "bellies",
    }
)
# Marks of "to the" before a finger.
LINK = 2
# Words by which a grade before them is given to the part after them.
GIVEN = frozenset({"in", "of", "for", "to", "at", "on", "over"})


def name_parts(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Gives bare words for parts their term, and makes a whole that only heads its parts silent."""
    for at, mark in enumerate(marks):
        if _is_finger_of(marks, at, vocabulary):
            mark.leave()
            continue
        if _of_the_next(marks, at, vocabulary):
            continue
        behind = not mark.has("part_after") or (at > 0 and marks[at - 1].valued)
        alone = _stands_alone(marks, at) and not _place_of_test(marks, at)
        alone = alone and not (at and marks[at - 1].text in POINTING)
        alone = alone and not (
            marks[at + 1 : at + 2] and marks[at + 1].has("pause") and walks(marks, at)
        )
        if mark.has("part") and behind and alone:
            found = _part(mark, _ahead(marks, at), vocabulary) or _part(
                mark, None if _asks_skin(marks, state) else _recent(state), vocabulary
            )
            if found is not None and (not mark.terms or _of_whole(marks, at, state, vocabulary)):
                if _names_on(marks, at, found):
                    mark.leave()
                    continue
                mark.terms, mark.values = (found,), ()
                mark.roles = frozenset({"part"}) | (mark.roles & {"part_after"})
                if at + 1 < len(marks) and marks[at + 1].has("part_noun"):
                    marks[at + 1].values, marks[at + 1].roles = (), frozenset({"list.light"})
        if not mark.terms and mark.has("list.rest"):
            _name_rest(marks, at, state, vocabulary)
        if not mark.terms:
            continue
        term = mark.terms[0]
        if _has_parts(term, vocabulary):
            state.whole, state.whole_since = term, state.sentence
        elif term.category == "muscle" and not _within(term, state.whole, vocabulary):
            wholes = sorted(
                vocabulary.groups_of.get(term.term_id, ()),
                key=lambda whole: term.term_id not in (whole.members or ()),
            )
            spoken = f"part.{term.term_id}" in vocabulary.roles
            state.whole = next((w for w in wholes if spoken and _has_parts(w, vocabulary)), None)
            state.whole_since = state.sentence
        elif term.category == "muscle":
            state.whole_since = state.sentence
    for at, mark in enumerate(marks):
        if mark.terms and _has_parts(mark.terms[0], vocabulary):
            _all_parts(marks, at, vocabulary)
    for at, mark in enumerate(marks):
        if mark.terms and _has_parts(mark.terms[0], vocabulary):
            _parts_behind(marks, at, vocabulary)
    for at, mark in enumerate(marks):
        if mark.terms and mark.terms[0].category == "muscle":
            _kinds_behind(marks, at, vocabulary)
    for at, mark in enumerate(marks):
        if mark.terms and _has_parts(mark.terms[0], vocabulary) and _heads(marks, at, vocabulary):
            mark.terms, mark.shared = (), []
            mark.roles = frozenset({"list.light"})


def _of_the_next(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """ "In the middle deltoid": the name behind the words is that of the part; True if it was."""
    after = marks[at + 1] if at + 1 < len(marks) else None
    if not marks[at].has("part_after") or after is None or not after.terms:
        return False
    found = (
        _part(marks[at], after.terms[0], vocabulary)
        if _has_parts(after.terms[0], vocabulary)
        else None
    )
    if found is None:
        return False
    after.terms = (found,)
    marks[at].terms, marks[at].roles = (), frozenset({"list.light", "list.prepose"})
    return True


def _all_parts(marks: list[Mark], at: int, vocabulary: Vocabulary) -> None:
    """ "Deltoid five in all three heads", "all three parts of the deltoid": each is graded."""
    whole = marks[at].terms[0]
    members = [*(whole.members or ()), *whole.parts]
    if any(m.has("part") and m.terms and _within(m.terms[0], whole, vocabulary) for m in marks):
        return  # "deltoid, its three parts in turn: three anteriorly, two behind"
    before = [m for m in marks[max(0, at - 6) : at] if m.text not in {"of", "the"}][-3:]
    for said in (before, marks[at + 1 :]):
        size = _counted(said, len(members), behind=said is before)
        if not size:
            continue
        parts = [vocabulary.by_id[(whole.category, name)] for name in members]
        marks[at].terms, marks[at].shared = (parts[0],), [*parts[1:], *marks[at].shared]
        marks[at].roles = frozenset({"part"})
        for mark in size:
            mark.number, mark.values, mark.terms = None, (), ()
            mark.roles = frozenset({"list.light"})
        return


def _parts_behind(marks: list[Mark], at: int, vocabulary: Vocabulary) -> None:
    """ "The deltoid was five, anterior, middle and posterior": the value is of each part."""
    whole, listed = marks[at].terms[0], []
    said = next((n for n in range(at + 1, len(marks)) if marks[n].valued), -1)
    if said < 0 or any(m.terms for m in marks[at + 1 : said]):
        return
    rest = marks[said + 1 :]
    first = next((n for n, m in enumerate(rest) if m.terms), 0)
    if not any(m.has("pause") for m in rest[:first]):
        return
    for mark in rest:
        if mark.terms and _within(mark.terms[0], whole, vocabulary):
            listed.append(mark)
            continue
        linking = mark.light or mark.has("pause") or mark.has("list")
        if mark.terms or mark.valued or mark.has("side") or not linking:
            return
    if len(listed) < 2:
        return
    parts = [term for mark in listed for term in mark.terms]
    marks[at].terms, marks[at].shared = (parts[0],), [*parts[1:], *marks[at].shared]
    marks[at].roles = frozenset({"part"})
    for mark in listed:
        mark.leave()


def _kinds_behind(marks: list[Mark], at: int, vocabulary: Vocabulary) -> None:
    """ "Interossei zero, dorsal and palmar": words behind the value name the muscles it is of."""
    name, listed = marks[at].text.split()[-1:], []
    said = next((n for n in range(at + 1, len(marks)) if marks[n].valued), -1)
    rest = marks[said + 1 :]
    if said < 0 or any(m.terms for m in marks[at + 1 : said]):
        return
    if not (rest and rest[0].has("pause")):
        return
    for mark in rest:
        words = mark.text.split()
        whole = mark.terms if words[-1:] == name else ()
        found = whole or vocabulary.terms.get((*words, *name))
        found = found or vocabulary.terms.get((*name, *words), ())
        if found and found[0].category == "muscle" and not mark.valued:
            listed.append((mark, found[0]))
        elif mark.valued or mark.terms or mark.has("side") or not (mark.light or mark.has("pause")):
            return
    if len(listed) < 2:
        return
    marks[at].terms, marks[at].shared = (listed[0][1],), [term for _, term in listed[1:]]
    for mark, _ in listed:
        mark.leave()


def _counted(said: list[Mark], count: int, behind: bool) -> list[Mark]:
    """The marks that count all parts of a whole: "three heads", "both halves"."""
    for place, mark in enumerate(said):
        if mark.terms and not behind:
            return []
        noun = mark.text.split()[-1] in PART_NOUNS or mark.has("part_noun")
        counter = said[place - 1] if place else None
        if not noun or counter is None:
            continue
        number = counter.text.split()[-1]
        counts = number in ALL_PARTS | {str(count), *(("both",) if count == 2 else ())}
        if counts:
            return [counter, mark]
    return []


def _name_rest(marks: list[Mark], at: int, state: State, vocabulary: Vocabulary) -> None:
    """ "Upper fibres four, the rest five": the rest are the parts that were not named here."""
    whole = _recent(state)
    named = {m.terms[0].term_id for m in marks[:at] if m.terms}
    if whole is None or not _stands_alone(marks, at):
        return
    members = [*(whole.members or ()), *whole.parts]
    if not named & set(members) or named - set(members) - {whole.term_id}:
        return
    rest = [vocabulary.by_id[(whole.category, name)] for name in members if name not in named]
    if rest:
        marks[at].terms, marks[at].shared = (rest[0],), rest[1:]
        marks[at].roles, marks[at].values = frozenset({"part"}), ()


def _stands_alone(marks: list[Mark], at: int) -> bool:
    """Whether no other noun follows the word: "upper five", not "upper limb reflexes"."""
    following = marks[at + 2] if at + 2 < len(marks) else None
    if following is not None and following.valued and not marks[at + 1].terms:
        return True
    for mark in marks[at + 1 :]:
        if mark.has("list.copula") or mark.has("pause") or mark.has("part") or mark.valued:
            return True
        if mark.has("side") and not mark.terms and marks[marks.index(mark) - 1].has("list.prepose"):
            continue
        if mark.terms or mark.has("side"):
            return bool(mark.terms) and _has_parts_named(marks, at)
        if not (mark.light or mark.has("part_noun") or mark.has("hedge")):
            return False
    return True


def _place_of_test(marks: list[Mark], at: int) -> bool:
    """Whether the word only tells how something was tested: "deltoid, tested low at the side"."""
    back = at - 1
    while back >= 0 and (marks[back].light and not marks[back].has("pause")):
        back -= 1
    placed = any(m.has("list.prepose") for m in marks[back + 1 : at])
    before = marks[back] if back >= 0 else None
    if not placed or before is None or before.terms or before.valued or before.has("pause"):
        return False
    return not (before.has("part") or before.has("side"))


def _has_parts_named(marks: list[Mark], at: int) -> bool:
    """Whether "of" joins the word to the whole after it."""
    return any("of" in m.text.split() for m in marks[at + 1 :])


def _names_on(marks: list[Mark], at: int, part: Term) -> bool:
    """Whether the part was named by another of its words just before: "index and middle"."""
    joined = at > 1 and marks[at - 1].text in {"and", ",", "&"}
    return joined and marks[at - 2].terms == (part,)


def _is_finger_of(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """Whether a finger only tells which slip of a muscle without parts was tested:
    "superficialis to the middle finger four"."""
    mark = marks[at]
    finger = mark.has("part") and bool(mark.terms) and mark.terms[0].category in {"place", "area"}
    link = [m for m in marks[max(0, at - LINK) : at] if m.text != "the"]
    if not finger or not link or link[-1].text.split()[0] not in {"to", "of"}:
        return False
    owner = marks[marks.index(link[-1]) - 1] if marks.index(link[-1]) else None
    if owner is None or not owner.terms or owner.terms[0].category != "muscle":
        return False
    return not _has_parts(owner.terms[0], vocabulary)


def _of_whole(marks: list[Mark], at: int, state: State, vocabulary: Vocabulary) -> bool:
    """Whether a finger that has skin of its own is said of the muscle: "FDP five to index"."""
    if state.whole is None or marks[at].terms[0].category not in {"place", "area"}:
        return False
    if _listed_under(marks, at, state, vocabulary):
        return True
    link = [m for m in marks[max(0, at - 2) : at] if m.text != "the"]
    joined = bool(link) and link[-1].text.split()[0] in {"to", "in", "of", "for", "and"}
    before = [m.terms[0] for m in marks[:at] if m.terms and m.terms[0].category != "place"]
    return joined and bool(before) and before[-1].category == "muscle"


def _listed_under(marks: list[Mark], at: int, state: State, vocabulary: Vocabulary) -> bool:
    """Whether a finger goes on the list of a muscle's parts: "FDP: index five, little three", also
    where their grade stands alone behind a stop: "FDP, index and middle. One"."""
    whole = state.whole
    last = next((p for p in range(at - 1, -1, -1) if marks[p].terms), -1)
    if last < 0 or any(m.has("kind.sensation") or m.has("modality") for m in marks):
        return False
    owner = marks[last].terms[0]
    if owner != whole and not _within(owner, whole, vocabulary):
        return False
    behind = [*marks[at + 1 :], *takewhile(lambda m: not m.terms, state.ahead)]
    ahead = next((m for m in behind if m.valued), None)
    if ahead is None or (ahead.number is not None and ahead.number.value > HIGHEST_GRADE):
        return False
    gap = marks[last + 1 : at]
    listed = any(m.has("pause") for m in gap)
    return listed and all(m.light or m.has("pause") or m.valued for m in gap)


def _asks_skin(marks: list[Mark], state: State) -> bool:
    """Whether a finger is asked about while touch is examined, and no muscle beside it."""
    asked = any(m.scope == "question" for m in marks)
    named = any(m.terms and m.terms[0].category == "muscle" for m in marks)
    return asked and not named and state.context.topic == "sensation"


def _recent(state: State) -> Term | None:
    near = state.sentence - state.whole_since <= STAYS
    return state.whole if near else None


def _part(mark: Mark, whole: Term | None, vocabulary: Vocabulary) -> Term | None:
    """The part of this whole that the mark's words stand for."""
    for role in sorted(mark.roles):
        head, _, name = role.partition(".")
        part = vocabulary.by_id.get(("muscle", name)) if head == "part" and name else None
        if part is not None and whole is not None and _within(part, whole, vocabulary):
            return part
    return None


def _within(part: Term, whole: Term | None, vocabulary: Vocabulary) -> bool:
    return whole is not None and any(
        one.category == whole.category and one.term_id == whole.term_id
        for one in vocabulary.groups_of.get(part.term_id, ())
    )


def _has_parts(term: Term, vocabulary: Vocabulary) -> bool:
    """Whether the term is a whole whose parts have words of their own."""
    members = (*(term.members or ()), *term.parts)
    return term.category == "muscle" and any(f"part.{name}" in vocabulary.roles for name in members)


def _ahead(marks: list[Mark], at: int) -> Term | None:
    """The whole that follows its parts: "the anterior and middle parts of deltoid"."""
    of = False
    for mark in marks[at + 1 :]:
        of = of or "of" in mark.text.split()
        if mark.terms:
            return mark.terms[0] if of else None
        if not (mark.light or mark.has("part") or mark.text == ","):
            return None
    return None


def _closes_parts(marks: list[Mark], at: int, whole: Term, vocabulary: Vocabulary) -> bool:
    """Whether the whole only ends the name of its parts: "the front and middle of the deltoid"."""
    of = False
    for mark in reversed(marks[:at]):
        if mark.terms:
            return of and _within(mark.terms[0], whole, vocabulary)
        if not (mark.light or mark.text == ","):
            return False
        of = of or "of" in mark.text.split()
    return False


def _heads(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """Whether the whole has no value of its own and its parts are named beside it."""
    whole = marks[at].terms[0]
    if _closes_parts(marks, at, whole, vocabulary):
        return True
    own = {word for form in whole.spoken for word in form.split()}
    valued = -1
    for place in range(at + 1, len(marks)):
        mark = marks[place]
        if mark.valued and not mark.light and not mark.terms:
            if valued >= 0:
                return False
            valued = place
        if not mark.terms:
            continue
        bare = not own & set(mark.text.split()) or mark.has("part")
        if not (bare and _within(mark.terms[0], whole, vocabulary)):
            return False
        gap = marks[valued + 1 : place]
        joined = any(m.text.split()[0] in GIVEN for m in [*gap, mark])
        joined = joined or mark.has("part_after")
        return valued < 0 or joined
    return False
