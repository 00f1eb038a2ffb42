"""Where the tingling of a percussion shot to."""

from dictate2exam.findings import percussion
from dictate2exam.findings.line import Line

OWNERS = frozenset({"my", "me", "his", "her", "your", "their"})
DOERS = frozenset({"im", "i am", "am", "were", "we", "youre", "you are"})
TOWARDS = frozenset({"to", "into", "towards", "down to", "down"})
GOING = frozenset({"goes", "going", "went", "it goes", "runs", "travels"})


def _answered_where(line: Line, at: int) -> bool:
    """Whether a sentence tells only where it went: "yes! Down the back of the arm"."""
    before = percussion.recent(line)
    if at or line.asked or line.state.open or not before or before[-1].value != "present":
        return False
    near = line.state.sentence - before[-1].sentence <= 2
    cues = line.vocabulary.phrases.cues
    words = [word for m in line.marks for word in m.text.split()]
    while words and words[0] in cues["turn.all_the_way"]:
        words.pop(0)
    down = bool(words) and words[0] in cues["turn.down"]
    return near and (down or (line.speaker == "patient" and _only_a_place(line)))


def _only_a_place(line: Line) -> bool:
    """Whether a patient names no more than a place behind a yes: "ow, yes. Little finger"."""
    named = [m for m in line.marks if m.terms]
    plain = all(m.terms or m.text in OWNERS | {"the"} for m in line.marks)
    return plain and len(named) == 1 and named[0].terms[0].category in {"place", "area"}


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
    if mark.text in TOWARDS and _behind_positive(line, at):
        return True
    moving = mark.has("kind_values.percussion_present") or mark.text in GOING
    if not moving or ahead is None:
        return False
    return ahead.text in {"to", "into", "down", "towards"} or (
        ahead.has("part") and ahead.text.startswith("to ")
    )


def _behind_positive(line: Line, at: int) -> bool:
    """Whether a place stands behind what tapping gave: "positive, to the little finger"."""
    before = [m for m in line.marks[:at] if not m.has("pause")]
    given = bool(before) and any(word.name == "positive" for word in before[-1].values)
    after = [m for m in line.marks[at + 1 : at + 4] if not (m.light and not m.number)]
    placed = (
        bool(after) and bool(after[0].terms) and after[0].terms[0].category in {"place", "area"}
    )
    return given and placed


def _is_intended(line: Line, at: int) -> bool:
    """Whether somebody is going to do something: "I'm just going to move it"."""
    before = [m.text for m in line.marks[:at] if not (m.light and m.text not in DOERS)]
    return line.marks[at].text == "going to" and bool(before) and before[-1] in DOERS


def radiation(line: Line, at: int) -> int:
    """Where the tingling shot to: the words up to the next pause or value."""
    mark, taps = line.marks[at], line.percussion
    words: list[str] = []
    place = at if mark.terms else at + 1
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
    said = " ".join(plain).strip(" ,").removeprefix("to ").removeprefix("into ")
    return said.removeprefix("the ")
