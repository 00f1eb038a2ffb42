"""Percussion: where it was tapped, what it gave, and where it shot to, in any order of saying."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from dictate2exam.findings import tapping
from dictate2exam.findings.claims import Claim
from dictate2exam.findings.correction_words import active
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Doubtful, Draft, Subject, heard_text
from dictate2exam.lexicon.terms import Term
from dictate2exam.units import Side

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


# What is named of these behind a tapped place is spoken of from there on.
LEAVES = frozenset({"pulse", "reflex"})


@dataclass
class Taps:
    """What one sentence has said about tapping so far."""

    active: bool = False
    named: Mark | None = None
    sites: list[tuple[Term, Mark]] = field(default_factory=list)
    claim: Claim | None = None
    radiates: str = ""
    made: list[Draft] = field(default_factory=list)
    sides: dict[int, Side] = field(default_factory=dict)
    # What was said before the name of the sign: "a positive Tinel at the elbow".
    led: Claim | None = None
    asked: bool = False
    followed: bool = False

    def takes(self, line: Line, claim: Claim) -> bool:
        """Whether a value said now is about the tapping."""
        if not (self.active and claim.words):
            return False
        if not any("sign" in word.means and not word.only for word in claim.words):
            return False
        if line.state.open and not self.sites and self.named is None:
            return False
        if self._left(line):
            return False
        if line.speaker == "patient" or self.named or self.sites:
            return True
        if any(w.name in {"positive", "negative"} for w in claim.words):
            return True
        later = line.marks[line.marks.index(claim.mark) + 1 :]
        if any(m.text in RELATIVE for m in later) and recent(line):
            return True  # "nothing on tapping above it"
        site = next((m for m in later if m.terms), None)
        return site is not None and site.terms[0].category == "percussion"

    def _left(self, line: Line) -> bool:
        """Whether another thing was named behind what was tapped: "and the pulse is there"."""
        tapped = [mark.start for _, mark in self.sites] + ([self.named.start] if self.named else [])
        return any(
            s.term.category in LEAVES and s.mark in line.marks and s.mark.start > max(tapped)
            for s in line.state.open
            if tapped
        )


def start(line: Line, at: int) -> None:
    """A word for tapping: sites count from now on."""
    mark, taps = line.marks[at], line.percussion
    _flush_pair(line)
    told, taps = taps.made, line.percussion  # a new one behind what was told
    taps.active = True
    taps.named = mark
    if not (taps.sites or told):
        taps.sites = tapping.named_before(line, at)
    taps.asked = taps.asked or mark.scope in {"plan", "question", "instruction"}
    line.state.context.topic = "percussion"
    # "Not going to tap on an open wound" finds nothing.
    planned = mark.scope == "plan"
    if line.denial is not None and line.denial in line.marks[:at] and not planned:
        taps.claim = Claim(line.denial, words=line.vocabulary.words_named("absent"))
    elif taps.sites and not line.asked and not mark.scope:
        taps.claim = tapping.is_had(line, at)


def term(line: Line, at: int, site: Term) -> int:
    """A site, or the name of the sign itself."""
    mark, taps = line.marks[at], line.percussion
    if not site.is_group and tapping.of_sign(line, at):
        return at + 1
    if site.is_group:
        pre = line.pre
        start(line, at)
        if pre is not None and pre.words:
            line.pre = None
            # "A strong Tinel" says no more than that there is one.
            much = any(word.name in tapping.HOW_MUCH for word in pre.words)
            if much and taps.claim is None and _there(line, mark) is None:
                pre.words = line.vocabulary.words_named("present")
            if any("sign" in w.means for w in pre.words):
                taps.claim = taps.led = pre
        return at + 1
    if taps.claim is not None and taps.sites and taps.made:
        again = taps.led if tapping.listed(line, taps.sites[-1][1], at) else None
        if tapping.the_same(line, taps.sites[-1][1], at):
            again = taps.led = taps.claim
        taps.sites, taps.claim, taps.made = [], again, []
    if taps.claim is not None and taps.sites and not tapping.listed(line, taps.sites[-1][1], at):
        _emit(line)
        taps.led = taps.claim if tapping.the_same(line, taps.sites[-1][1], at) else None
        taps.sites, taps.claim, taps.made = [], taps.led, []
    if taps.sites and tapping.lies_there(line, taps.sites[-1], at):
        if mark.text.split()[-1] in tapping.LIMB:
            return at + 1
        taps.sites = taps.sites if taps.made else []
    if taps.sites and not taps.made and tapping.in_other_words(line, taps.sites[-1][1], at):
        taps.sites = []
    taps.sites.append((site, mark))
    _note_side(line, at)
    taps.asked = taps.asked or mark.scope in {"plan", "question"}
    if taps.claim is None and taps.named is not None:
        taps.claim = _there(line, taps.named)
        _emit(line)
    elif taps.claim is not None and taps.claim is taps.led:
        _emit(line)
    return at + 1


def _there(line: Line, named: Mark) -> Claim | None:
    """What the verb before the sign says of its being there."""
    if named not in line.marks or line.asked or named.scope:
        return None
    return tapping.is_had(line, line.marks.index(named))


def sided_site(line: Line, at: int) -> None:
    """ "Tinel. Left wrist, negative": the words of side name the site too."""
    taps, mark = line.percussion, line.marks[at]
    name = tapping.JOINTS.get(mark.text.rpartition(" ")[2])
    if name and taps.active and not (taps.sites or mark.scope):
        term(line, at, line.vocabulary.by_id[("percussion", name)])


def _note_side(line: Line, at: int) -> None:
    """Keeps the side said just before a site: "right wrist positive, left wrist negative"."""
    from dictate2exam.findings.sides import local

    side = local(line, at)
    if side is not None:
        line.percussion.sides[id(line.marks[at])] = side


def claim(line: Line, at: int, said: Claim, ahead: bool = False) -> None:
    """A value about the tapping; `ahead` where its site follows it."""
    taps = line.percussion
    if taps.made and ahead:
        taps.sites, taps.made = [], []
    elif taps.made and _says_again(taps, said):
        return
    if taps.claim is not None and taps.sites and not taps.made:
        _emit(line)
        taps.sites, taps.claim, taps.made = [], None, []
    elif taps.claim is not None and taps.made:
        # "Right positive, left negative" is still of the same site.
        taps.sites, taps.made = (taps.sites if line.value_side else []), []
    taps.claim = said
    if taps.sites:
        _emit(line)


def _says_again(taps: Taps, said: Claim) -> bool:
    """ "Nothing, negative": the same of the same site."""
    values = {word.means.get("sign") for word in said.words}
    return all(draft.value in values for draft in taps.made)


def answer(line: Line, mark: Mark, name: str) -> bool:
    """A yes or no said by the examiner of a site just named: "below the clavicle, no"."""
    taps = line.percussion
    if not taps.active or not taps.sites or taps.claim is not None or taps.asked:
        return False
    claim(line, line.marks.index(mark), Claim(mark, words=line.vocabulary.words_named(name)))
    return True


RELATIVE = {"above": "supraclavicular", "below": "infraclavicular", "beneath": "infraclavicular"}


def relative(line: Line, at: int) -> bool:
    """ "Negative below as well": a site named by where it lies to the clavicle tapped before."""
    name = RELATIVE.get(line.marks[at].text)
    if name is None or not line.percussion.active:
        return False
    known = {site.term_id for site, _ in line.percussion.sites}
    known |= {draft.term.term_id for draft in recent(line)}
    if not known & set(RELATIVE.values()):
        return False
    for mark in line.marks[at + 1 : at + 4]:
        if mark.text == "it":
            continue
        if mark.text not in {"as", "well", "as well", "too"} and not (
            mark.valued or mark.text == "," or mark.has("list.copula") or mark.has("answer")
        ):
            return False
        break
    term(line, at, line.vocabulary.by_id[("percussion", name)])
    return True


def recent(line: Line) -> list[Draft]:
    """Percussion found in this sentence and the last ones."""
    state = line.state
    return [
        d
        for d in state.drafts[-8:]
        if d.term.category == "percussion" and not d.gone and state.sentence - d.sentence <= 2
    ]


def finds_none(line: Line, at: int) -> bool:
    """Whether a verb only leads to what there was not: "the axilla elicited no tingling"."""
    after = line.marks[at + 1 : at + 4]
    found = any(word.name == "present" for word in line.marks[at].values)
    if not (found and line.percussion.active and len(after) > 1):
        return False
    felt = any(m.has("kind_values.percussion_present") for m in after[1:])
    return after[0].has("negation.before") and felt


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
    words = line.vocabulary.words_named(name)
    if taps.claim is None or denied:
        claim(line, at, Claim(mark, words=words))


def _emit(line: Line) -> None:
    taps, state = line.percussion, line.state
    if taps.claim is None:
        return
    subjects = [
        Subject(site, mark, side=taps.sides.get(id(mark)), sentence=state.sentence)
        for site, mark in taps.sites
    ]
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


def drop_unplaced(line: Line) -> None:
    """ "He jumped. Positive above the clavicle": the same told first of no site was of this one.

    What does nothing elsewhere is a finding of its own: "along the chest wall nothing".
    """
    made = [d for d in line.state.sentence_drafts if d.term.category == "percussion" and not d.gone]
    placed = [d for d in made if not _has_no_site(d)]
    for other in recent(line):
        alike = any(d.side == other.side and d.value == other.value for d in placed)
        if alike and other.value == "present" and _has_no_site(other):
            other.dropped = True


def _has_no_site(draft: Draft) -> bool:
    named = any(term.term_id == "other" for m in draft.marks for term in m.terms)
    return draft.term.term_id == "other" and not named


def close(line: Line) -> None:
    """Writes down what was said of a site before a word of correction."""
    taps = line.percussion
    if taps.claim is not None and taps.sites and not taps.made:
        _emit(line)


def finish(line: Line) -> None:
    """Closes the tapping of a sentence; what was only asked waits for its answer."""
    taps, state = line.percussion, line.state
    if taps.made or taps.followed or not taps.active:
        return
    if taps.claim is None and taps.named is not None and not taps.asked:
        taps.claim = _there(line, taps.named)
    if taps.claim is None:
        other_sign = any(s.naming and s.sentence == state.sentence for s in state.open)
        if other_sign and taps.named is None:
            return
        if taps.sites and (_puts_right(line) or _says_so_too(line)):
            return
        if taps.sites or (taps.named and taps.asked):
            sites = taps.sites or _tapped_before(line)
            if not sites and taps.named is not None:
                sites = [(_other(line), taps.named)]
            state.open = [
                Subject(site, mark, asked=True, sentence=state.sentence) for site, mark in sites
            ]
        elif (
            taps.named is None
            and line.speaker != "patient"
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
            _of_no_site(line, taps.named)
            return
        elif not _of_the_same(line):
            return
    _emit(line)


def asks(line: Line) -> None:
    """ "Over the carpal tunnel, does this tingle?" asks about tapping without a word for it."""
    if not line.asked or line.speaker == "patient":
        return
    sited = any(m.terms and all(t.category == "percussion" for t in m.terms) for m in line.marks)
    felt = any(m.has("kind_values.percussion_present") and m.scope for m in line.marks)
    if sited and felt:
        line.percussion.active = line.percussion.asked = True
        line.state.context.topic = "percussion"


def _tapped_before(line: Line) -> list[tuple[Term, Mark]]:
    """The site of "and if I tap harder?": the one just tapped, where no other is pointed to."""
    before = recent(line)
    words = {word for m in line.marks for word in m.text.split()}
    if not before or words & POINTED:
        return []
    return [(before[-1].term, before[-1].marks[0])]


POINTED = frozenset({"here", "there", "this", "these", "where", "below", "above", "further"})


def _puts_right(line: Line) -> bool:
    """ "Positive over the axilla. Sorry, the spiral groove.": the site was named in error."""
    taps, before = line.percussion, recent(line)
    if not before or line.state.correcting != "replace" or not active(line) or line.asked:
        return False
    words = tuple(w for w in line.vocabulary.phrases.values if w.name == before[-1].value)
    taps.claim = Claim(taps.sites[-1][1], words=words)
    line.state.correcting = ""
    _emit(line)
    for draft in taps.made:
        draft.corrects = before[-1]
    return True


def _says_so_too(line: Line) -> bool:
    """ "Negative in the axilla. Over the spiral groove, likewise.": the same elsewhere."""
    taps, before, last = line.percussion, recent(line), line.marks[-1]
    same = last.has("list.same") or last.has("list.same_as")
    plain = all(m.light or m.terms or m.has("pause") for m in line.marks[:-1])
    if not (before and same and plain) or line.asked or line.speaker == "patient":
        return False
    words = tuple(w for w in line.vocabulary.phrases.values if w.name == before[-1].value)
    taps.claim = Claim(last, words=words)
    _emit(line)
    return True


def _of_the_same(line: Line) -> bool:
    """ "Positive at the wrist on the right. On the left, negative.": the site just tapped."""
    before = recent(line)
    sided = any(m.has("side.left") or m.has("side.right") for m in line.marks)
    if not (before and sided) or any(m.terms for m in line.marks):
        return False
    line.percussion.sites = [(before[-1].term, before[-1].marks[0])]
    return True


def _of_no_site(line: Line, named: Mark) -> None:
    """The sign without a site: of the site just tapped, or of another one; of "anywhere" the
    sites are asked for."""
    taps, before = line.percussion, recent(line)
    if taps.claim is not None and before:
        values = {word.means.get("sign") for word in taps.claim.words}
        if before[-1].value in values:
            before[-1].marks = [*before[-1].marks, named]
            return
    everywhere = any(m.has("list.rest") or m.text in NOWHERE for m in line.marks)
    if not everywhere:
        taps.sites = [(_other(line), named)]
        _emit(line)
        return
    line.state.doubts.append(
        Doubtful(
            "value", False, f'"{heard_text(named)}" was said of no site: where was it tapped?',
            "sign.percussion.other", "none", (), [], (named,), rule="which_site",
        )
    )  # fmt: skip


NOWHERE = frozenset({"anywhere", "elsewhere", "nowhere"})


def _other(line: Line) -> Term:
    return line.vocabulary.by_id[("percussion", "other")]


def announced(line: Line, at: int) -> bool:
    """Whether the examiner says that he will tap, though the sentence goes on as talk: "I'm gonna
    tap some, so let me know what you get"."""
    if not line.marks[at].has("kind.percussion") or line.speaker == "patient":
        return False
    said = [word for m in line.marks[:at] for word in m.text.split()]
    going = said[-1:] == ["gonna"] or said[-2:] in (["going", "to"], ["i", "will"])
    return going and bool({"im", "i", "ill"} & set(said))
