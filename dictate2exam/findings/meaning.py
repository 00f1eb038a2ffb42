"""What a term and a value make together: items with their values, or the reason to ask."""

from dataclasses import dataclass, field

from dictate2exam.findings.marks import Mark, Number
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.phrases import Predicate, ValueWord
from dictate2exam.lexicon.terms import Term

ROOTS = frozenset({"c5", "c6", "c7", "c8", "t1"})
REFLEX_WORDS = {0: "absent", 1: "reduced", 2: "normal", 3: "brisk", 4: "brisk"}
POWER_CHOICES = ("5", "4+", "4", "4-", "3", "2", "1", "0")


@dataclass(slots=True)
class Claim:
    """A value as said, before it is known of what: number, word, or word with its own kind."""

    mark: Mark
    number: Number | None = None
    words: tuple[ValueWord, ...] = ()
    predicates: tuple[Predicate, ...] = ()
    denied: bool = False
    uncertain: bool = False

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
    """One item read: `ask` is the wording of a doubt, empty where there is none; `value` "?"
    means that the item was spoken of but no value that it can take was said."""

    item: str
    value: str
    scale: str = ""
    ask: str = ""
    blocking: bool = False
    suggestions: tuple[str, ...] = ()
    detail: dict[str, str] = field(default_factory=dict)
    ambiguous: bool = False
    fallback: str = ""


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
        found = vocabulary.bare["reflex"].get(vocabulary.normaliser.words(spoken))
        if found:
            return found.term_id
    return ""


def _number_kind(term: Term, number: Number, kinds: tuple[str, ...], context: Context) -> str:
    """The kind of item that a number is about, "" where it fits none, "?" where two fit."""
    if term.category == "pulse":
        return "pulse"
    if term.category in {"sign", "posture", "bulk", "conduction", "percussion"}:
        return ""
    if term.category == "reflex":
        return "reflex"
    if term.category in {"place", "area"}:
        return "sensation"
    if term.category == "muscle":
        said = context.kind or context.topic
        if said == "reflex" and item_id_possible(kinds, "reflex") and number.scale == 0:
            return "reflex"
        return "power"
    if term.category == "movement":
        return "power"
    if "power" not in kinds:
        return "sensation"
    if number.sign or number.scale == 5:
        return "power"
    if number.scale in {10, 2} or number.value > 5:
        return "sensation"
    said = context.kind or context.heading
    return said if said in {"power", "sensation"} else "?"


def item_id_possible(kinds: tuple[str, ...], kind: str) -> bool:
    """Whether a kind is among those a term can have."""
    return kind in kinds


def read_number(
    term: Term, claim: Claim, context: Context, vocabulary: Vocabulary
) -> Reading | None:
    """A number said of a term; None where numbers mean nothing for it."""
    number = claim.number
    if number is None:
        return None
    kinds = kinds_of(term, context, vocabulary)
    kind = _number_kind(term, number, kinds, context)
    said = f"{number.value}{number.sign}" + (f"/{number.scale}" if number.scale else "")
    if kind == "?":
        return Reading(
            item=item_id(term, "sensation", vocabulary),
            value=str(number.value),
            scale=_scale_of(number, context),
            ambiguous=True,
            fallback=context.topic if context.topic in {"power", "sensation"} else "",
            ask=f"{term.label} {said}: is that power or sensation?",
            blocking=True,
            suggestions=("power", "sensation"),
        )
    item = item_id(term, kind, vocabulary) if kind else ""
    if kind == "reflex" and not item and term.category == "muscle":
        kind, item = "power", item_id(term, "power", vocabulary)
    if not item:
        return None
    if kind == "power":
        return _power(term, item, number, said, vocabulary)
    if kind == "pulse":
        value = {0: "absent", 1: "reduced"}.get(number.value, "present")
        return Reading(item, value) if number.value <= 4 else None
    if kind == "reflex":
        if number.value > 4 or number.scale not in {0, 4}:
            return Reading(
                item, "?", ask=f"{term.label} {said}: a reflex is graded 0 to 4; what was it?"
            )
        return Reading(item, REFLEX_WORDS[number.value])
    return _score(term, item, number, said, context)


def _power(
    term: Term, item: str, number: Number, said: str, vocabulary: Vocabulary
) -> Reading | None:
    grade = f"{number.value}{number.sign}"
    if number.scale == 10 or number.scale == 2:
        return Reading(
            item, "?", "mrc", f"{term.label} {said}: power is graded out of 5; what was it?"
        )
    if number.value > 5 or grade in {"0+", "0-", "1+", "1-", "5+"}:
        near = tuple(
            g for g in (f"{number.value}", "5", "4", "3") if number.value <= 5 or g != said
        )
        near = tuple(g for g in near if g in {"0", "1", "2", "3", "4", "5"})
        return Reading(
            item,
            "?",
            "mrc",
            f"{term.label} {said}: that is no grade of power (0 to 5); what was it?",
            suggestions=near[:4],
        )
    return Reading(item, grade, "mrc")


def _scale_of(number: Number, context: Context) -> str:
    """The scale of a score: the one said with it, else the one announced, else ten."""
    return {10: "ten", 2: "isncsci"}.get(number.scale, context.scale or "ten")


def _score(term: Term, item: str, number: Number, said: str, context: Context) -> Reading | None:
    scale = _scale_of(number, context)
    if number.scale in {4, 5}:
        return Reading(
            item,
            "?",
            "ten",
            f"{term.label} {said}: on which scale was sensation scored?",
            suggestions=(str(number.value * 2), str(number.value)),
        )
    if scale == "isncsci" and number.value > 2:
        ask = f"{term.label} {said}: scores of 0 to 2 were announced; is it {number.value} of ten?"
        return Reading(item, str(number.value), "ten", ask, suggestions=(str(number.value),))
    if number.value > 10:
        return Reading(
            item, "?", "ten", f"{term.label} {said}: a score runs from 0 to 10; what was it?"
        )
    ask = f"{term.label} {said}: is the score {number.value}?" if number.sign else ""
    return Reading(item, str(number.value), scale, ask, suggestions=(str(number.value),))


def read_word(term: Term, claim: Claim, context: Context, vocabulary: Vocabulary) -> Reading | None:
    """A value word said of a term; None where the word means nothing for any kind it has."""
    kinds = kinds_of(term, context, vocabulary)
    said = context.kind or context.topic
    order = list(kinds)
    if term.category == "level":
        order = ["sensation", *(k for k in kinds if k != "sensation")]
    if context.kind in order:
        order = [context.kind]
    elif said in order:
        order.remove(said)
        order.insert(0, said)
    elif term.category in {"muscle", "movement"}:
        order = order[:1]
    for word in claim.words:
        for kind in order:
            if kind in word.means:
                item = item_id(term, kind, vocabulary)
                if not item or (word.only and item not in word.only):
                    continue
                made = _word_reading(term, item, kind, word, claim)
                if made:
                    return made
    return None


def _word_reading(
    term: Term, item: str, kind: str, word: ValueWord, claim: Claim
) -> Reading | None:
    value = word.means[kind]
    text = claim.mark.text
    scale = "mrc" if kind == "power" else ""
    if claim.denied:
        flipped = {"present": "absent", "reduced": "normal", "normal": "?", "absent": "?"}
        value = flipped.get(value, "?")
        if kind == "power":
            value = "?"
        if kind == "range":
            value = {"reduced": "full", "full": "reduced"}.get(word.means[kind], "?")
        if kind == "sign" and word.means[kind] == "absent":
            value = "?"
    if claim.uncertain and kind in {"sign", "wasting"}:
        value = "uncertain"
    if value == "?":
        return Reading(
            item,
            "?",
            scale,
            f'{term.label}: "{text}" says no value; what was it?',
            suggestions=POWER_CHOICES[2:6] if kind == "power" else (),
        )
    if kind == "sensation" and value.isdigit():
        scale = "ten"
    ask = ""
    choices: tuple[str, ...] = ()
    if kind in word.ask:
        ask = f'{term.label}: "{text}"; is that {value}?'
        choices = (value,)
    detail = {"method": word.method} if word.method else {}
    return Reading(item, value, scale, ask, suggestions=choices, detail=detail)


def read_predicate(
    term: Term, claim: Claim, context: Context, vocabulary: Vocabulary
) -> Reading | None:
    """A word with its own kind (wasted, denervated, avulsed) said of a term."""
    for predicate in claim.predicates:
        if predicate.kind not in kinds_of(term, context, vocabulary):
            continue
        item = item_id(term, predicate.kind, vocabulary)
        if not item:
            continue
        value = predicate.denied if claim.denied else predicate.value
        if claim.uncertain and predicate.kind == "wasting":
            value = "uncertain"
        if claim.uncertain and predicate.kind == "contraction":
            question = f"{term.label}: a contraction was doubted; is there one?"
            return Reading(item, "?", ask=question, suggestions=("present", "absent"))
        if not value:
            return None
        return Reading(item, value)
    return None


def read_claim(
    term: Term, claim: Claim, context: Context, vocabulary: Vocabulary
) -> Reading | None:
    """The item and value that a term and a claim make, or None where they do not fit."""
    if claim.number:
        return read_number(term, claim, context, vocabulary)
    made = None
    if claim.predicates:
        made = read_predicate(term, claim, context, vocabulary)
    if made is None and claim.words:
        made = read_word(term, claim, context, vocabulary)
    return made
