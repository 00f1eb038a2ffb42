"""Turns an answer into a changed record; a bad answer changes nothing."""

from collections.abc import Iterable, Sequence

from dictate2exam.errors import RecordError
from dictate2exam.findings.model import Finding
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.questions import Question, QuestionState
from dictate2exam.record.amend import (
    add_finding,
    close_question,
    find_entry,
    reject_findings,
    replace_finding,
    set_state,
)
from dictate2exam.record.model import Amendment, ExamRecord
from dictate2exam.review.answers import read_answer
from dictate2exam.review.checks.run import FILLED, check_record
from dictate2exam.review.checks.sides import examined_sides
from dictate2exam.review.model import Decision
from dictate2exam.review.topics import ALONG, closes_itself, settled_along
from dictate2exam.units import Side


def answer(record: ExamRecord, question_id: str, answer: str, lexicon: Lexicon) -> ExamRecord:
    """The record with one question answered, and all checks run again.

    Open questions that the same answer settles are closed along with it. Raises RecordError for
    an unknown or already answered question and for an impossible answer.
    """
    question = next((q for q in record.questions if q.question_id == question_id), None)
    if question is None:
        raise RecordError(
            f"There is no question {question_id!r}; questions.csv lists those of this examination."
        )
    along = closes_itself(question)
    if question.state == "answered" and question.answer != FILLED and not along:
        if question.answer == answer:
            return record
        raise RecordError(
            f"Question {question_id} is already answered with {question.answer!r}; run the "
            f"examination again to answer it differently."
        )
    decision = read_answer(question, answer, lexicon)
    if decision.act == "keep":
        decision = _yes_to_one(question, decision, lexicon)
    if along and decision.act in ("keep", "skip"):
        return record
    changed, ids = _apply(record, question, decision, lexicon)
    state: QuestionState = "skipped" if decision.act == "skip" else "answered"
    current = next(q for q in changed.questions if q.question_id == question_id)
    changed = close_question(
        changed,
        current.model_copy(
            update={
                "state": state,
                "answer": answer,
                "finding_ids": tuple(dict.fromkeys((*current.finding_ids, *ids))),
            }
        ),
    )
    for settled in settled_along(record, changed, question, decision, ids, lexicon):
        closed = {"state": "answered", "answer": f"{ALONG}{question_id}"}
        changed = close_question(changed, settled.model_copy(update=closed))
    note = Amendment(question_id=question_id, answer=answer, findings=tuple(ids))
    changed = changed.model_copy(update={"amendments": (*changed.amendments, note)})
    return check_record(changed, lexicon)


def _yes_to_one(question: Question, decision: Decision, lexicon: Lexicon) -> Decision:
    """What yes means where nothing stands yet and one value is offered: "is deltoid four?"."""
    offered = [text for text in question.suggestions if text != "reject"]
    if question.finding_ids or not question.item or len(offered) != 1:
        return decision
    return read_answer(question, offered[0], lexicon)


def answer_all(
    record: ExamRecord, answers: Iterable[tuple[str, str]], lexicon: Lexicon
) -> ExamRecord:
    """The record with all these answers, in their order; a bad one raises and nothing is kept."""
    for question_id, text in answers:
        record = answer(record, question_id, text, lexicon)
    return record


def _apply(
    record: ExamRecord, question: Question, decision: Decision, lexicon: Lexicon
) -> tuple[ExamRecord, list[str]]:
    """The record after the decision, and the ids of the findings that it touched or made."""
    standing = [i for i in question.finding_ids if find_entry(record, i).stands]
    if decision.act == "skip":
        return record, []
    if decision.act == "reject":
        return reject_findings(record, standing), standing
    if decision.act == "keep":
        if not standing and question.kind != "gap":
            raise RecordError(
                f"Question {question.question_id} hangs on no finding that could be kept: answer "
                f"with a value, reject or skip."
            )
        return record, standing
    if question.kind == "conflict" and not decision.item:
        earlier = _earlier(record, question, decision)
        if earlier is not None:
            return _restore(record, standing, earlier), [earlier.finding_id]
    chosen = _meant(record, standing, decision)
    if not chosen:
        return _made(record, question, decision, lexicon)
    ids: list[str] = []
    for finding in chosen:
        record, changed = _changed(record, finding, decision, lexicon)
        ids += changed
    return record, ids


def _meant(record: ExamRecord, standing: Sequence[str], decision: Decision) -> list[Finding]:
    """Which of the question's findings the answer is about: those of a named item, else all."""
    findings = [find_entry(record, finding_id).finding for finding_id in standing]
    if decision.item and decision.value:
        named = [finding for finding in findings if finding.item == decision.item]
        return named or (findings if len(findings) == 1 else [])
    return findings


def _earlier(record: ExamRecord, question: Question, decision: Decision) -> Finding | None:
    """The superseded finding of the conflict that holds the chosen value, if one does."""
    entries = [find_entry(record, finding_id) for finding_id in question.finding_ids]
    if any(entry.stands and entry.finding.value == decision.value for entry in entries):
        return None
    return next(
        (
            entry.finding
            for entry in reversed(entries)
            if entry.state == "superseded" and entry.finding.value == decision.value
        ),
        None,
    )


def _restore(record: ExamRecord, standing: Sequence[str], finding: Finding) -> ExamRecord:
    record = set_state(record, standing, "superseded", finding.finding_id)
    return set_state(record, [finding.finding_id], "confirmed")


def _changed(
    record: ExamRecord, finding: Finding, decision: Decision, lexicon: Lexicon
) -> tuple[ExamRecord, list[str]]:
    """One finding with the answered item, value and side; unchanged where it says so already."""
    item = decision.item or finding.item
    values = lexicon.items[item].values
    value = decision.value or finding.value
    if values and value not in values:
        raise RecordError(
            f"{value!r} is no value of {item}: it takes {', '.join(values)}; name item and value."
        )
    scale = decision.scale or scale_of(item, value, finding.scale if value.isdigit() else "")
    ids: list[str] = []
    for number, side in enumerate(decision.sides or (finding.side,)):
        new = finding.model_copy(
            update={
                "item": item,
                "value": value,
                "scale": scale,
                "side": side,
                "side_spoken": True if decision.sides else finding.side_spoken,
                "rule": "review",
                "confidence": 1.0,
                "detail": {k: v for k, v in finding.detail.items() if k != "hedged"},
            }
        )
        same = (item, value, side) == (finding.item, finding.value, finding.side)
        if same and number == 0:
            ids.append(finding.finding_id)
        elif number == 0:
            record, new_id = replace_finding(record, finding.finding_id, new)
            ids.append(new_id)
        else:
            record = add_finding(record, new)
            ids.append(record.findings[-1].finding.finding_id)
    return record, ids


def _made(
    record: ExamRecord, question: Question, decision: Decision, lexicon: Lexicon
) -> tuple[ExamRecord, list[str]]:
    """A new finding where the question hung on none: a gap that is filled, a term made out."""
    item = decision.item or question.item
    if item and not decision.value and question.heard:
        named = _named(record, question, decision, lexicon)
        if named is not None:
            return named
    if not item or not decision.value:
        raise RecordError(
            f"Question {question.question_id} needs an item and a value, such as "
            f"'power.deltoid 4 right', or reject or skip."
        )
    ids: list[str] = []
    for side in decision.sides or _side_for(record, question):
        made = Finding(
            finding_id="",
            item=item,
            side=side,
            value=decision.value,
            scale=decision.scale or scale_of(item, decision.value, ""),
            heard=question.heard,
            rule="review",
        )
        record = add_finding(record, made)
        ids.append(record.findings[-1].finding.finding_id)
    return record, ids


def _named(
    record: ExamRecord, question: Question, decision: Decision, lexicon: Lexicon
) -> tuple[ExamRecord, list[str]] | None:
    """What the speech says of the item that the answer named; None where it says no value."""
    from dictate2exam.review.rereading import reread

    ids: list[str] = []
    for finding in reread(record, question, decision.item or question.item, lexicon):
        for side in decision.sides or (finding.side,):
            changed = {"side": side, "rule": "review", "confidence": 1.0}
            record = add_finding(record, finding.model_copy(update=changed))
            ids.append(record.findings[-1].finding.finding_id)
    return (record, ids) if ids else None


def _side_for(record: ExamRecord, question: Question) -> tuple[Side, ...]:
    """The side of the question, else the one side that the examination is about."""
    if question.side != "none":
        return (question.side,)
    sides = [side for side in examined_sides(record) if side != "none"]
    if len(sides) == 1:
        return (sides[0],)
    raise RecordError(
        f"Question {question.question_id} needs a side as well: answer with value and side, "
        f"such as '4 right'."
    )


def scale_of(item: str, value: str, known: str) -> str:
    """The scale of a value: as known, else MRC for power and ten for a number of sensation."""
    if item.startswith("power."):
        return "mrc" if value != "not_tested" else ""
    if item.startswith("sensation.") and value.isdigit():
        return known or "ten"
    return ""
