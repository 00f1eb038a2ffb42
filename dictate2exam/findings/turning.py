"""A side that its sentence does not bear out, or that may belong either way, is asked about.

Recognised speech has no commas: "right lovely" or "is that right" may look like a change of arm,
and everything said after it would stand on the wrong side with nobody asked; "five on the left
biceps four" may end one finding or open the next.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.in_vain import looked_in_vain
from dictate2exam.findings.marking import ARTICLES, has_stops
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.side_words import OPPOSITE, POINTING, closes, named_side, remains
from dictate2exam.findings.state import Doubtful, Draft, heard_text

# So many words before a closing "right" that mean nothing here may be a story.
STORY = 2
PLACES = frozenset({"place", "area", "percussion"})
SKIN = frozenset({"place", "area"})

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


def watch(line: Line, before: str) -> None:
    """Keeps the side `before` where the sentence turned it for nothing, and opens the question;
    gathers what it is about, or drops it once a side is spoken with a finding or as a heading."""
    state = line.state
    named = [m for m in line.marks if m.has("side.left") or m.has("side.right")]
    found = [d for d in state.sentence_drafts if d.side in OPPOSITE]
    turns = state.side in OPPOSITE and state.side != before
    if turns and named and state.turned is None and _heard_by_one(named[-1]):
        _ask_heard_by_one(line, named[-1], found, before)
        return
    turned = before in OPPOSITE and state.side == OPPOSITE[before]
    heads = _heads(line, named) and not _opens_talk(line)
    adrift = turned and bool(named) and _adrift(line, named[-1])
    vain = turned and bool(named) and not found and looked_in_vain(line, before)
    if turned and named and (vain or not heads) and (adrift or not _borne_out(line, found)):
        said = named[-1].written.utterance.text
        question = f'"{said}": is it still the {before} side, or the {state.side} from here on?'
        sides = (before, state.side)
        state.turned = Doubtful(
            "side", True, question, "", "none", sides, [], (named[-1],), rule="side_turn"
        )
        carried = [d for d in found if named[-1] in d.marks or not d.side_local] if adrift else []
        for draft in carried:
            draft.side = OPPOSITE[state.side]
        state.side = before
        _gather(line, carried)
        return
    if turned and heads and [m.text for m in line.marks] == ["right"]:
        said = "is the right side examined from here on, or was it only a word?"
        sides = ("right", "left")
        state.turned = Doubtful(
            "side", True, f'"Right": {said}', "", "none", sides, [], (named[-1],), rule="side_turn"
        )
        return
    if not has_stops(line.marks[0].written):
        _ask_either_way(line, before, named)
        if turned and not named:
            _ask_other_arm(line, before)
        elif not turned:
            _ask_unborne(line, found)
    if state.turned is None:
        return
    if named and (heads or any(d.side_spoken or d.side_local for d in found)):
        state.turned = None
        return
    _gather(line, [d for d in found if not d.side_local])


def _opens_talk(line: Line) -> bool:
    """Whether "right" before a word of examining may only open talk, where nobody has written the
    comma behind it: "right power"."""
    first, *others = line.marks
    named = any(m.terms for m in others)
    return first.text == "right" and bool(others) and not named and not has_stops(first.written)


def _heard_by_one(mark: Mark) -> bool:
    """Whether other listeners heard the utterance, and none of them its word of side."""
    others = mark.written.utterance.readings[1:]
    side = named_side(mark)
    said = [{word.text.strip(".,?!").lower() for word in other.words} for other in others]
    return len(said) > 1 and not any(side in words for words in said)


def _ask_heard_by_one(line: Line, mark: Mark, found: list[Draft], before: str) -> None:
    """Asks about a side that all that follows would stand on and one listener alone heard; that
    `before` goes on where nothing was found with the word."""
    side = line.state.side
    if before in OPPOSITE and not found:
        line.state.side = before
    line.state.turned = Doubtful(
        "side",
        True,
        f'"{heard_text(mark)}" was heard by one listener alone: is the {side} side examined?',
        "",
        "none",
        (line.state.side, OPPOSITE[line.state.side]),
        [],
        (mark,),
        rule="side_turn",
    )
    _gather(line, [d for d in found if d.side == side])


def _gather(line: Line, drafts: list[Draft]) -> None:
    """Adds findings to the open question of side, which is asked once it has one."""
    doubt = line.state.turned
    if doubt is None:
        return
    if drafts and not doubt.drafts:
        doubt.item = drafts[0].item
        line.state.doubts.append(doubt)
    doubt.drafts = [*doubt.drafts, *drafts]


def _borne_out(line: Line, found: list[Draft]) -> bool:
    return any(d.side == line.state.side for d in found)


def _ask_either_way(line: Line, before: str, named: list[Mark]) -> None:
    """Asks where a side that turns stands between two findings and may belong to either:
    "biceps five on the left triceps four"."""
    state, side = line.state, before
    for mark in named:
        turned_from, side = side, named_side(mark)
        taken = any(m is mark for _, m in state.spoken_sides)
        if turned_from != OPPOSITE[side] or not taken or _answered_in_turn(line, mark):
            continue
        at = line.marks.index(mark)
        here = [d for d in state.sentence_drafts if not d.gone and d.side == side]
        earlier = [d for d in here if _before(line, d, at)]
        if not earlier or not any(_after(line, d, at) for d in here if d not in earlier):
            continue
        said = mark.written.heard(line.marks[0].start, line.marks[-1].end - 1).text
        state.doubts.append(
            Doubtful(
                "side",
                True,
                f'"{said}": is {earlier[0].term.label} of the {side} side, or was the '
                f"{turned_from} meant and only what follows is of the {side}?",
                earlier[0].item,
                earlier[0].side,
                (side, turned_from),
                earlier,
                (mark,),
                rule="side_either_way",
            )
        )


def _ask_other_arm(line: Line, before: str) -> None:
    """Asks where "the other arm" stands among other words, which may have spoken of it in passing:
    "where ten is your other hand thumb two"."""
    state = line.state
    mark = next((m for m in line.marks if m.has("side.other")), None)
    if mark is None or not line.marks[0].start:
        return
    said = mark.written.utterance.text
    question = f'"{said}": is it the {state.side} side from here on, or still the {before}?'
    sides = (state.side, before)
    state.turned = Doubtful(
        "side", True, question, "", "none", sides, [], (mark,), rule="side_turn"
    )


def _ask_unborne(line: Line, found: list[Draft]) -> None:
    """Asks where a side was named beside findings and none of them took it."""
    state = line.state
    taken = [m for side, m in state.spoken_sides if m in line.marks and state.side != side]
    sides = {d.side for d in state.sentence_drafts if not d.gone}
    left_over = (m for m in reversed(taken) if named_side(m))
    mark = next((m for m in left_over if not sides & {named_side(m), "both"}), None)
    standing = [d for d in found if not d.gone]
    if mark is None or not standing:
        return
    at = line.marks.index(mark)
    about = [d for d in standing if _after(line, d, at)] or standing
    side, said = named_side(mark), mark.written.heard(line.marks[0].start, line.marks[-1].end - 1)
    state.doubts.append(
        Doubtful(
            "side",
            True,
            f'"{said.text}": is {about[0].term.label} of the {about[0].side} side, or of the '
            f"{side}?",
            about[0].item,
            about[0].side,
            (about[0].side, side),
            about,
            (mark,),
            rule="side_either_way",
        )
    )


def _before(line: Line, draft: Draft, at: int) -> bool:
    """Whether all words of a finding, its side apart, stand before a place."""
    here = [line.marks.index(m) for m in draft.marks if m in line.marks and not m.has("side")]
    return bool(here) and max(here) < at


def _after(line: Line, draft: Draft, at: int) -> bool:
    """Whether a finding's words reach beyond a place."""
    return any(m in line.marks[at + 1 :] for m in draft.marks if not m.has("side"))


def _answered_in_turn(line: Line, mark: Mark) -> bool:
    """Whether what follows has its own side after its value too: "five on the left triceps four
    on the right", so that sides follow here."""
    rest = line.marks[line.marks.index(mark) + 1 :]
    side = next((i for i, m in enumerate(rest) if m.has("side")), None)
    return side is not None and any(m.valued and not m.light for m in rest[:side])


def _adrift(line: Line, mark: Mark) -> bool:
    """Whether a bare "right" or "left" hangs on a word that names nothing examined: "I've got my
    fingers right", "pull it right up"."""
    at = line.marks.index(mark)
    before = line.marks[at - 1] if at else None
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    if _denied_remains(line, at):
        return True
    if mark.text not in OPPOSITE or before is None or not _plain_word(before):
        return False
    return after is None or _plain_word(after) or after.has("list.prepose")


def _denied_remains(line: Line, at: int) -> bool:
    """Whether "no bruising left" may deny what would remain, where no right is told beside it."""
    told = [line.marks, *(sentence.marks for sentence in line.state.read[-1:])]
    if line.marks[at].text != "left" or not closes(line, at):
        return False
    if any(m.has("side.right") for marks in told for m in marks):
        return False
    return remains(line, at, line.vocabulary.phrases.cues["not_side.left_none"])


def _plain_word(mark: Mark) -> bool:
    """Whether a word neither names, heads, grades nor only holds speech together."""
    heads = any(
        role.startswith(("kind", "modality", "side", "list", "scale")) for role in mark.roles
    )
    return not (heads or mark.terms or mark.valued or mark.has("pause"))


def _heads(line: Line, named: list[Mark]) -> bool:
    """Whether the sentence heads what follows by its side: it does nothing but name it ("now the
    left arm"), or names it plainly where a heading stands ("left again, out of ten")."""
    if named and _likened(line, named[-1]):
        return False
    if named and _plain(line, named[-1]):
        return True
    words = line.vocabulary.phrases.cues["not_side.heading"]
    return bool(named) and all(
        m in named
        or m.light
        or m.has("pause")
        or m.has("scale")
        or (m.has("kind") and not m.scope)
        or bool(m.terms)
        or all(word in words for word in m.text.split())
        for m in line.marks
    )


def _likened(line: Line, mark: Mark) -> bool:
    """Whether the side is only what is compared with: "what the left one feels like"."""
    before = [m.text for m in line.marks[: line.marks.index(mark)] if m.text not in ARTICLES]
    return bool(before) and before[-1] in line.vocabulary.phrases.cues["turn.likened"]


def _plain(line: Line, mark: Mark) -> bool:
    """Whether the word can be nothing but a side: "left arm", "on the left", "reflexes, left:"."""
    at = line.marks.index(mark)
    before = line.marks[at - 1] if at else None
    after = line.marks[at + 1] if at + 1 < len(line.marks) else None
    pointed = before is not None and before.text.rpartition(" ")[2] in POINTING - {"that", "this"}
    closed = after is None or after.has("pause")
    set_off = before is not None and before.has("pause") and closed and not _agrees(line, at)
    # "Over your left wrist" is kept as the place and its side after it.
    placed = before is not None and any(t.category in PLACES for t in before.terms)
    # "Left thumb tip, the pulp?": written with its stops, the word belongs to its noun.
    noun = after is not None and any(t.category in SKIN for t in after.terms)
    asked = noun and mark.scope == "question" and has_stops(mark.written)
    return len(mark.text.split()) > 1 or pointed or set_off or placed or asked


def _agrees(line: Line, at: int) -> bool:
    """Whether "right" may only close a story: "he turns badly because of his neck, right"."""
    told = [m for m in line.marks[:at] if _plain_word(m)]
    return line.marks[at].text == "right" and at == len(line.marks) - 1 and len(told) >= STORY
