"""A run of findings on the arm that is the good one wherever both arms were named.

"The left scapula wings. No winging on the right. Serratus on the left one; on the right five." An
examination that otherwise goes on on the right was turned there by some word before.
"""

from collections import Counter

from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Doubtful, Draft, State
from dictate2exam.units import Side

SEEN = ("sign.", "wasting.", "posture.")
GOOD = frozenset({"5", "10", "normal", "full"})
# So many findings whose side nobody said, and so many times those of the other arm. On 330
# scripts the arms of one differed so, and its 34 findings were of the other.
MANY, TIMES = 6, 2


def ask_named_weak(state: State) -> list[Doubtful]:
    """One question over all findings whose side nobody said, where they are of the good arm."""
    last: dict[tuple[str, Side], Draft] = {
        (d.item, d.side): d for d in state.drafts if not d.gone and d.side in OPPOSITE
    }
    weaker: Counter[Side] = Counter()
    for (item, side), draft in last.items():
        other = last.get((item, OPPOSITE[side]))
        named = other is not None and (draft.side_local or other.side_local)
        if other is not None and named and _is_bad(draft) and _is_good(other):
            weaker[side] += 1
    run = Counter(d.side for d in last.values() if not d.side_local)
    pairs: tuple[tuple[Side, Side], ...] = (("left", "right"), ("right", "left"))
    for weak, good in pairs:
        turned = weaker[weak] > weaker[good] and run[good] >= MANY and run[good] > TIMES * run[weak]
        about = [d for d in last.values() if d.side == good and not d.side_local and d.marks]
        if turned and about and not state.sides_asked(about):
            return [_question(about, weak, good)]
    return []


def _is_bad(draft: Draft) -> bool:
    return draft.deficit or (draft.value == "present" and draft.item.startswith(SEEN))


def _is_good(draft: Draft) -> bool:
    return draft.value in GOOD or (draft.value == "absent" and draft.item.startswith(SEEN))


def _question(about: list[Draft], weak: Side, good: Side) -> Doubtful:
    return Doubtful(
        "side",
        True,
        f"Where both arms were named the {weak} one is the weaker, but {len(about)} findings stand "
        f"on the {good}: which side was examined?",
        about[0].item,
        good,
        (weak, good),
        about,
        tuple(about[0].marks),
        rule="named_weak",
    )
