"""The one place where the live page leans on the review: order of questions, answers."""

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.spoken_answers import read_spoken_answers
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.decisions import Decisions
from dictate2exam.review.spoken_answer import SpokenAnswer
from dictate2exam.review.spoken_answer import spoken_answer as review_spoken_answer
from dictate2exam.speech.model import Utterance


def open_questions(record: ExamRecord, lexicon: Lexicon, gaps: bool = True) -> list[Question]:
    """The open questions in the order in which they are put; gaps that block nothing left out.

    What one answer settles is one question, the one that leads. Without `gaps` those that block
    are left out too: while one examines, what was not examined yet is no doubt.
    """
    leads = [topic.lead for topic in Decisions(record, lexicon).doubts]
    return [question for question in leads if gaps or question.kind != "gap"]


def decide(record: ExamRecord, question: Question, said: str, lexicon: Lexicon) -> ExamRecord:
    """The record with the question answered; RecordError where the answer does not fit."""
    decisions = Decisions(record, lexicon)
    topic = decisions.topic_of(question.question_id)
    decisions.shown(topic)  # the page shows the words behind a question before it takes an answer
    return decisions.answer(topic, said)


def spoken_answer(
    record: ExamRecord, utterance: Utterance, lexicon: Lexicon, gaps: bool = True
) -> SpokenAnswer:
    """What an utterance says to the question on top, or to another that is open."""
    waiting = [t for t in Decisions(record, lexicon).doubts if gaps or t.lead.kind != "gap"]
    if not waiting and utterance.text.lower() in read_spoken_answers(lexicon.folder).act["undo"]:
        return SpokenAnswer(act="undo")  # of the last question too
    return review_spoken_answer(waiting, record, utterance, lexicon)
