"""Marks: the stretches of a sentence that mean something, longest match first."""

from dataclasses import dataclass, field
from itertools import pairwise

from dictate2exam.lexicon.phrases import Predicate, ValueWord
from dictate2exam.lexicon.terms import Term
from dictate2exam.text.model import Written

# Categories of terms that have power.
MOTOR = frozenset({"muscle", "movement"})


@dataclass(slots=True)
class Number:
    """A number as said: `sign` is "+", "-" or empty; `scale` is what it is out of, or 0."""

    value: int
    sign: str = ""
    scale: int = 0

    @property
    def text(self) -> str:
        """As a grade or score is written, without what it is out of."""
        return f"{self.value}{self.sign}"


@dataclass(slots=True)
class Mark:
    """Tokens `start` to `end` (excluded) of one utterance and all that they may mean.

    `roles` are names of steering words; `likeness` below 1 tells that a term was misheard;
    `rivals` are terms that may have been meant instead, and `rivalry` how doubtful that makes it,
    from 0 to 1; `scope` names the talk it stands in, if any.
    """

    start: int
    end: int
    text: str
    written: Written
    roles: frozenset[str] = frozenset()
    terms: tuple[Term, ...] = ()
    values: tuple[ValueWord, ...] = ()
    predicates: tuple[Predicate, ...] = ()
    number: Number | None = None
    likeness: float = 1.0
    scope: str = ""
    reach: str = ""
    rivals: tuple[Term, ...] = ()
    rivalry: float = 0.0
    shared: list[Term] = field(default_factory=list)

    @property
    def valued(self) -> bool:
        """Whether the mark can be a value."""
        return bool(self.number or self.values or self.predicates)

    @property
    def light(self) -> bool:
        """Whether the mark only holds speech together."""
        if self.values and "list.light" in self.roles and not self.predicates:
            return not self.terms
        return not (self.terms or self.valued) and bool(
            self.roles & {"list.light", "list.copula", "list.prepose", "list.join", "list.all"}
        )

    def leave(self) -> None:
        """Makes it a word that only holds speech together."""
        self.terms, self.values, self.roles = (), (), frozenset({"list.light"})

    def has(self, role: str) -> bool:
        """Whether the mark plays a role; roles hold their first words too ("side")."""
        return role in self.roles


@dataclass
class Sentence:
    """The marks of one sentence; `asked` where a question mark closes it, `unsure` is the first
    mark of words that make it doubtful whether it was said of today's examination."""

    marks: list[Mark]
    asked: bool = False
    unsure: Mark | None = None


def next_sentence(ahead: list[Mark]) -> list[Mark]:
    """The marks up to the first stop, which is no mark itself."""
    ends = (n for n, (m, after) in enumerate(pairwise(ahead), start=1) if after.start > m.end)
    return ahead[: next(ends, len(ahead))]


def graded_alone(marks: list[Mark]) -> bool:
    """Whether a sentence says one number and nothing else: "make it zero", "so, four"."""
    said = (
        m.number or m.light or m.has("pause") or m.has("correction.settle")
        or m.has("correction.replace")
        for m in marks
    )  # fmt: skip
    return sum(1 for m in marks if m.number) == 1 and all(said)


def behind_again(marks: list[Mark], at: int) -> int:
    """The place behind a value, or behind the "again" that tells only that it was said before:
    "zero again: deltoid and biceps"."""
    again = at + 1 < len(marks) and marks[at + 1].has("correction.again_after")
    return at + 2 if again else at + 1


def without_cry(marks: list[Mark], cries: tuple[str, ...]) -> list[Mark]:
    """The marks without the cry that opens a sentence before a no: "aw, no, that's a one"."""
    at = 0
    while at < len(marks) and (marks[at].text in cries or (at and marks[at].has("pause"))):
        at += 1
    cried = 0 < at < len(marks) and marks[at].has("correction.no")
    return marks[at:] if cried else marks
