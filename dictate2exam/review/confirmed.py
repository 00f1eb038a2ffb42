"""What answers tell of the examiner's voice: words heard in place of a term, as was confirmed."""

from dictate2exam.lexicon.items import build_items
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.terms import Term
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.answers import read_answer

KINDS = ("mishearing", "unknown_term")


def confirmed_mishearings(
    before: ExamRecord, after: ExamRecord, lexicon: Lexicon
) -> list[tuple[str, str, str]]:
    """Words heard, and category and id of the term meant, of questions answered in between.

    Only of questions about which term was meant: an answer with another value tells of no term.
    """
    answered = {q.question_id for q in before.questions if q.state == "answered"}
    terms = _terms_by_item(lexicon)
    found = []
    for question in after.questions:
        if question.state != "answered" or question.question_id in answered:
            continue
        term = terms.get(_item_meant(question, lexicon))
        if term is not None and len(question.heard) == 1:
            found.append((question.heard[0].text, term.category, term.term_id))
    return found


def _item_meant(question: Question, lexicon: Lexicon) -> str:
    """The item that the answer gives the heard words; empty where it does not tell."""
    if question.kind not in KINDS:
        return ""
    item = lexicon.items.get(question.item)
    values = item.values if item else ()
    if any(s in values or s == "reject" for s in question.suggestions):
        return ""  # it was about the value
    decision = read_answer(question, question.answer, lexicon)
    if decision.act == "keep":
        return question.item
    return decision.item if decision.act == "set" else ""


def _terms_by_item(lexicon: Lexicon) -> dict[str, Term]:
    made: dict[str, Term] = {}
    for term in lexicon.terms:
        if not term.is_group:
            for item in build_items((term,)):
                made.setdefault(item.item_id, term)
    return made
