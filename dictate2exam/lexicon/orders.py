"""The spoken orders of the live page: lexicon/phrases/orders.toml."""

from functools import lru_cache
from pathlib import Path

from dictate2exam.errors import LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml, validated

ORDERS = ("take_back", "repeat", "show_left", "answer", "pause", "go_on", "finish")


class SpokenOrder(Frozen):
    """One order: what it does in one sentence, every way of saying it, its key on the page."""

    does: str
    spoken: tuple[str, ...]
    key: str = ""


class SpokenOrders(Frozen):
    """The words of call, and each order by name."""

    call: tuple[str, ...]
    orders: dict[str, SpokenOrder]


@lru_cache(maxsize=4)
def read_orders(folder: Path) -> SpokenOrders:
    """Reads the orders; LexiconError names one that is missing, unknown or said like another."""
    content = read_toml(folder / "phrases" / "orders.toml")
    call = content.pop("call", ())
    orders = {
        name: validated(SpokenOrder, "phrases/orders.toml", name, entry)
        for name, entry in content.items()
    }
    if set(orders) != set(ORDERS) or not call:
        raise LexiconError(f"phrases/orders.toml must hold call and {', '.join(ORDERS)}.")
    said: dict[str, str] = {}
    for name, order in orders.items():
        for phrase in order.spoken:
            if said.setdefault(phrase, name) != name:
                raise LexiconError(
                    f"phrases/orders.toml: {phrase!r} means both {said[phrase]} and {name}; "
                    f"remove one."
                )
    return SpokenOrders(call=tuple(call), orders=orders)
