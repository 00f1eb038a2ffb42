"""How items, sides and times are written for a reader."""

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.units import Seconds, Side


def label_of(item: str, lexicon: Lexicon) -> str:
    """The item's name in words, with the kind where the label alone would not say it."""
    known = lexicon.items.get(item)
    if known is None:
        return item
    if known.kind == "sensation" and "sensation" not in known.label:
        return f"{known.label} sensation"
    return known.label


def name_of(item: str, side: Side, lexicon: Lexicon) -> str:
    """The item and its side, beginning with a capital letter."""
    label = label_of(item, lexicon)
    where = f", {side}" if side != "none" else ""
    return f"{label[:1].upper()}{label[1:]}{where}"


def clock(seconds: Seconds) -> str:
    """Minutes and seconds as m:ss."""
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"
