"""Two readings of speech without stops, whose sentences were cut apart in two ways: asks where
their findings differ.

Rules and learnt stops err in different places. Where only the reading that counts has a finding,
and the other did not take it for talk, nothing is asked: of 106 such in 3,578 findings nine were
wrong, of 109 with another value or side, or that only the other reading had, 78 were.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import NamedTuple, TypeAlias

from dictate2exam.findings.joining import Joined, stretches
from dictate2exam.findings.marks import Sentence
from dictate2exam.findings.model import Extraction, Finding
from dictate2exam.findings.reach import FIRM
from dictate2exam.findings.second_values import SAME
from dictate2exam.findings.side_words import OPPOSITE
from dictate2exam.questions import Question, QuestionKind
from dictate2exam.speech.model import Utterance
from dictate2exam.units import Side

RULE = "cut_otherwise"
# An utterance and a word of it.
Place: TypeAlias = tuple[int, int]
GRADED = ("power.", "sensation.")
# So many fewer findings astray make the other reading's sides the likelier ones (judgement).
FEWER = 5
# How sure a finding is at most on which the two differ (judgement).
DOUBTED = 0.6


class Slot(NamedTuple):
    """What has one value in an examination."""

    item: str
    side: Side
    modality: str


def ask_differences(
    mine: Extraction,
    other: Extraction,
    labels: Mapping[str, str],
    talk: Collection[Place] = frozenset(),
) -> Extraction:
    """`mine` with a question wherever `other` has another value, side or finding, or took the
    words for `talk`, and nothing was asked about it yet; `labels` names items."""
    mine, turned = _on_one_arm(mine, other)
    here, there = _standing(mine), _standing(other)
    asked = _asked(mine)
    missing = {slot: f for slot, f in there.items() if slot not in here}
    doubts: list[Question] = []
    doubted: set[str] = set()
    running = False  # whether the finding before was of a doubtful side
    for slot, finding in here.items():
        theirs = turned.get(finding.finding_id) or there.get(slot)
        rival = missing.pop(_other_side(slot), None) if theirs is None else theirs
        same = theirs is not None and theirs.side == finding.side and _same(finding, theirs)
        if same or (rival is None and not _passed_over(finding, talk)):
            running = False
            continue
        if not _is_asked(slot, finding.finding_id, asked):
            doubted.add(finding.finding_id)
            running = _add(doubts, _question(finding, rival, labels), running)
    for slot, finding in missing.items():
        if not _is_asked(slot, "", asked):
            doubts.append(_unread(finding, labels))
    if not doubts:
        return mine
    findings = tuple(
        f.model_copy(update={"confidence": round(f.confidence * DOUBTED, 3)})
        if f.finding_id in doubted
        else f
        for f in mine.findings
    )
    questions = (*mine.questions, *doubts)
    return mine.model_copy(update={"findings": findings, "questions": questions})


def _on_one_arm(mine: Extraction, other: Extraction) -> tuple[Extraction, dict[str, Finding]]:
    """`mine` with the sides of `other` where that leaves fewer findings astray on an arm that was
    not compared; and the findings as they were by their ids."""
    here, there = _standing(mine), _standing(other)
    if _astray(there) + FEWER > _astray(here):
        return mine, {}
    turned = {
        finding.finding_id: finding
        for slot, finding in here.items()
        if slot not in there and _other_side(slot) in there and _other_side(slot) not in here
    }
    findings = tuple(
        f.model_copy(update={"side": OPPOSITE[f.side]}) if f.finding_id in turned else f
        for f in mine.findings
    )
    return mine.model_copy(update={"findings": findings}), turned


def _astray(standing: Mapping[Slot, Finding]) -> int:
    """How many findings of the arm that has fewer such are of nothing found on the other: what is
    looked at there is mostly compared."""
    alone = [s.side for s in standing if s.side in OPPOSITE and _other_side(s) not in standing]
    return min(alone.count("left"), alone.count("right"))


def _standing(extraction: Extraction) -> dict[Slot, Finding]:
    """The last finding of each slot that was not taken back, facts of the context left out."""
    gone = set(extraction.withdrawn)
    return {
        Slot(f.item, f.side, f.detail.get("modality", "")): f
        for f in extraction.findings
        if f.finding_id not in gone and not f.item.startswith("context.")
    }


def _other_side(slot: Slot) -> Slot:
    return slot._replace(side=OPPOSITE.get(slot.side, "none"))


def _same(one: Finding, other: Finding) -> bool:
    if one.item.startswith("sensation."):
        return SAME.get(one.value, one.value) == SAME.get(other.value, other.value)
    return one.value == other.value


def _asked(extraction: Extraction) -> set[str]:
    """Ids of findings, and items with their side, that a question is about."""
    ids = {i for q in extraction.questions for i in q.finding_ids}
    return ids | {f"{q.item} {q.side}" for q in extraction.questions if q.item}


def _is_asked(slot: Slot, finding_id: str, asked: set[str]) -> bool:
    return bool({finding_id, f"{slot.item} {slot.side}", f"{slot.item} none"} & asked)


def talk_in(sentences: Iterable[Sentence], utterances: Iterable[Utterance]) -> set[Place]:
    """The words of the utterances as they were heard that were taken for talk."""
    joined = {u.index: u for u in utterances if isinstance(u, Joined)}
    found: set[Place] = set()
    for mark in (m for sentence in sentences for m in sentence.marks if m.scope in FIRM):
        heard = mark.written.heard(mark.start, mark.end - 1)
        for one in stretches(heard, joined.get(heard.utterance)):
            found.update((one.utterance, n) for n in range(one.first_word, one.last_word + 1))
    return found


def _passed_over(finding: Finding, talk: Collection[Place]) -> bool:
    return any(
        (one.utterance, at) in talk
        for one in finding.heard
        for at in range(one.first_word, one.last_word + 1)
    )


def _question(mine: Finding, rival: Finding | None, labels: Mapping[str, str]) -> Question:
    name = labels.get(mine.item, mine.item)
    if rival is None:
        asked = f"{name} {mine.value}: is that a finding of today?"
        return _ask("commentary", mine, asked, (mine.value, "reject"))
    if rival.side != mine.side:
        asked, offered = f"{name} {mine.value}: which side?", (mine.side, rival.side)
        made = _ask("side", mine, asked, offered)
    else:
        asked, values = f"{name}: {mine.value} or {rival.value}?", (mine.value, rival.value)
        made = _ask("value", mine, asked, values)
    heard = tuple(dict.fromkeys((*mine.heard, *rival.heard)))
    return made.model_copy(update={"blocking": mine.item.startswith(GRADED), "heard": heard})


def _unread(rival: Finding, labels: Mapping[str, str]) -> Question:
    """About a finding that only the other reading has."""
    asked = f"Is {labels.get(rival.item, rival.item)} {rival.value}?"
    made = _ask("value", rival, asked, (rival.value, "reject"))
    return made.model_copy(update={"finding_ids": ()})


def _ask(
    kind: QuestionKind, finding: Finding, question: str, suggestions: tuple[str, ...]
) -> Question:
    return Question(
        kind=kind,
        blocking=False,
        item=finding.item,
        side=finding.side,
        question=question,
        suggestions=suggestions,
        finding_ids=(finding.finding_id,),
        heard=finding.heard,
        rule=RULE,
        score=finding.confidence,
    )


def _add(doubts: list[Question], new: Question, running: bool) -> bool:
    """Adds a question, to the one before where that is `running` and one answer settles both;
    whether the next may be added to it."""
    last = doubts[-1] if running else None
    if last is None or (new.kind, new.suggestions) != (last.kind, last.suggestions):
        doubts.append(new)
        return new.kind in ("side", "value")
    ids = (*last.finding_ids, *new.finding_ids)
    named, _, asked = last.question.partition(": ")
    # Of a side the first finding is heard again, which is where it may have turned.
    heard = last.heard if new.kind == "side" else tuple(dict.fromkeys((*last.heard, *new.heard)))
    doubts[-1] = last.model_copy(
        update={
            "finding_ids": ids,
            "blocking": last.blocking or new.blocking,
            "question": f"{named.partition(' and ')[0]} and {len(ids) - 1} more: {asked}",
            "heard": heard,
        }
    )
    return True
