"""Claims and readings: a value as said, what it becomes of an item, and which items a term has."""

from dataclasses import dataclass, field

from dictate2exam.findings.marks import Mark, Number
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.phrases import Predicate, ValueWord
from dictate2exam.lexicon.terms import Term
from dictate2exam.questions import DoubtRule

ROOTS = frozenset({"c5", "c6", "c7", "c8", "t1"})


@dataclass(slots=True)
class Claim:
    """A value as said, before it is known of what: number, word, or word with its own kind."""

    mark: Mark
    number: Number | None = None
    words: tuple[ValueWord, ...] = ()
    predicates: tuple[Predicate, ...] = ()
    denied: bool = False
    uncertain: bool = False

    @classmethod
    def of(cls, mark: Mark) -> "Claim":
        """All that a mark says as a value."""
        return cls(mark, mark.number, mark.values, mark.predicates)

    @property
    def kind(self) -> str:
        """The kind of item the words bring along, or empty."""
        return self.predicates[0].kind if self.predicates else ""

    @property
    def strong(self) -> bool:
        """Whether it can be nothing but a grade or score."""
        return bool(self.number and (self.number.sign or self.number.scale))


@dataclass(slots=True)
class Reading:
    """One item read: `ask` is the wording of a doubt, empty where there is none, and `rule` the
    rule of it; `value` "?" means that the item was spoken of but no value that it can take was
    said."""

    item: str
    value: str
    scale: str = ""
    ask: str = ""
    blocking: bool = False
    suggestions: tuple[str, ...] = ()
    detail: dict[str, str] = field(default_factory=dict)
    ambiguous: bool = False
    fallback: str = ""
    rule: DoubtRule = "no_value"


@dataclass(slots=True)
class Context:
    """What speech has set: `kind` of this clause, `topic` carried on, `heading` that announced the
    topic where nothing else came since, sensory scale in use."""

    kind: str = ""
    topic: str = ""
    heading: str = ""
    scale: str = ""
    site: Term | None = None


def kinds_of(term: Term, context: Context, vocabulary: Vocabulary) -> tuple[str, ...]:
    """The kinds of item a term can have, likeliest first where nothing else is said."""
    match term.category:
        case "muscle":
            return ("power", "wasting", "contraction", "needle", "reflex")
        case "movement":
            return ("power", "range")
        case "level":
            if term.term_id in ROOTS:
                return ("power", "sensation", "needle", "imaging")
            return ("sensation",)
        case "place" | "area":
            return ("sensation",)
        case "sign" | "percussion":
            return ("sign",)
        case "bulk":
            return ("wasting",)
        case category:
            return (category,)


def item_id(term: Term, kind: str, vocabulary: Vocabulary) -> str:
    """The id of a term's item of a kind, or empty where the closed list has none."""
    name = term.term_id
    if term.category == "place":
        name = term.means
    elif term.category == "percussion":
        name = f"percussion.{name}"
    elif kind == "reflex" and term.category == "muscle":
        name = _bare_reflex(term, vocabulary)
    elif kind == "needle" and term.category == "level":
        name = f"paraspinal_{name}"
    full = f"{kind}.{name}"
    return full if full in vocabulary.items else ""


def _bare_reflex(term: Term, vocabulary: Vocabulary) -> str:
    for spoken in term.spoken:
        found = vocabulary.bare["reflex"].get(vocabulary.form_of(spoken))
        if found:
            return found.term_id
    return ""
