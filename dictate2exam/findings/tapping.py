"""What a sentence says about tapping around the sign itself: its sites, its verb, who tells."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

ARTICLES = frozenset({"a", "an", "any", "some"})
# Verbs that say by themselves that the sign is there.
HAVING = frozenset(
    {"has", "have", "had", "gives", "gave", "get", "got", "elicit", "elicited", "find", "found"}
)
# "I'll have a tap" is no sign.
SIGN = frozenset({"tinel", "tinels", "sign"})
DENIED = frozenset({"neither", "nor"})
# Values of other kinds that only say how strong it is: "a brisk Tinel".
HOW_MUCH = frozenset({"brisk", "strong", "weak", "increased", "reduced", "good_pulse", "reflex_up"})
# A sentence that has one of these and asks nothing tells what came of the tapping.
TOLD = frozenset({"he", "she", "they", "theres", "there is", "there was", "it"})
ASKING = frozenset({"you", "your", "do you", "tell me", "say"})
TRUE = frozenset({"true", "applies", "applied", "goes", "went", "held", "holds"})
AT = frozenset({"at", "over", "behind"})
# Parts of the limb that name a nerve's site only where nothing else is tapped there.
LIMB = frozenset({"wrist", "elbow", "forearm", "arm", "hand", "neck"})
LYING = frozenset({"at", "in", "on", "near", "above", "below", "over", "by", "behind"})
# Joints at which one nerve is tapped.
JOINTS = {"wrist": "carpal_tunnel", "wrists": "carpal_tunnel"}


GLOSS = frozenset(
    {"so", "meaning", "ie", "namely", "thats", "that is", "in other words", "which is"}
)


def in_other_words(line: Line, last: Mark, at: int) -> bool:
    """Whether a site only says again where the last one is: "over the scar, so above the
    clavicle"."""
    if last not in line.marks:
        return False
    gap = line.marks[line.marks.index(last) + 1 : at]
    said = [m for m in gap if not m.has("pause") and m.text not in ARTICLES | {"the", "just"}]
    return len(said) == 1 and (said[0].text in GLOSS or said[0].has("list.meaning"))


def lies_there(line: Line, last: tuple[Term, Mark], at: int) -> bool:
    """Whether a site says where the scar is that is tapped: "on the scar at the wrist" names no
    tunnel, "over the scar above the clavicle" names the site."""
    site, mark = last
    if site.term_id != "other" or mark not in line.marks:
        return False
    gap = line.marks[line.marks.index(mark) + 1 : at]
    leads = line.marks[at].text.split()[0] in LYING or any(m.text in LYING for m in gap)
    plain = all(m.light and not (m.has("pause") or m.has("list.join")) for m in gap)
    return leads and plain


def of_sign(line: Line, at: int) -> bool:
    """Whether a site only tells where something was looked for: "no scar in the armpit"."""
    placed = line.marks[at].text.split()[0] in LYING
    for mark in reversed(line.marks[:at]):
        if mark.terms:
            seen = mark.terms[0].category == "sign" and mark.terms[0].term_id != "neuropathic_pain"
            return seen and placed
        if mark.has("list.prepose") or mark.text in LYING:
            placed = True
        elif not mark.light or mark.has("pause") or mark.has("list.join"):
            return False
    return False


def tell(sentence: Sentence) -> None:
    """ "When I tap over the elbow she feels a tingle": what came of it is told, not asked."""
    opened = [m for m in sentence.marks if m.scope == "question" and m.has("kind.percussion")]
    if sentence.asked or not opened:
        return
    said = [m.text for m in sentence.marks if m.start >= opened[0].start]
    asking = any(ASKING & {text, *text.split()} for text in said)
    if asking or not any(text in TOLD or text.split()[0] in TOLD for text in said):
        return
    for mark in sentence.marks:
        if mark.scope == "question":
            mark.scope = mark.reach = ""


def name_joints(marks: list[Mark], topic: str, vocabulary: Vocabulary) -> None:
    """ "Tinel's at the left wrist": the joint beside a word of side is a site where one taps."""
    if topic != "percussion" and not any(m.has("kind.percussion") for m in marks):
        return
    for at in range(len(marks) - 1, 0, -1):
        mark, words = marks[at], marks[at].text.split()
        if not mark.has("side") or len(words) != 2 or marks[at - 1].text.split()[0] not in AT:
            continue
        found = vocabulary.terms.get(("at", "the", words[1]), ())
        sites = tuple(term for term in found if term.category == "percussion")
        roles = vocabulary.cues.get((words[0],))
        if not sites or roles is None or mark.end - mark.start != len(words):
            continue
        joint = Mark(mark.start + 1, mark.end, words[1], mark.written, terms=sites)
        joint.scope, joint.reach = mark.scope, mark.reach
        mark.text, mark.end, mark.roles = words[0], mark.start + 1, roles
        marks.insert(at + 1, joint)


def leave_joints(marks: list[Mark]) -> None:
    """ "At the elbow, radial tunnel": a joint that only tells where the site named behind it is."""
    for joint, pause, site in zip(marks, marks[1:], marks[2:], strict=False):
        words = site.text.split()
        if joint.text.split()[-1] not in LIMB or pause.text != "," or words[0] in LYING:
            continue
        sites = [m.terms[0] if m.terms else None for m in (joint, site)]
        if all(t is not None and t.category == "percussion" and not t.is_group for t in sites):
            joint.leave()


def name_tapped_parts(marks: list[Mark], topic: str, vocabulary: Vocabulary) -> None:
    """ "Tinel's positive over the pronator", "tapping over the arch of FDS": a muscle over which
    one taps is the site, and is not graded."""
    if topic != "percussion" and not any(m.has("kind.percussion") for m in marks):
        return
    if any(m.number or m.has("kind.power") for m in marks):
        return
    other = vocabulary.by_id[("percussion", "other")]
    parts = {*vocabulary.phrases.cues["tapped_part.words"], "of", "the", "of the"}
    for at, mark in enumerate(marks):
        if not mark.terms or mark.terms[0].category != "muscle" or mark.scope:
            continue
        lead = at - 1
        while lead >= 0 and all(word in parts for word in marks[lead].text.split()):
            lead -= 1
        word = marks[lead].text.split()[0] if lead >= 0 else ""
        if word in vocabulary.phrases.cues["tapped_part.over"]:
            mark.terms, mark.roles = (other,), frozenset()


def is_had(line: Line, at: int) -> Claim | None:
    """ "There is a Tinel at the elbow", "neither the axilla nor the elbow has a Tinel": the sign is
    there, or not, by its verb alone."""
    if not SIGN & set(line.marks[at].text.split()):
        return None
    for place in range(at - 1, -1, -1):
        mark = line.marks[place]
        verb = mark.text.split()
        if verb[-1] in ARTICLES and len(verb) > 1:
            verb = verb[:-1]
        if verb[-1] in HAVING or mark.has("list.there"):
            if any(m.text in DENIED for m in line.marks[:place]):
                return Claim(mark, words=line.vocabulary.words_named("absent"))
            return None if mark.scope else Claim(mark, words=line.vocabulary.words_named("present"))
        plain = mark.light or mark.values or not mark.roles
        if not plain or mark.terms or mark.has("pause") or mark.has("side"):
            return None
    return None


def named_before(line: Line, at: int) -> list[tuple[Term, Mark]]:
    """The sites said just before the sign: "supraclavicular Tinel", "over the clavicle, Tinel's",
    "elbow: positive Tinel"."""
    found: list[tuple[Term, Mark]] = []
    headed = False
    for place in range(at - 1, -1, -1):
        mark = line.marks[place]
        sites = [t for t in mark.terms if t.category == "percussion" and not t.is_group]
        if sites:
            found.insert(0, (sites[0], mark))
            continue
        if found:
            if mark.has("list.join") or mark.light or mark.has("side") or mark.text in DENIED:
                continue
            break
        before = line.marks[place - 1] if place else mark
        headed = headed or (not mark.terms and before.has("pause") and place > 1)
        if mark.terms or (mark.valued and not headed):
            break
    return found


def the_same(line: Line, last: Mark, at: int) -> bool:
    """Whether the same is told of a site as of the last: "negative above the clavicle, and the same
    was true below it"."""
    if last not in line.marks or line.asked:
        return False
    gap = line.marks[line.marks.index(last) + 1 : at]
    if _closes_so(line.marks, at) and not any(m.scope or m.terms for m in gap):
        return True
    same = next((n for n, m in enumerate(gap) if m.has("list.same") or m.has("list.same_as")), -1)
    behind = gap[same + 1 :]
    plain = all(m.light or m.has("pause") or m.text in TRUE for m in behind)
    return same >= 0 and plain and not any(m.scope for m in gap)


def _closes_so(marks: list[Mark], at: int) -> bool:
    """Whether a word for the same closes the clause of a site: "and over the elbow likewise"."""
    after = marks[at + 1 : at + 3]
    if after and after[0].has("pause"):
        after = after[1:]
        if len(after) != 1 or marks[-1] is not after[0]:
            return False
    same = bool(after) and (after[0].has("list.same") or after[0].text == "either")
    return same and (after[0] is marks[-1] or marks[marks.index(after[0]) + 1].has("pause"))


def listed(line: Line, last: Mark, at: int) -> bool:
    """Whether a site goes on the list of the site before it."""
    if last not in line.marks:
        return False
    gap = line.marks[line.marks.index(last) + 1 : at]
    return all(m.light or m.has("pause") or m.has("list.join") for m in gap)


def leave_tapping(marks: list[Mark]) -> None:
    """A patient who speaks of the tapping itself names no sign: "no, just feels like tapping"."""
    for mark in marks:
        if mark.has("kind.percussion") and not mark.has("kind_values.percussion_present"):
            mark.leave()
