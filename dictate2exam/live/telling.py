"""What the tabs are told of an examination's state."""

from typing import TYPE_CHECKING

from dictate2exam.live.chart import Key, chart_of, key_of, questions_of
from dictate2exam.live.messages.kinds import Became
from dictate2exam.live.messages.to_page import Heard, Partial, PhaseIs, ToPage, Trouble
from dictate2exam.speech.model import Utterance

if TYPE_CHECKING:
    from dictate2exam.live.examination import Examination


class Telling:
    """Tells all tabs of one examination what has changed, and a new one everything."""

    def __init__(self, examination: "Examination") -> None:
        self._exam = examination
        self._revision = 0
        self._known: frozenset[Key] = frozenset()
        self._partial = ""

    def everything(self, tab: str) -> None:
        """The whole state, to one tab."""
        exam = self._exam
        for message in (*self._chart(frozenset(map(key_of, exam.record.standing))), self._phase()):
            exam.tabs.tell(tab, message)
        if not exam.hearer.done():
            ready = "The listeners are being made ready; what is said is stored already."
            exam.tabs.tell(tab, Trouble(trouble="recogniser", message=ready))
        elif exam.hearer.exception():
            exam.tabs.tell(
                tab,
                Trouble(trouble="recogniser", message=f"{exam.hearer.exception()}", lasting=True),
            )

    def chart(self) -> None:
        """Chart and questions, to all."""
        for message in self._chart(self._known):
            self._exam.tabs.tell_all(message)
        self._known = frozenset(map(key_of, self._exam.record.standing))

    def phase(self) -> None:
        """The phase, to all."""
        self._exam.tabs.tell_all(self._phase())

    def heard(
        self, utterance: Utterance, became: Became, what: str, ids: tuple[str, ...] = ()
    ) -> None:
        """What has become of an utterance, to all."""
        self._partial = ""
        self._exam.tabs.tell_all(
            Heard(
                text=utterance.text,
                start_s=utterance.start_s,
                end_s=utterance.end_s,
                became=became,
                what=what,
                finding_ids=ids,
            )
        )

    def partial(self, early: Utterance | None, words: str) -> None:
        """Words that may still change, where they have changed: those read ahead, else `words`."""
        fresh = early is not None and early.start_s >= self._exam.progress.heard_to - 1e-3
        text = early.text if early and fresh else words
        if text != self._partial:
            self._partial = text
            self._exam.tabs.tell_all(Partial(text=text))

    def _chart(self, known: frozenset[Key]) -> tuple[ToPage, ToPage]:
        exam = self._exam
        self._revision += 1
        return (
            chart_of(exam.record, exam.lexicon, self._revision, known),
            questions_of(exam.record, exam.lexicon, gaps=exam.finished),
        )

    def _phase(self) -> PhaseIs:
        exam = self._exam
        waiting = exam.questions
        asks = exam.progress.answering or exam.progress.phase == "asking"
        return PhaseIs(
            phase=exam.phase, answering=waiting[0].question_id if waiting and asks else ""
        )
