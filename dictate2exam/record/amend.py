"""The ways in which a record changes: every one gives a new record and forgets nothing."""

from collections.abc import Iterable, Sequence

from dictate2exam.findings.model import Finding
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord, FindingState, RecordedFinding


def next_finding_id(record: ExamRecord) -> str:
    """The id of the next new finding."""
    return f"f{len(record.findings) + 1:03d}"


def find_entry(record: ExamRecord, finding_id: str) -> RecordedFinding:
    """The finding of that id, standing or not."""
    return next(entry for entry in record.findings if entry.finding.finding_id == finding_id)


def add_finding(record: ExamRecord, finding: Finding) -> ExamRecord:
    """The record with one more finding, which gets the next id."""
    new = finding.model_copy(update={"finding_id": next_finding_id(record)})
    entry = RecordedFinding(finding=new, state="confirmed")
    return record.model_copy(update={"findings": (*record.findings, entry)})


def set_state(
    record: ExamRecord, ids: Iterable[str], state: FindingState, superseded_by: str = ""
) -> ExamRecord:
    """The record with these findings in another state."""
    chosen = set(ids)
    return record.model_copy(
        update={
            "findings": tuple(
                entry.model_copy(update={"state": state, "superseded_by": superseded_by})
                if entry.finding.finding_id in chosen
                else entry
                for entry in record.findings
            )
        }
    )


def replace_finding(record: ExamRecord, finding_id: str, new: Finding) -> tuple[ExamRecord, str]:
    """The record with a new finding in place of another, and the new one's id.

    Open questions on the old finding go over to the new one.
    """
    record = add_finding(record, new.model_copy(update={"corrects": finding_id}))
    new_id = record.findings[-1].finding.finding_id
    record = set_state(record, [finding_id], "superseded", new_id)
    questions = tuple(
        question.model_copy(
            update={
                "finding_ids": tuple(
                    new_id if known == finding_id else known for known in question.finding_ids
                ),
                "item": new.item
                if question.finding_ids == (finding_id,) and question.item
                else question.item,
                "side": new.side if question.kind != "side" else question.side,
            }
        )
        if question.state == "open" and finding_id in question.finding_ids
        else question
        for question in record.questions
    )
    return record.model_copy(update={"questions": questions}), new_id


def reject_findings(record: ExamRecord, ids: Sequence[str]) -> ExamRecord:
    """The record without these findings; what they had replaced stands again."""
    chosen = set(ids)
    restored = [
        entry.finding.finding_id
        for entry in record.findings
        if entry.state == "superseded"
        and entry.superseded_by in chosen
        and entry.finding.finding_id not in chosen
        and not _same_words(entry.finding, find_entry(record, entry.superseded_by).finding)
    ]
    record = set_state(record, chosen, "rejected")
    return set_state(record, restored, "accepted")


def _same_words(one: Finding, other: Finding) -> bool:
    """Whether both come from the same speech, so that the one is only an edit of the other."""
    return bool(set(one.heard) & set(other.heard))


def add_questions(record: ExamRecord, questions: Iterable[Question]) -> ExamRecord:
    """The record with further questions, numbered after those it has."""
    start = len(record.questions) + 1
    numbered = tuple(
        question.model_copy(update={"question_id": f"q{number:03d}"})
        for number, question in enumerate(questions, start=start)
    )
    return record.model_copy(update={"questions": record.questions + numbered})


def close_question(record: ExamRecord, question: Question) -> ExamRecord:
    """The record with this version of one of its questions."""
    return record.model_copy(
        update={
            "questions": tuple(
                question if known.question_id == question.question_id else known
                for known in record.questions
            )
        }
    )


def with_states(record: ExamRecord) -> ExamRecord:
    """The record with the states of its standing findings as its questions say.

    An open question makes a finding one to confirm; an answered one confirms it; a skipped one
    leaves it to confirm.
    """
    asked: dict[str, set[str]] = {}
    for question in record.questions:
        for finding_id in question.finding_ids:
            asked.setdefault(finding_id, set()).add(question.state)

    def state_of(entry: RecordedFinding) -> FindingState:
        states = asked.get(entry.finding.finding_id, set())
        if not entry.stands:
            return entry.state
        if "open" in states:
            return "to_confirm"
        if "answered" in states:
            return "confirmed"
        if "skipped" in states:
            return "to_confirm"
        return "confirmed" if entry.state == "confirmed" else "accepted"

    return record.model_copy(
        update={
            "findings": tuple(
                entry.model_copy(update={"state": state_of(entry)}) for entry in record.findings
            )
        }
    )
