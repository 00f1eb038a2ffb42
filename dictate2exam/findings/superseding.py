"""Which earlier finding a new one replaces, or only repeats."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dictate2exam.findings.correction_words import active
from dictate2exam.findings.state import Doubtful, Draft, Subject

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line


# Sentences after which the bare name of a sign only sums up what was told of it.
LATELY = 2


def settle(line: Line, draft: Draft, subject: Subject) -> bool:
    """Links a new draft to what it corrects; True where it only repeats what was just said."""
    state = line.state
    correcting = active(line)
    lately = state.of_item(draft.item)[-40:]
    replaced = {id(d.corrects) for d in lately if d.corrects is not None}
    same_item = [
        d
        for d in reversed(lately)
        if not d.gone
        and id(d) not in replaced
        and d.detail.get("modality") == draft.detail.get("modality")
    ]
    earlier = [d for d in same_item if d.side == draft.side]
    unsure = earlier and earlier[0].value == "uncertain" and earlier[0].sentence == draft.sentence
    if unsure and draft.rule == "named":
        return True  # "I could not make up my mind about the ptosis, ... and ptosis I leave open"
    if earlier and earlier[0].value == draft.value and _recalls(line, draft):
        state.correcting, state.correcting_since = "replace", state.sentence
        state.last = earlier[:1]
        earlier[0].sentence = state.sentence
        return True
    if (correcting and subject.mark in line.marks) or (correcting and state.correcting == "again"):
        withdrawn = [d for d in state.withdrawing if d.item == draft.item]
        if withdrawn:
            draft.corrects = withdrawn[0]
            withdrawn[0].withdrawn = False
            state.withdrawing = []
            state.correcting = ""
            return False
        if earlier:
            if earlier[0].value == draft.value:
                return False
            draft.corrects = earlier[0]
            state.correcting = ""
            _leave_other_side(line, draft)
            return False
        recent = [d for d in same_item if d in state.last and state.sentence - d.sentence <= 1]
        turned = bool(recent) and draft.side != recent[0].side
        if turned and (draft.side_local or draft.side_spoken) and _was_said(line, recent[0]):
            draft.corrects = recent[0]
            state.correcting = ""
            return False
        if state.correcting == "replace":
            _other_item(line, draft)
        return False
    if earlier and draft.value[:1].isdigit() and _doubtful(line, earlier[0]):
        earlier[0].dropped = True
        return False
    if earlier and draft.value == "not_tested" and earlier[0].value == "uncertain":
        earlier[0].dropped = earlier[0].dropped or earlier[0].sentence == draft.sentence
    if earlier and _said_no(line, draft, earlier[0]):
        draft.corrects = earlier[0]
        return False
    if (draft.patient and earlier and earlier[0].patient and line.speaker != "examiner") and (
        state.sentence - earlier[0].sentence <= 3 and earlier[0].value != draft.value
    ):
        draft.corrects = earlier[0]
        return False
    if draft.rule == "named" and draft.side == "none" and not draft.side_spoken:
        sided = [d for d in same_item if state.sentence - d.sentence <= LATELY]
        if sided and sided[0].value == draft.value:
            return True  # "burning in the left hand." "So, neuropathic pain."
    if any(m.has("side") for m in line.marks[_last_place(line, draft) + 1 :]):
        return False
    return bool(earlier) and earlier[0].value == draft.value


def _was_said(line: Line, draft: Draft) -> bool:
    """Whether a finding stood before the word of correction: not so in "sorry, it is the winter.
    Right biceps normal, left biceps normal"."""
    state = line.state
    if draft.sentence != state.correcting_since or draft.sentence != state.sentence:
        return draft.sentence <= state.correcting_since
    word = max((n for n, m in enumerate(line.marks) if m.has("correction.replace")), default=-1)
    return word < 0 or _last_place(line, draft) < word


def _leave_other_side(line: Line, draft: Draft) -> None:
    """ "Left two, right five. Wait, he can beat gravity. So the left, I correct, three minus": what
    named nothing was of the side that is put right by its name."""
    for guess in line.state.drafts[-LATELY * 2 :]:
        near = line.state.sentence - guess.sentence <= LATELY and not guess.gone
        unnamed = guess.rule == "corrected value" and guess.marks[0] not in line.marks
        old = guess.corrects
        other = guess.item == draft.item and guess.side != draft.side
        if near and unnamed and other and old is not None and guess.marks[0] in old.marks:
            guess.dropped, guess.corrects = True, None


def _recalls(line: Line, draft: Draft) -> bool:
    """ "I gave the grip four": a grade told again as one that was given waits for a better one."""
    if line.state.correcting == "replace" or draft.patient:
        return False
    if not draft.value[:1].isdigit():
        return False
    words = [m.text for m in line.marks[: _last_place(line, draft)]]
    said = f" {' '.join(words)} "
    return any(f" {way} " in said for way in line.vocabulary.phrases.cues["recalled.words"])


def _doubtful(line: Line, draft: Draft) -> bool:
    """Whether a word that may be no value at all made the draft: a grade said later is none."""
    return any(d.rule == "doubtful_word" and draft in d.drafts for d in line.state.doubts)


def _said_no(line: Line, draft: Draft, earlier: Draft) -> bool:
    """ "C7 ten. No, C7 is nine": a no before the name of what was just graded."""
    near = line.state.sentence - earlier.sentence <= 1
    graded = draft.value != earlier.value and draft.value[:1].isdigit()
    return near and graded and line.marks[0].text == "no" and not draft.patient


def _last_place(line: Line, draft: Draft) -> int:
    """The place of the last word that the draft was read from; the end where none is here."""
    places = [line.marks.index(m) for m in draft.marks if m in line.marks]
    return max(places, default=len(line.marks))


def _means(line: Line) -> bool:
    """Whether the word of correction says that one name was meant for another: "I mean C4"."""
    said = " ".join(m.text for m in line.marks if m.has("correction.replace"))
    return any(way in said for way in ("i mean", "i meant", "rather", "should be"))


def _other_item(line: Line, draft: Draft) -> None:
    """ "biceps four, sorry, brachialis four": the first item was said in error."""
    state = line.state
    here = state.correcting_since == state.sentence and bool(state.sentence_drafts)
    old = [d for d in state.last if not d.gone and state.sentence - d.sentence <= 2]
    if old and old[-1].item == draft.item:
        return
    state.correcting = ""
    # The word corrects nothing that was said ("Can you lift it? No. ECRL zero"), or closed what
    # was said of the other side ("triceps brisk, four plus actually. On the right, biceps ...").
    if not old or (not here and draft.side != old[-1].side):
        return
    if (here or _means(line)) and old[-1].value == draft.value and len(old) == 1:
        draft.corrects = old[-1]
        return
    state.doubts.append(
        Doubtful(
            "value",
            False,
            f"{old[-1].term.label} {old[-1].value} was followed by a correction: does it stand?",
            old[-1].item,
            old[-1].side,
            (old[-1].value, "reject"),
            [old[-1]],
            tuple(old[-1].marks),
            rule="correction_without_value",
        )
    )
