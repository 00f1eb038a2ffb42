"""A net under all readings of side: the arm that was named first, as the one that was hurt, has
hardly any of the deficits, so that some word may have turned the examination to the other."""

from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.findings.state import Doubtful, State

# So many deficits of one arm, and so many times as many as the other has, are asked about.
MANY = 6
TIMES = 6


def ask_hurt_side(state: State) -> list[Doubtful]:
    """One question over all findings of an arm that was not the one named before any of them."""
    standing = [d for d in state.drafts if not d.gone]
    # "Right" alone may have been only a word.
    limbs = [(side, mark) for side, mark in state.spoken_sides if " " in mark.text]
    if not limbs or not standing:
        return []
    hurt, mark = limbs[0]
    here = (mark.written.utterance.index, mark.start)
    first = min((m.written.utterance.index, m.start) for d in standing for m in d.marks)
    if hurt not in OPPOSITE or here >= first or state.good_side == hurt:
        return []
    other = OPPOSITE[hurt]
    deficits = [d for d in standing if d.deficit]
    there = [d for d in deficits if d.side == other]
    if len(there) < MANY or len(there) < TIMES * sum(d.side == hurt for d in deficits):
        return []
    if state.sides_asked(there):
        return []
    about = [d for d in standing if d.side == other]
    return [
        Doubtful(
            "side",
            True,
            f"The {hurt} side was named first, but what is weak or numb stands on the {other}: "
            "which side was examined?",
            about[0].item,
            other,
            (other, hurt),
            about,
            (mark,),
            rule="hurt_side",
        )
    ]
