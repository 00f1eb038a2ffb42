"""Percussion: where it was tapped, what it gave, and where it shot to, in any order of saying."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.meaning import Claim
from dictate2exam.findings.state import Draft, Subject
from dictate2exam.lexicon.terms import Term

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


@dataclass
class Taps:
    """What one sentence has said about tapping so far."""

    active: bool = False
    named: Mark | None = None
    sites: list[tuple[Term, Mark]] = field(default_factory=list)
    claim: Claim | None = None
    radiates: str = ""
    made: list[Draft] = field(default_factory=list)
    asked: bool = False

    def takes(self, line: Line, claim: Claim) -> bool:
        """Whether a value said now is about the tapping."""
        if not (self.active and claim.words):
            return False
        if not any("sign" in word.means and not word.only for word in claim.words):
            return False
        if line.state.open and not self.sites and self.named is None:
            return False
        if line.speaker == "patient" or self.named or self.sites:
            return True
        if any(w.name in {"positive", "negative"} for w in claim.words):
            return True
        later = line.marks[line.marks.index(claim.mark) + 1 :]
        site = next((m for m in later if m.terms), None)
        return site is not None and site.terms[0].category == "percussion"


def start(line: Line, at: int) -> None:
    """A word for tapping: sites count from now on."""
    mark, taps = line.marks[at], line.percussion
    _flush_pair(line)
    taps.active = True
    taps.named = mark
    if not taps.sites:
        taps.sites = _named_before(line, at)
    taps.asked = taps.asked or mark.scope in {"plan", "question", "instruction"}
    line.state.context.topic = "percussion"
    if line.denial is not None and line.denial in line.marks[:at]:
        words = tuple(w for w in line.vocabulary.phrases.values if w.name == "absent")
        taps.claim = Claim(line.denial, words=words)


def _named_before(line: Line, at: int) -> list[tuple[Term, Mark]]:
    """The site said just before the sign: "supraclavicular Tinel", "over the clavicle, Tinel's"."""
    for mark in reversed(line.marks[:at]):
        sites = [t for t in mark.terms if t.category == "percussion" and not t.is_group]
        if sites:
            return [(sites[0], mark)]
        if mark.terms or mark.valued:
            return []
    return []


def term(line: Line, at: int, site: Term) -> int:
    """A site, or the name of the sign itself."""
    mark, taps = line.marks[at], line.percussion
    if site.is_group:
        pre = line.pre
        start(line, at)
        if pre is not None and pre.words:
            taps.claim, line.pre = pre, None
        return at + 1
    if taps.claim is not None and taps.sites and taps.made:
        taps.sites, taps.claim, taps.made = [], None, []
    if taps.claim is not None and taps.sites and not _listed(line, taps.sites[-1][1], at):
        _emit(line)
        taps.sites, taps.claim, taps.made = [], None, []
    taps.sites.append((site, mark))
    taps.asked = taps.asked or mark.scope in {"plan", "question"}
    return at + 1


def claim(line: Line, at: int, said: Claim) -> None:
    """A value about the tapping."""
    taps = line.percussion
    if taps.claim is not None and taps.sites and not taps.made:
        _emit(line)
        taps.sites, taps.claim, taps.made = [], None, []
    elif taps.claim is not None and taps.made:
        taps.sites, taps.made = [], []
    taps.claim = said
    if taps.sites:
        _emit(line)


def claim_present(line: Line, at: int) -> None:
    """Tingling says that the sign is there, or that it is not where it was denied."""
    mark, taps = line.marks[at], line.percussion
    denied = line.denial is not None
    if mark.scope:
        taps.asked = True
        return
    if taps.claim is not None and taps.made:
        return
    name = "absent" if denied else "present"
    words = tuple(w for w in line.vocabulary.phrases.values if w.name == name)
    if taps.claim is None or denied:
        claim(line, at, Claim(mark, words=words))


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
    reached = (
        " ".join(words).strip(" ,").removeprefix("the ").removeprefix("his ").removeprefix("her ")
    )
    waiting = any(s.term.category == "percussion" for s in line.state.open)
    known = bool(taps.claim or taps.sites or waiting)
    if not words or (mark.text in {"into", "down to", "towards"} and not known):
        return at + 1
    taps.radiates = reached
    if taps.claim is None and not taps.asked and not mark.scope:
        claim_present(line, at)
    for draft in taps.made:
        draft.detail.setdefault("radiates_to", reached)
    return place


def _emit(line: Line) -> None:
    taps, state = line.percussion, line.state
    if taps.claim is None:
        return
    subjects = [Subject(site, mark, sentence=state.sentence) for site, mark in taps.sites]
    made = assign(line, taps.claim, subjects, rule="percussion") or []
    for draft in made:
        if taps.radiates and draft.value == "present":
            draft.detail["radiates_to"] = taps.radiates
        if taps.named is not None:
            draft.marks = [taps.named, *draft.marks]
    taps.made = made
    taps.radiates = ""
    taps.asked = False
    state.open = []


def _flush_pair(line: Line) -> None:
    taps = line.percussion
    if taps.claim is not None and not taps.made and (taps.sites or taps.named):
        finish(line)
    if taps.made:
        line.percussion = Taps(active=True)


def finish(line: Line) -> None:
    """Closes the tapping of a sentence; what was only asked waits for its answer."""
    taps, state = line.percussion, line.state
    if taps.made or not taps.active:
        return
    if taps.claim is None:
        if taps.sites or (taps.named and taps.asked):
            sites = taps.sites or [(_other(line), taps.named)] if taps.named else taps.sites
            state.open = [
                Subject(site, mark, asked=True, sentence=state.sentence) for site, mark in sites
            ]
        elif (
            taps.named is None
            and not any(m.has("side") for m in line.marks)
            and any(m.terms for m in line.marks)
        ) and state.context.topic == "percussion":
            state.context.topic = ""
        return
    if not taps.sites:
        waiting = [s for s in state.open if s.term.category == "percussion"]
        if waiting:
            taps.sites = [(s.term, s.mark) for s in waiting]
        elif taps.named is not None:
            taps.sites = [(_other(line), taps.named)]
        else:
            return
    _emit(line)


def _other(line: Line) -> Term:
    return line.vocabulary.by_id[("percussion", "other")]


def _listed(line: Line, last: Mark, at: int) -> bool:
    """Whether a site goes on the list of the site before it."""
    if last not in line.marks:
        return False
    gap = line.marks[line.marks.index(last) + 1 : at]
    return all(m.light or m.has("pause") or m.has("list.join") for m in gap)
