"""Names that a side cuts: "abduction of the left thumb", "sternal head of the right pec major"."""

from dictate2exam.findings.forms import Form
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

SIDES = frozenset({"left", "right"})
OWNERS = frozenset({"the", "his", "her", "your", "my", "patients"})
NAMED = frozenset({"muscle", "movement"})
# So many marks may name the part before "of": "middle and lower fibres" is one already.
LONGEST = 3


def name_around_sides(marks: list[Mark], vocabulary: Vocabulary) -> None:
    """Names what is said before "of the left" together with what is said behind it."""
    for at, mark in enumerate(marks[:-1]):
        if at < 2 or mark.text not in SIDES:
            continue
        link = at - 1
        if marks[link].text in OWNERS:
            link -= 1
        if link < 1 or marks[link].text.split()[0] != "of":
            continue
        owner = tuple(marks[at + 1].text.split())
        found, size = _longest(marks[max(0, link - LONGEST) : link], owner, vocabulary)
        if not found or found == marks[at + 1].terms:
            continue
        first = link - size
        marks[first].terms, marks[first].values, marks[first].roles = found, (), frozenset()
        for other in (*marks[first + 1 : link], marks[at + 1]):
            other.terms, other.values = (), ()
            other.roles = frozenset({"list.light"})


def _longest(
    before: list[Mark], owner: Form, vocabulary: Vocabulary
) -> tuple[tuple[Term, ...], int]:
    """The term made of as many of the marks before "of" as possible, and how many."""
    for size in range(len(before), 0, -1):
        head = tuple(word for mark in before[-size:] for word in mark.text.split())
        head = head[1:] if head[0] in OWNERS else head
        for link in (("of", "the"), ("of",)):
            found = vocabulary.terms.get((*head, *link, *owner), ())
            if found and found[0].category in NAMED:
                return found, size
    return (), 0
