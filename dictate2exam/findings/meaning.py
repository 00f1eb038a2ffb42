"""What a term and a value make together: items with their values, or the reason to ask."""

from dictate2exam.findings.claims import Claim, Context, Reading, item_id, kinds_of
from dictate2exam.findings.scales import read_number
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.phrases import ValueWord
from dictate2exam.lexicon.terms import Term

# Denied, these say that nothing is there.
THERE = frozenset({"present", "root_seen"})
POWER_CHOICES = ("5", "4+", "4", "4-", "3", "2", "1", "0")


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
        if word.name == "spared" and term.category == "level" and said != "sensation":
            continue
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
        elif word.name in THERE:
            value = "not_seen" if kind == "imaging" else "absent"
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
    return Reading(
        item, value, scale, ask, suggestions=choices, detail=detail, rule="doubtful_word"
    )


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
            return Reading(
                item, "?", ask=question, suggestions=("present", "absent"), rule="doubt_alone"
            )
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
