"""The closed list of items as plain data, each with the anatomy behind it."""

from typing import Any

from dictate2exam.lexicon.anatomy import Share
from dictate2exam.lexicon.items import Item
from dictate2exam.lexicon.load import Lexicon


def item_entries(lexicon: Lexicon) -> list[dict[str, Any]]:
    """One entry an item: item, kind, label, values, scales, anatomy.

    `anatomy` holds, for each part that carries shares, each root with its share of the part (low,
    mid, high; fractions of one), the segments its path runs through, and the source keys.
    """
    return [
        {
            "item": item.item_id,
            "kind": item.kind,
            "label": item.label,
            "values": list(item.values),
            "scales": list(item.scales),
            "anatomy": _anatomy(item, lexicon),
        }
        for item in lexicon.items.values()
    ]


def _anatomy(item: Item, lexicon: Lexicon) -> dict[str, Any]:
    name = item.item_id.partition(".")[2]
    if item.kind in ("power", "contraction", "wasting", "needle"):
        term = lexicon.by_id.get(("muscle", name))
        targets = (term.parts or (name,)) if term else ()
        return {t: _target(t, lexicon.anatomy.muscle_shares, lexicon) for t in targets}
    if item.kind == "sensation":
        area = f"dermatome_{name}_point" if ("level", name) in lexicon.by_id else name
        return {area: _target(area, lexicon.anatomy.sensory_shares, lexicon)}
    return {}


def _target(target: str, shares: tuple[Share, ...], lexicon: Lexicon) -> dict[str, Any]:
    return {
        share.root: {
            "share": {"low": share.low, "mid": share.mid, "high": share.high},
            "paths": [
                {"weight": path.weight, "segments": list(path.segments)}
                for path in lexicon.anatomy.paths
                if path.target == target and path.root == share.root
            ],
            "sources": list(share.sources),
        }
        for share in shares
        if share.target == target
    }
