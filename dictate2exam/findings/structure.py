"""Shared words and ranges: "anterior and middle deltoid", "flexor pollicis longus and brevis",
"C5 to C7" name several terms where some of their words are said once."""

from dictate2exam.findings.forms import Form
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_inside import name_around_sides
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

LEVELS = ("c3", "c4", "c5", "c6", "c7", "c8", "t1", "t2")
ARTICLES = frozenset({"the", "his", "her", "your", "both the", "either the"})
JOINERS = frozenset({"and", ",", "or", "nor", "&", "/", "-"})


def _level(mark: Mark) -> str:
    return mark.terms[0].term_id if mark.terms and mark.terms[0].category == "level" else ""


def expand_ranges(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Writes the levels between two ends of a range onto the first end's mark."""
    for at, mark in enumerate(marks):
        if not mark.has("list.range") and mark.text != "-":
            continue
        before = marks[at - 1] if at else None
        after = marks[at + 1] if at + 1 < len(marks) else None
        if before is None or after is None:
            continue
        low, high = _level(before), _level(after)
        if low and high and low in LEVELS and high in LEVELS:
            first, last = LEVELS.index(low), LEVELS.index(high)
            if first < last:
                before.shared = [
                    vocabulary.by_id[("level", name)] for name in LEVELS[first + 1 : last]
                ]
                if last == first + 1 and mark.text == "to":
                    after.roles = after.roles | {"doubted_range"}
                mark.roles = frozenset({"list.join", "list.light"})
                mark.number = None
                mark.values = ()


def _terms(vocabulary: Vocabulary, form: Form) -> tuple[Term, ...]:
    return vocabulary.terms.get(form) or vocabulary.terms.get(
        (*form[:-1], form[-1].rstrip("s")), ()
    )


def share_words(marks: list[Mark], vocabulary: Vocabulary) -> list[Mark]:
    """Marks where words left out before or after "and" have been filled in."""
    name_around_sides(marks, vocabulary)
    _share_tails(marks, vocabulary)
    _share_owner(marks, vocabulary)
    _share_finger(marks, vocabulary)
    return _share_heads(marks, vocabulary)


def _share_tails(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "flexor pollicis longus and brevis": the second takes the first words of the first, in
    "pulps of the thumb and little finger" a place too."""
    for at, mark in enumerate(marks):
        form = tuple(mark.text.split())
        if not mark.terms or len(form) < 2:
            continue
        look = at + 1
        while look + 1 < len(marks) and marks[look].text in JOINERS:
            if marks[look + 1].text in JOINERS:
                look += 1
            if look + 1 == len(marks):
                break
            of = marks[look + 1].text in {"of", "of the"} and "of" in form
            if of and look + 2 < len(marks):
                look += 1  # "The cutaneous nerves of the arm and of the forearm".
            tail = marks[look + 1]
            found: tuple[Term, ...] = ()
            several = (
                any(word.endswith("s") for word in form[: form.index("of")])
                if "of" in form
                else False
            )
            listed = several or mark.terms[0].category == "area"
            whole = several and all(term.category == "place" for term in tail.terms)
            if (not tail.terms or whole) and not tail.number:
                for cut in range(len(form) - 1, 0, -1):
                    found = _terms(vocabulary, (*form[:cut], *tail.text.split()))
                    if listed and not found:
                        found = _terms(vocabulary, (*form[:cut], *tail.text.split(), "finger"))
                    found = tuple(t for t in found if t.category == mark.terms[0].category)
                    if found:
                        break
            if not found and listed and tail.terms and tail.terms[0].category == "area":
                look += 2
                continue
            if not found:
                break
            tail.terms, tail.values, tail.roles = found, (), frozenset()
            look += 2


def _share_owner(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "The pulps of the thumb, index and little finger": every name on the list is of a pulp."""
    for at, mark in enumerate(marks[:-2]):
        of = marks[at + 1].text.split()[:1] == ["of"]
        if not of or mark.terms or mark.roles or not mark.text.isalpha():
            continue
        word = mark.text.rstrip("s")
        for other in marks[at + 2 :]:
            found: tuple[Term, ...] = ()
            if other.terms:
                found = vocabulary.terms.get((*other.text.split(), word), ())
                found = found or vocabulary.terms.get((other.text.split()[0], word), ())
            if found:
                other.terms, other.values, other.roles = found, (), frozenset()
            elif not (other.text in JOINERS or other.light):
                break


def _share_finger(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """ "Thumb, index and middle ten": on a list of fingers the word is left out."""
    for at, mark in enumerate(marks):
        if mark.terms or at < 2:
            continue
        before = marks[at - 2].terms if marks[at - 1].text in JOINERS else ()
        if marks[at - 1].has("list.prepose") and marks[at - 2].number and _closed(marks, at):
            before = next((m.terms for m in reversed(marks[:at]) if m.terms), ())
        if at > 2 and marks[at - 1].text in JOINERS and marks[at - 2].number and _closed(marks, at):
            before = marks[at - 3].terms  # "thumb nine, middle ten"
        found = vocabulary.terms.get((mark.text, "finger"), ())
        if found and before and before[0].category in {"place", "area"}:
            mark.terms, mark.values = found, ()
            mark.roles = frozenset(role for role in mark.roles if role.startswith("part"))


def _closed(marks: list[Mark], at: int) -> bool:
    """Whether no noun follows: "nine at the little", not "at the little joint"."""
    after = marks[at + 1] if at + 1 < len(marks) else None
    return after is None or after.has("pause") or after.text == "and" or bool(after.number)


def _share_heads(marks: list[Mark], vocabulary: Vocabulary) -> list[Mark]:
    """ "anterior and middle deltoid": the first takes the last words of the second."""
    out = list(marks)
    for at in range(len(marks) - 1, 0, -1):
        mark = marks[at]
        form = tuple(mark.text.split())
        if not mark.terms:
            continue
        look = at - 1
        shared = False
        while look >= 0:
            joined = False
            if _only_article(marks, look) or (shared and _after_comma(marks, look)):
                joined = marks[look].text == "and the"
                look -= 1
            while look >= 0 and (
                marks[look].text in JOINERS or marks[look].has("pause") or marks[look].text == "no"
            ):
                joined = True
                look -= 1
            if look < 0:
                break
            head = marks[look]
            if head.number or head.predicates or head.has("side"):
                break
            found: tuple[Term, ...] = ()
            for cut in range(len(form)):
                candidate = (*head.text.split(), *form[cut:])
                if len(candidate) > len(head.text.split()):
                    found = _terms(vocabulary, candidate)
                if found:
                    break
            found = found or _joined_word(head.text, form, vocabulary)
            if found and found == head.terms and joined:
                shared = True
                look -= 1
                continue
            if not found or (head.terms and not _is_head_better(head, found, joined or shared)):
                break
            if found == mark.terms or not (joined or (shared and not head.light)):
                break
            shared = True
            head.terms, head.values, head.roles = found, (), frozenset()
            look -= 1
    return out


def _only_article(marks: list[Mark], at: int) -> bool:
    """Whether an article parts two names of one list: "the biceps or the supinator jerk"."""
    if at > 1 and marks[at].text == "and the":
        return marks[at - 2].text.split()[-1] in ARTICLES
    if at < 2 or marks[at].text not in ARTICLES:
        return False
    joiner = marks[at - 1].text
    return joiner in {"or", "nor"} or (
        joiner == "and" and at > 2 and marks[at - 3].text in ARTICLES
    )


def _after_comma(marks: list[Mark], at: int) -> bool:
    """Whether an article stands behind the comma of a list: "the anterior, the middle and the
    posterior deltoid"."""
    return at > 1 and marks[at].text in ARTICLES and marks[at - 1].text == ","


def _is_head_better(head: Mark, found: tuple[Term, ...], joined: bool) -> bool:
    """A term by itself gives way only to a longer name of another category (biceps and triceps
    jerks) or to a part of the same whole."""
    categories = {term.category for term in head.terms}
    return joined and all(term.category not in categories for term in found)


def _joined_word(head: str, form: Form, vocabulary: Vocabulary) -> tuple[Term, ...]:
    """ "supra and infraspinatus": the ending of the word is shared."""
    if " " in head or len(head) < 3:
        return ()
    for cut in range(3, len(form[0]) - 3):
        found = vocabulary.terms.get((head + form[0][cut:], *form[1:]))
        if found:
            return found
    return ()
