"""The closed list of items: every item id with its values and scale, built from the terms."""

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.terms import Term

MRC_VALUES = ("0", "1", "2-", "2", "2+", "3-", "3", "3+", "4-", "4", "4+", "5-", "5", "not_tested")
TEN_VALUES = tuple(str(n) for n in range(11))
SENSATION_WORDS = ("normal", "reduced", "absent", "increased", "not_tested")
SIGN_VALUES = ("present", "absent", "uncertain", "not_tested")
REFLEX_VALUES = ("absent", "reduced", "normal", "brisk", "not_tested")
ROOTS = ("c5", "c6", "c7", "c8", "t1")


class Item(Frozen):
    """One thing that can be found: `kind` is the part of the id before the first dot."""

    item_id: str
    kind: str
    label: str
    values: tuple[str, ...]
    scales: tuple[str, ...] = ()


def _item(kind: str, name: str, label: str, values: tuple[str, ...], *scales: str) -> Item:
    return Item(item_id=f"{kind}.{name}", kind=kind, label=label, values=values, scales=scales)


def _of_term(term: Term) -> list[Item]:
    name, label = term.term_id, term.label
    if term.category == "muscle":
        return [
            _item("power", name, label, MRC_VALUES, "mrc"),
            _item("contraction", name, f"contraction of {label}", ("present", "absent")),
            _item("wasting", name, f"wasting of {label}", ("present", "absent", "uncertain")),
            _item("needle", name, f"needle study of {label}", ("normal", "denervated")),
        ]
    if term.category == "movement":
        return [
            _item("power", name, label, MRC_VALUES, "mrc"),
            _item("range", name, f"passive {label}", ("full", "reduced")),
        ]
    if term.category == "level":
        made = [
            _item(
                "sensation",
                name,
                f"{label} sensation",
                TEN_VALUES + SENSATION_WORDS,
                "ten",
                "isncsci",
            ),
        ]
        if name in ROOTS:
            made += [
                _item("power", name, f"{label} power", MRC_VALUES, "mrc"),
                _item(
                    "needle",
                    f"paraspinal_{name}",
                    f"{label} paraspinal needle study",
                    ("normal", "denervated"),
                ),
                _item(
                    "imaging",
                    name,
                    f"{label} root on imaging",
                    ("intact", "avulsed", "pseudomeningocele", "not_seen"),
                ),
            ]
        return made
    if term.category == "area":
        return [_item("sensation", name, label, TEN_VALUES + SENSATION_WORDS, "ten", "isncsci")]
    simple: dict[str, tuple[str, tuple[str, ...]]] = {
        "sign": ("sign", SIGN_VALUES),
        "posture": ("posture", ("present", "absent")),
        "reflex": ("reflex", REFLEX_VALUES),
        "pulse": ("pulse", ("present", "reduced", "absent")),
        "bulk": ("wasting", ("present", "absent", "uncertain")),
        "conduction": ("conduction", ("normal", "reduced", "absent")),
        "context": ("context", ()),
    }
    if term.category == "percussion":
        return [_item("sign", f"percussion.{name}", label, SIGN_VALUES)]
    if term.category in simple:
        kind, values = simple[term.category]
        if term.category == "bulk":
            label = f"wasting of {label}"
        return [_item(kind, name, label, values)]
    return []  # a place has no item of its own: it means a level


def build_items(terms: tuple[Term, ...]) -> list[Item]:
    """Every item that the terms make, in the order of the terms; groups make none."""
    return [item for term in terms if not term.is_group for item in _of_term(term)]
