"""A muscle that only helped, or was felt for another: "no, that's brachioradialis cheating"."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dictate2exam.findings.line import Line

POINTS = frozenset({"thats", "is", "its", "was", "just"})
POINTED = frozenset({"thats", "is", "its", "was"})
DOING = frozenset({"is", "was", "keeps", "kept"})
ARTICLES = frozenset({"the", "his", "her", "my", "your", "upper", "lower"})


def blamed(line: Line, at: int) -> bool:
    """Whether the examiner only asks himself what it was that moved: "hang on, was that
    brachioradialis?"."""
    last = [d for d in line.state.last if not d.gone]
    if not line.asked or line.speaker == "patient" or not last or line.state.open:
        return False
    before = [m.text for m in line.marks[:at] if m.text not in {"just", "only", "the", "all"}]
    said = " ".join(before[-2:]).split()[-2:]
    near = line.state.sentence - last[-1].sentence <= 1
    closes = all(m.light or m.has("pause") for m in line.marks[at + 1 :])
    graded = all(d.item.startswith("power.") for d in last)
    return said in (["was", "that"], ["is", "that"], ["was", "it"]) and near and closes and graded


def mistaken_for(line: Line, at: int) -> bool:
    """ "I thought I saw a flicker, it was the pulse": what was taken for a contraction."""
    before = [word for m in line.marks[max(0, at - 4) : at] for word in m.text.split()]
    while before and before[-1] in ARTICLES | {"just", "only", "own"}:
        before.pop()
    flickers = any(w.name == "flicker" for m in line.marks[:at] for w in m.values)
    motor = any(s.term.category == "muscle" for s in line.state.open)
    flickers = flickers or motor or any(d.value == "1" for d in line.state.last if not d.gone)
    return flickers and before[-2:] in (["it", "was"], ["that", "was"], ["it", "is"])


def _only_that(line: Line, at: int) -> bool:
    """ "No, that's just the trapezius, so the rhomboids are zero": one felt for the other."""
    cues, marks = line.vocabulary.phrases.cues, line.marks
    before = [word for m in marks[max(0, at - 4) : at] for word in m.text.split()]
    while before and before[-1] in ARTICLES:
        before.pop()
    only = bool(before) and before.pop() in cues["stand_in.only"]
    pointed = only and bool(before) and before[-1] in POINTED
    denied = any(m.has("correction") and not m.terms for m in marks[:at])
    rest = marks[at + 1 :]
    while rest and (rest[0].has("pause") or rest[0].text == "and"):
        rest = rest[1:]
    said = " ".join(m.text for m in rest[:2])
    goes_on = any(f"{said} ".startswith(f"{word} ") for word in cues["stand_in.then"])
    others = [d.term for d in line.state.last] + [t for m in marks[:at] for t in m.terms]
    others = [t for t in others if t.category == "muscle" and t not in marks[at].terms]
    return pointed and denied and bool(others) and (not rest or goes_on)


def _only_helped(line: Line, at: int) -> bool:
    """ "That was really just his lat helping out": behind a grade it takes no other."""
    cues, marks = line.vocabulary.phrases.cues, line.marks
    before = [word for m in marks[max(0, at - 5) : at] for word in m.text.split()]
    while before and before[-1] in ARTICLES:
        before.pop()
    only = 0
    while before and before[-1] in cues["stand_in.only"]:
        before.pop()
        only += 1
    helps = marks[at + 1].text.split()[0] if at + 1 < len(marks) else ""
    graded = [d for d in line.group or line.state.last if not d.gone]
    power = bool(graded) and all(d.item.startswith("power.") for d in graded)
    other = power and all(d.term not in marks[at].terms for d in graded)
    return only > 0 and before[-1:] == ["was"] and helps in cues["stand_in.words"] and other


def _felt_instead(line: Line, at: int) -> bool:
    """ "Posterior, is that, no, that's the lat": another was felt for the one just named, which
    still waits for its grade."""
    marks, state = line.marks, line.state
    no = next((n for n in range(at - 1, -1, -1) if marks[n].has("correction.no")), -1)
    waiting = [s for s in state.open if s.sentence == state.sentence and s.mark in marks[:no]]
    said = [word for m in marks[no + 1 : at] for word in m.text.split()]
    told = [word for word in said if word not in {",", *ARTICLES}]
    closes = all(m.has("pause") for m in marks[at + 1 :])
    other = bool(waiting) and all(s.term not in marks[at].terms for s in waiting)
    return no > 0 and other and closes and len(told) == 1 and told[0] in POINTED


def _does_instead(line: Line, at: int) -> bool:
    """ "FCU three. No, palmaris is cheating for him": a muscle that is said to do it for the one
    graded before."""
    marks, last = line.marks, [d for d in line.state.last if not d.gone]
    verb, deed = [*marks[at + 1 : at + 3], None, None][:2]
    if verb is None or deed is None or verb.text not in DOING or line.asked:
        return False
    lead = [m for m in marks[:at] if not (m.light or m.has("pause") or m.has("correction"))]
    graded = bool(last) and all(d.item.startswith("power.") for d in last)
    fresh = graded and line.state.sentence - last[-1].sentence <= 1
    helps = deed.text.split()[0] in line.vocabulary.phrases.cues["stand_in.words"]
    denied = any(m.has("correction") for m in marks[:at])
    return fresh and helps and denied and not lead and marks[at].terms[0] != last[-1].term


def _behind_owner(line: Line, at: int) -> int:
    """The place behind a muscle and the side that it is of: "the pectoral of the other side"."""
    marks = line.marks
    of = at + 1 < len(marks) and marks[at + 1].text in {"of", "of the", "on", "on the"}
    return at + 3 if of and at + 2 < len(marks) and marks[at + 2].has("side") else at + 1


def stands_in(line: Line, at: int) -> bool:
    """Whether a muscle is only blamed for what was seen: "no, that's brachioradialis cheating";
    what is corrected stays what was graded before."""
    lead = at
    denied = line.marks[0].text.split()[0] in line.vocabulary.denials
    while denied and lead and line.marks[lead - 1].text in ARTICLES:
        lead -= 1
    before = line.marks[lead - 1] if lead else None
    if not denied and before is not None and before.text in ARTICLES and lead > 1:
        # "It was the pectoral pulling", but "that's your FCU doing it, a five" is what was tested.
        before = line.marks[lead - 2] if line.marks[lead - 2].text == "was" else before
    led = [word for m in line.marks[max(0, at - 3) : at] for word in m.text.split()]
    led = [word for word in led if word not in ARTICLES]
    words = line.vocabulary.phrases.cues["stand_in.words"]
    if len(led) > 1 and led[-1] == "with" and led[-2] in words and not line.marks[at].number:
        return True  # "no cheating with the biceps"
    behind = _behind_owner(line, at)
    after = line.marks[behind] if behind < len(line.marks) else None
    if _only_that(line, at) or _felt_instead(line, at) or _only_helped(line, at):
        return True
    if _does_instead(line, at):
        return True
    if before is None or after is None or before.text.split()[-1] not in POINTS:
        return False
    if after.text.split()[0] not in line.vocabulary.phrases.cues["stand_in.words"]:
        return False
    rest = line.marks[behind:]
    graded = next((place for place, m in enumerate(rest) if m.number), 0)
    return not graded or any(m.has("pause") for m in rest[:graded])
