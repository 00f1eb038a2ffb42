"""Runs the checks over a record, at first and again after every answer."""

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.protocols import read_protocol
from dictate2exam.questions import Question
from dictate2exam.record.amend import add_questions
from dictate2exam.record.assemble import refresh
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.settle import settle
from dictate2exam.review.checks.gaps import examined_items, gap_questions, is_covered
from dictate2exam.review.checks.implausible import implausible_questions
from dictate2exam.review.checks.sides import examined_sides

# The answer of a gap that needed none any more; a person may still answer it.
FILLED = "examined meanwhile"


def check_record(record: ExamRecord, lexicon: Lexicon) -> ExamRecord:
    """The record with the questions of every check; a question once asked is not asked again.

    Open gaps that meanwhile have been filled are closed.
    """
    record = _close_filled(settle(record, lexicon), lexicon)
    asked = {_topic(question) for question in record.questions}
    new = [
        question
        for question in (
            *implausible_questions(record, lexicon),
            *gap_questions(record, lexicon),
        )
        if _topic(question) not in asked
    ]
    return refresh(add_questions(record, new), lexicon)


def _topic(question: Question) -> tuple[str, ...]:
    """What makes a question the same as one asked before."""
    if question.kind == "gap":
        return ("gap", question.item, question.side)
    return (question.kind, question.question)


def _close_filled(record: ExamRecord, lexicon: Lexicon) -> ExamRecord:
    """Gaps that findings have filled, or whose side turned out not to be examined, are closed."""
    protocol = read_protocol(lexicon.folder, record.protocol)
    by_item = {requirement.item: requirement for requirement in protocol.requirements}
    sides = examined_sides(record)
    graded = any(f.item.startswith(("power.", "sensation.")) for f in record.standing)

    def closed(question: Question) -> Question:
        if question.kind != "gap" or question.state != "open":
            return question
        requirement = by_item.get(question.item)
        filled = (
            is_covered(requirement, examined_items(record, question.side), lexicon)
            or question.side not in sides
            if requirement
            else graded and not question.item
        )
        if not filled:
            return question
        return question.model_copy(update={"state": "answered", "answer": FILLED})

    return record.model_copy(update={"questions": tuple(closed(q) for q in record.questions)})
