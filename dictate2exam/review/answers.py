"""Reads what was answered: a value, a side, an item, reject, skip, or keep."""

import re
from collections.abc import Iterable

from dictate2exam.errors import RecordError
from dictate2exam.lexicon.items import Item
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.questions import Question
from dictate2exam.review.model import Decision
from dictate2exam.units import Side

KEEP = frozenset({"keep", "yes", "confirm", "confirmed", "correct", "right as recorded"})
BOTH = frozenset({"both", "both sides", "bilateral"})


def read_answer(question: Question, answer: str, lexicon: Lexicon) -> Decision:
    """The decision in an answer; one that fits neither item nor question raises RecordError."""
    text = " ".join(answer.split())
    if text.lower() in ("skip", "reject"):
        return Decision(act=text.lower())
    if text.lower() in KEEP:
        return Decision(act="keep")
    item = ""
    sides: tuple[Side, ...] = ()
    rest: list[str] = []
    known = lexicon.items
    for part in re.split(r"[\s=]+", text):
        lower = part.lower().strip(",;")
        if lower in ("left", "right", "none"):
            sides = (*sides, _side(lower))
        elif lower in BOTH:
            sides = ("left", "right")
        elif lower in known:
            item = lower
        elif part:
            rest.append(part)
    asked = known.get(question.item)
    if rest and not item and not (asked and _value(" ".join(rest), asked)[0]):
        item, rest = _by_label(rest, question, lexicon)
    item_id = item or question.item
    value, scale = _value(" ".join(rest), known.get(item_id))
    if rest and not value:
        raise RecordError(_refusal(question, answer, known.get(item_id)))
    if not (item or sides or value):
        raise RecordError(_refusal(question, answer, known.get(item_id)))
    if question.kind == "side" and not sides and not value:
        raise RecordError(_refusal(question, answer, None))
    return Decision(act="set", item=item, value=value, scale=scale, sides=sides)


def _by_label(words: list[str], question: Question, lexicon: Lexicon) -> tuple[str, list[str]]:
    """The item whose label the words begin with, and the words left; an item of the same kind."""
    kind = question.item.partition(".")[0]
    labels: dict[str, str] = {}
    for item in lexicon.items.values():
        if item.kind == kind or not kind:
            labels.setdefault(item.label.lower(), item.item_id)
    for end in range(len(words), 0, -1):
        item_id = labels.get(" ".join(words[:end]).lower())
        if item_id:
            return item_id, words[end:]
    return "", words


def _side(text: str) -> Side:
    return "left" if text == "left" else "right" if text == "right" else "none"


def _value(text: str, item: Item | None) -> tuple[str, str]:
    """The value as the item writes it, and its scale where the answer names one."""
    value = text.strip().lower().replace(" ", "_").removeprefix("m")
    scale = ""
    if "/" in value:
        value, _, top = value.partition("/")
        scale = {"10": "ten", "2": "isncsci", "5": "mrc"}.get(top, "unknown")
        if scale == "unknown" or (item and item.scales and scale not in item.scales):
            return "", ""
    if item is None:
        return (value, scale) if value else ("", "")
    if not item.values:
        return text.strip(), ""
    return (value, scale) if value in item.values else ("", "")


def _refusal(question: Question, answer: str, item: Item | None) -> str:
    allowed: Iterable[str] = ("left", "right") if question.kind == "side" else ()
    allowed = (*allowed, *(item.values if item else ()))
    values = f"one of {', '.join(allowed)}, " if allowed else "a suggestion, "
    return (
        f"Question {question.question_id} cannot be answered with {answer!r}: answer with "
        f"{values}keep, reject or skip."
    )
