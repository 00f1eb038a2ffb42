"""What is wrong with the words of the live page: spoken orders, chart, consent."""

import string
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.chart import read_plan
from dictate2exam.lexicon.consent import PLACE, read_consent
from dictate2exam.lexicon.items import build_items
from dictate2exam.lexicon.orders import read_orders
from dictate2exam.lexicon.terms import Term


def check_live(folder: Path, terms: tuple[Term, ...]) -> Iterator[str]:
    """Every problem as one sentence; `terms` are those of the lexicon."""
    yield from _tried(lambda: _orders(folder, terms))
    yield from _tried(lambda: _chart(folder, terms))
    yield from _tried(lambda: _consent(folder))


def _tried(check: Callable[[], Iterable[str]]) -> Iterator[str]:
    try:
        yield from check()
    except LexiconError as error:
        yield str(error)


def _orders(folder: Path, terms: tuple[Term, ...]) -> Iterator[str]:
    """An order is told from a finding by its word of call, a key from another by itself."""
    known = read_orders(folder)
    words = {word for term in terms for form in term.spoken for word in form.split()}
    for call in known.call:
        if call in words:
            yield (
                f"phrases/orders.toml: the word of call {call!r} is a word of the examination too; "
                f"choose another."
            )
    keys: dict[str, list[str]] = defaultdict(list)
    for name, order in known.orders.items():
        if not order.spoken:
            yield f"phrases/orders.toml, {name}: no way of saying it; add one to spoken."
        if order.key:
            keys[order.key].append(name)
    for key, names in keys.items():
        if len(names) > 1:
            yield f"phrases/orders.toml: the key {key!r} means {' and '.join(names)}; change one."


def _chart(folder: Path, terms: tuple[Term, ...]) -> Iterator[str]:
    """Every item has its place, and short words are given to values that there are."""
    items = build_items(terms)
    plan = read_plan(folder, {item.item_id: item for item in items}, terms)
    values: dict[str, set[str]] = defaultdict(set)
    for item in items:
        values[item.item_id.partition(".")[0]].update(item.values)
    for table, words in (("words", plan.words), ("beside", plan.beside)):
        for kind, shown in words.items():
            for value in shown:
                if value not in values[kind]:
                    yield (
                        f"chart.toml, {table}.{kind}: {value!r} is no value of any item of that "
                        f"kind; correct it or leave it out."
                    )


def _consent(folder: Path) -> Iterator[str]:
    """Sentences, a question and a version; only the folder is filled in."""
    words = read_consent(folder, Path(PLACE))
    for name, text in (("version", words.version), ("question", words.question)):
        if not text.strip():
            yield f"consent.toml: {name} is empty; fill it in."
    if not any(PLACE in sentence for sentence in words.sentences):
        yield f"consent.toml: no sentence says where it is stored; write {PLACE} in one."
    for sentence in (*words.sentences, words.question):
        for name in _placeholders(sentence):
            if f"{{{name}}}" != PLACE:
                yield f"consent.toml: {{{name}}} is never filled in; only {PLACE} is."


def _placeholders(text: str) -> list[str]:
    try:
        return [name for _, name, _, _ in string.Formatter().parse(text) if name is not None]
    except ValueError:
        return []
