"""What is done with what was said and what was pressed: orders, answers, speech, the signature."""

from typing import TYPE_CHECKING, Literal

from dictate2exam.errors import Dictate2ExamError
from dictate2exam.live import keeping, whole
from dictate2exam.live.chart import key_of
from dictate2exam.live.deciding import decide, spoken_answer
from dictate2exam.live.ledger import (
    Answered,
    Consented,
    Microphone,
    Ordered,
    Spoken,
    TakenBack,
)
from dictate2exam.live.messages.from_page import (
    Answer,
    Ask,
    Consent,
    Device,
    FromPage,
    GiveOrder,
    Sign,
)
from dictate2exam.live.messages.kinds import OrderName
from dictate2exam.live.messages.to_page import Done, Signed, ToPage, Trouble
from dictate2exam.live.orders import OrderReader
from dictate2exam.live.reading import last_asked, last_findings, same_question
from dictate2exam.live.saying import all_said
from dictate2exam.live.showing import show_location, show_next
from dictate2exam.questions import Question
from dictate2exam.record.log import now
from dictate2exam.speech.model import Utterance

if TYPE_CHECKING:
    from dictate2exam.live.examination import Examination

By = Literal["voice", "key"]
NEAR_S = 0.05


class Acting:
    """Changes one examination; every change is on disk before it counts and is told."""

    def __init__(self, examination: "Examination") -> None:
        self._exam = examination
        self._orders = OrderReader(examination.lexicon)

    def do(self, tab: str, message: FromPage) -> None:
        """A message from the page."""
        if isinstance(message, Consent):
            self._consent(message)
        elif isinstance(message, Device):
            self._exam.write(Microphone(time=now(), label=message.label, rate=message.rate))
        elif isinstance(message, GiveOrder):
            self._order(message.order, "key")
        elif isinstance(message, Answer):
            self._answer_typed(tab, message)
        elif isinstance(message, Ask):
            self._show(tab, message.what)
        elif isinstance(message, Sign):
            self._sign(tab, message)

    def take(self, utterance: Utterance) -> None:
        """One utterance: an order, an answer, or speech of the examination."""
        exam = self._exam
        if utterance.start_s < exam.progress.heard_to - 1e-3:
            return  # taken before the restart
        order = self._orders.read(utterance)
        if order and order[0] == "answer" and order[1]:
            self._answer_spoken(utterance, order[1])
        elif order:
            self._order(order[0], "voice", utterance)
        elif exam.progress.answering or self._after_finish(utterance):
            self._answer_spoken(utterance, utterance)
        else:
            self._speech(utterance)

    def take_aside(self, utterance: Utterance) -> None:
        """An utterance heard while paused: it is let go, unless it is the order to go on."""
        order = self._orders.read(utterance)
        if order and order[0] in ("go_on", "finish"):
            self._order(order[0], "voice")

    def _speech(self, utterance: Utterance) -> None:
        exam = self._exam
        exam.write(Spoken(utterance=utterance))
        exam.forget_whole()
        before = exam.reread()
        became, what, new = whole.became(before, exam.record, utterance, exam.lexicon)
        exam.telling.heard(utterance, became, what, new)
        exam.telling.chart()

    def _after_finish(self, utterance: Utterance) -> bool:
        finished = self._exam.progress.finished_at
        return finished is not None and utterance.start_s >= finished - NEAR_S

    def _consent(self, message: Consent) -> None:
        exam = self._exam
        if exam.progress.phase != "consent":
            return
        given = Consented(
            time=now(), agreed=message.agreed, version=message.version, by=message.by.strip()
        )
        exam.write(given)
        exam.telling.phase()

    def _order(self, order: OrderName, by: By, utterance: Utterance | None = None) -> None:
        """An order by key, or by voice with its utterance (none where it was heard aside)."""
        exam = self._exam
        at_s = utterance.start_s if utterance else exam.progress.heard_to
        if order == "finish" and by == "key":
            at_s = exam.journal.seconds
        given = Ordered(time=now(), order=order, by=by, at_s=at_s)
        fits, say = self._fits(order, at_s)
        if fits:
            exam.write(Spoken(utterance=utterance, order=given) if utterance else given)
        elif utterance:
            exam.write(Spoken(utterance=utterance, unread=True))
        if exam.progress.phase != "paused" and exam.aside:
            exam.aside.close()
            exam.aside = None
        gone: tuple[str, ...] = ()
        if fits and order in ("take_back", "go_on", "finish"):
            exam.forget_whole()
            before = exam.reread()
            if order == "take_back":
                standing = {key_of(finding) for finding in exam.record.standing}
                lost = [f for f in before.standing if key_of(f) not in standing]
                gone = tuple(finding.finding_id for finding in lost)
                asked = [
                    f"the question about “{question.heard[0].text}”"
                    for question in last_asked(before.standing, before.questions, at_s)
                    if same_question(exam.record.questions, question) is None
                ]
                say = f"Taken back: {'; '.join(asked) or all_said(lost, exam.lexicon)}."
            exam.telling.chart()
        if fits and order == "finish":
            _, say = self._finished()
        if utterance:
            exam.telling.heard(utterance, "order", say)
        exam.telling.phase()
        exam.tabs.tell_all(Done(order=order, say=say, finding_ids=gone))
        if order == "show_left":
            show_next(exam.record, exam.lexicon, exam.tabs.tell_all)

    def _fits(self, order: OrderName, at_s: float) -> tuple[bool, str]:
        """Whether the order can be carried out now, and what is said to it."""
        exam = self._exam
        phase = exam.progress.phase
        if phase in ("consent", "signed"):
            return False, "That is not possible now."
        last = last_findings(exam.record.standing, at_s)
        if order == "take_back":
            asked = last_asked(exam.record.standing, exam.record.questions, at_s)
            return bool(last or asked), "There is nothing to take back."
        if order == "repeat":
            said = all_said(last, exam.lexicon)
            return True, f"{said[:1].upper()}{said[1:]}." if last else "Nothing was found yet."
        if order == "show_left":
            return True, whole.what_is_left(exam.record, exam.lexicon)
        if order == "answer":
            waiting = exam.questions
            return bool(waiting), waiting[0].question if waiting else "No question is open."
        if order == "pause":
            return phase == "listening", "Paused; nothing is kept until you go on."
        if order == "go_on":
            return phase != "listening" and exam.takes_sound, "Listening."
        return self._finished() if phase == "asking" else (True, "")

    def _finished(self) -> tuple[bool, str]:
        """Whether what is open may stay open, and what is said after the finish."""
        exam = self._exam
        if exam.record.blocking:
            waiting = exam.questions
            return False, f"{_counted(len(waiting))} to answer. First: {waiting[0].question}"
        waiting = exam.questions
        if waiting and not exam.progress.skipping:
            return True, f"{_counted(len(waiting))} to answer; none blocks."
        return True, "Ready to be signed."

    def _answer_spoken(self, utterance: Utterance, said: Utterance) -> None:
        """Words that answer a question; what is no clear answer changes nothing.

        While one examines, words that are about no open question are speech as any other.
        """
        exam = self._exam
        found = spoken_answer(exam.record, said, exam.lexicon, gaps=exam.finished)
        if found.act == "other" and not exam.finished:
            self._speech(utterance)
            exam.telling.phase()
            return
        if found.act == "undo" and exam.progress.answers:
            exam.write(Spoken(utterance=utterance, taken_back=TakenBack(time=now(), by="voice")))
            exam.telling.heard(utterance, "answer", "the last answer is taken back")
            self._answered("Taken back", ())
            return
        question = next(
            (q for q in exam.record.questions if q.question_id == found.question_id), None
        )
        if found.act != "answer" or question is None or self._misfit(question, found.answer):
            exam.write(Spoken(utterance=utterance, unread=True))
            top = exam.questions[0].question if exam.questions else "no question is open"
            exam.telling.heard(utterance, "nothing", f"{found.why or 'no answer'} {top}".strip())
            return
        answered = Answered(time=now(), question=question, answer=found.answer, by="voice")
        exam.write(Spoken(utterance=utterance, answer=answered))
        exam.telling.heard(utterance, "answer", f"answer: {found.answer}")
        self._answered(found.answer, question.finding_ids)

    def _answer_typed(self, tab: str, message: Answer) -> None:
        exam = self._exam
        question = next(
            (q for q in exam.record.questions if q.question_id == message.question_id), None
        )
        if question is None or question.state != "open" or exam.progress.phase == "signed":
            wrong = f"Question {message.question_id} is not open any more."
        else:
            wrong = self._misfit(question, message.answer)
        if wrong or question is None:
            exam.tabs.tell(tab, Trouble(trouble="input", message=wrong))
            return
        exam.write(
            Answered(
                time=now(),
                question=question,
                answer=message.answer,
                by="key",
                played=message.played,
            )
        )
        self._answered(message.answer, question.finding_ids)

    def _misfit(self, question: Question, given: str) -> str:
        """Why this answer can't be taken; empty where it can."""
        try:
            decide(self._exam.record, question, given, self._exam.lexicon)
        except Dictate2ExamError as error:
            return str(error)
        return ""

    def _answered(self, given: str, ids: tuple[str, ...]) -> None:
        exam = self._exam
        exam.reread()
        exam.telling.chart()
        exam.telling.phase()
        left = len(exam.questions)
        more = f"{_counted(left)} left." if left else "No question left."
        exam.tabs.tell_all(Done(order="answer_given", say=f"{given}. {more}", finding_ids=ids))

    def _show(self, tab: str, what: str) -> None:
        exam = self._exam

        def tell(message: ToPage) -> None:
            exam.tabs.tell(tab, message)

        if what == "chart":
            exam.telling.everything(tab)
        elif what == "next":
            show_next(exam.record, exam.lexicon, tell)
        else:
            show_location(exam.record, exam.lexicon, tell)

    def _sign(self, tab: str, message: Sign) -> None:
        exam = self._exam
        if exam.progress.phase != "asking":
            exam.refuse(tab, "Finish the examination first, then sign it.")
            return
        exam.end_sound()
        exam.telling.chart()
        if exam.record.blocking:
            exam.refuse(tab, self._finished()[1])
            return
        by = " ".join(message.by.split())
        try:
            keeping.sign(exam.folder, exam.record, exam.ledger, exam.journal, by, exam.lexicon)
        except (Dictate2ExamError, OSError) as error:
            exam.refuse(tab, str(error))
            return
        exam.progress.apply(exam.ledger.entries[-1])
        if exam.ears:
            exam.ears.close()
            exam.ears = None
        keeping.put_journal_away(exam.folder, exam.journal)
        exam.reread()
        exam.telling.phase()
        exam.tabs.tell_all(
            Signed(
                by=by,
                at=now(),
                report=f"/api/examinations/{exam.folder.name}/report",
                located=(exam.folder / "localisation.json").exists(),
                say=f"Signed by {by}.",
            )
        )


def _counted(questions: int) -> str:
    return f"{questions} question{'s' if questions != 1 else ''}"
