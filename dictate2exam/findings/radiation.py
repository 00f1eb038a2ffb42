"""Where the tingling of a percussion shot to."""

from dictate2exam.findings import percussion
from dictate2exam.findings.line import Line

OWNERS = frozenset({"my", "me", "his", "her", "your", "their"})
DOERS = frozenset({"im", "i am", "am", "were", "we", "youre", "you are"})
GOING = frozenset({"goes", "going", "went", "it goes", "runs", "travels"})


def _answered_where(line: Line, at: int) -> bool:
    """Whether a sentence tells only where it went: "yes! Down the back of the arm"."""
    before = percussion.recent(line)
    if at or line.asked or line.state.open or not before or before[-1].value != "present":
        return False
    near = line.state.sentence - before[-1].sentence <= 2
    first = line.marks[0].text.split()[0]
    return near and first in line.vocabulary.phrases.cues["turn.down"]


def radiates(line: Line, at: int) -> bool:
    """Whether a mark says that the tingling went somewhere: "shoots to the little finger"."""
    mark = line.marks[at]
    if line.percussion.active and _answered_where(line, at):
        return True
    if not line.percussion.active:
        return False
    if mark.has("kind_values.radiation"):
        return not _is_intended(line, at)
    ahead = line.marks[at + 1] if at + 1 < len(line.marks) else None
    moving = mark.has("kind_values.percussion_present") or mark.text in GOING
    if not moving or ahead is None:
        return False
    return ahead.text in {"to", "into", "down", "towards"} or (
        ahead.has("part") and ahead.text.startswith("to ")
    )


def _is_intended(line: Line, at: int) -> bool:
    """Whether somebody is going to do something: "I'm just going to move it"."""
    before = [m.text for m in line.marks[:at] if not (m.light and m.text not in DOERS)]
    return line.marks[at].text == "going to" and bool(before) and before[-1] in DOERS


def radiation(line: Line, at: int) -> int:
    """Where the tingling shot to: the words up to the next pause or value."""
    mark, taps = line.marks[at], line.percussion
    words: list[str] = []
    place = at + 1
    while place < len(line.marks):
        part = line.marks[place]
        if part.has("pause") or part.valued or part.text in {"but", "negative", "positive"}:
            break
        if part.terms and part.terms[0].category in {"muscle", "reflex", "sign", "movement"}:
            break
        if part.has("kind") or part.has("negation"):
            break
        if words and part.terms and part.terms[0].category == "percussion":
            break
        words.append(part.text)
        place += 1
    reached = _place(words)
    before = percussion.recent(line)
    if words and not (taps.sites or taps.made) and before and before[-1].value == "present":
        before[-1].detail.setdefault("radiates_to", reached)
        taps.followed = True
        return place
    waiting = any(s.term.category == "percussion" for s in line.state.open)
    known = bool(taps.claim or taps.sites or waiting)
    if not words or (mark.text in {"into", "down to", "towards"} and not known):
        return at + 1
    taps.radiates = reached
    if taps.claim is None and not taps.asked and not mark.scope:
        percussion.claim_present(line, at)
    for draft in taps.made:
        draft.detail.setdefault("radiates_to", reached)
    return place


def _place(words: list[str]) -> str:
    """A place as anatomy names it: whose arm it is says nothing."""
    plain = ["the" if word in OWNERS else word for text in words for word in text.split()]
    return " ".join(plain).strip(" ,").removeprefix("to ").removeprefix("the ")
