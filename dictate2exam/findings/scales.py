"""Numbers and their scales: what a term's number grades or scores, or the reason to ask."""

from dictate2exam.findings.claims import Claim, Context, Reading, item_id, kinds_of
from dictate2exam.findings.marks import Number
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

REFLEX_WORDS = {0: "absent", 1: "reduced", 2: "normal", 3: "brisk", 4: "brisk"}


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
    said = number.text + (f"/{number.scale}" if number.scale else "")
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
            rule="power_or_sensation",
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
                item,
                "?",
                ask=f"{term.label} {said}: a reflex is graded 0 to 4; what was it?",
                rule="out_of_scale",
            )
        return Reading(item, REFLEX_WORDS[number.value])
    return _score(term, item, number, said, context)


def _power(
    term: Term, item: str, number: Number, said: str, vocabulary: Vocabulary
) -> Reading | None:
    grade = number.text
    if number.scale == 10 or number.scale == 2:
        return Reading(
            item,
            "?",
            "mrc",
            f"{term.label} {said}: power is graded out of 5; what was it?",
            rule="out_of_scale",
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
            rule="out_of_scale",
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
            rule="which_scale",
        )
    if scale == "isncsci" and number.value > 2:
        ask = f"{term.label} {said}: scores of 0 to 2 were announced; is it {number.value} of ten?"
        return Reading(
            item,
            str(number.value),
            "ten",
            ask,
            suggestions=(str(number.value),),
            rule="which_scale",
        )
    if number.value > 10:
        return Reading(
            item,
            "?",
            "ten",
            f"{term.label} {said}: a score runs from 0 to 10; what was it?",
            rule="out_of_scale",
        )
    ask = f"{term.label} {said}: is the score {number.value}?" if number.sign else ""
    return Reading(
        item, str(number.value), scale, ask, suggestions=(str(number.value),), rule="out_of_scale"
    )
