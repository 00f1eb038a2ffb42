"""One session of decisions, whoever puts the questions: terminal, file, voice or page."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from dictate2exam.errors import RecordError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.questions import Question
from dictate2exam.record.assemble import refresh
from dictate2exam.record.model import Amendment, ExamRecord
from dictate2exam.review.answers import read_answer
from dictate2exam.review.resolve import answer as answered
from dictate2exam.review.topics import TAKEN_BACK, Topic, Worth, topics
from dictate2exam.units import Bits

if TYPE_CHECKING:
    from dictate2exam.review.spoken_answer import SpokenAnswer
    from dictate2exam.speech.model import Utterance

# Called with the record after every change, before the next question is put.
Save = Callable[[ExamRecord], None]


class Decisions:
    """The open questions of a record, decided one topic at a time; every answer can be undone.

    Nothing is preselected: the suggestions of a topic are empty until `shown` says that the words
    or the sound behind it were shown or played, and only then can it be agreed to. `worth` orders
    what does not block; `save` is called with the record after every change.
    """

    def __init__(
        self,
        record: ExamRecord,
        lexicon: Lexicon,
        worth: Worth | None = None,
        save: Save | None = None,
    ) -> None:
        self.record, self.lexicon = record, lexicon
        self._worth, self._save = worth, save
        self._known: dict[tuple[str, ...], Bits] = {}
        self._moved: dict[tuple[str, str], Bits | None] = {}
        self._moved_of: ExamRecord | None = None
        self._later: list[str] = []
        self._shown: set[str] = set()
        self._history: list[tuple[ExamRecord, Topic]] = []
        self._order: tuple[ExamRecord, tuple[Topic, ...]] | None = None

    @property
    def waiting(self) -> tuple[Topic, ...]:
        """The topics that are open, the one on top first; what was put off comes last."""
        if self._order is None or self._order[0] is not self.record:
            open_ = [q for q in self.record.questions if q.state == "open"]
            self._order = (
                self.record,
                tuple(topics(self.record, open_, self.lexicon, self._worth and self._bits)),
            )
        late = {name: at for at, name in enumerate(self._later)}
        return tuple(sorted(self._order[1], key=lambda topic: late.get(topic.lead.question_id, -1)))

    @property
    def top(self) -> Topic | None:
        """The topic to put now, gaps that don't block left out; None where none is left."""
        return next(iter(self.doubts), None)

    @property
    def doubts(self) -> tuple[Topic, ...]:
        """The topics that wait, without gaps that don't block."""
        return tuple(t for t in self.waiting if t.blocking or t.lead.kind != "gap")

    @property
    def gaps(self) -> tuple[Topic, ...]:
        """What was not examined and does not block, what would tell most first."""
        return tuple(t for t in self.waiting if t.lead.kind == "gap" and not t.blocking)

    @property
    def given(self) -> int:
        """How many topics were decided in this session."""
        return len(self._history)

    def topic_of(self, question_id: str) -> Topic:
        """The open topic with this question; RecordError where there is none."""
        for topic in self.waiting:
            if any(question.question_id == question_id for question in topic.questions):
                return topic
        raise RecordError(f"No question {question_id!r} is open.")

    def shown(self, topic: Topic) -> None:
        """Notes that the words or the sound behind the topic were shown or played."""
        self._shown.add(topic.lead.question_id)

    def was_shown(self, topic: Topic) -> bool:
        """Whether the words or the sound behind the topic were shown or played."""
        return topic.lead.question_id in self._shown

    def suggestions(self, topic: Topic) -> tuple[str, ...]:
        """The suggested answers, best first; none before the words or the sound were shown."""
        return topic.suggestions if self.was_shown(topic) else ()

    @property
    def weighs(self) -> bool:
        """Whether it is known what answers are worth to the location."""
        return self._worth is not None

    def moves(self, topic: Topic, answer: str) -> Bits | None:
        """How far an answer would move the location from where it is, 0 to 1 bit; None where that
        can't be told."""
        if self._worth is None:
            return None
        key = (topic.lead.question_id, answer)
        if self._moved_of is not self.record:
            self._moved_of, self._moved = self.record, {}
        if key not in self._moved:
            self._moved[key] = self._worth.of_answer(self.record, topic.lead, answer)
        return self._moved[key]

    def answer(self, topic: Topic, text: str) -> ExamRecord:
        """The record after this answer to all questions of the topic; RecordError changes nothing.

        Agreeing needs the words or the sound to have been shown before.
        """
        before, record = self.record, self.record
        self._must_be_open(topic)
        decision = read_answer(topic.lead, text, self.lexicon)
        if decision.act == "keep" and not self.was_shown(topic):
            raise RecordError("Hear or read the words behind the question before agreeing to it.")
        for question in topic.questions:
            if any(q == question.question_id for q in _open_ids(record)):
                # The first takes the answer as it is; what is left then stands as it says.
                said = text if question is topic.lead or decision.act == "skip" else "keep"
                record = answered(record, question.question_id, said, self.lexicon)
        self._history.append((before, topic))
        self._change(record)
        return record

    def hear(self, utterance: Utterance) -> SpokenAnswer:
        """What an utterance says to the topic on top, done where it is clear.

        An answer that does not fit is unclear, with the reason; nothing changes then.
        """
        from dictate2exam.review.spoken_answer import spoken_answer

        topic = self.top
        said = spoken_answer(self.waiting_after(topic), self.record, utterance, self.lexicon)
        if said.act == "undo":
            self.undo()
        if said.act == "later" and topic is not None:
            self.put_off(topic)
        if said.act == "answer":
            try:
                self.answer(self.topic_of(said.question_id), said.answer)
            except RecordError as error:
                return said.model_copy(update={"act": "unclear", "why": str(error)})
        return said

    def waiting_after(self, first: Topic | None) -> tuple[Topic, ...]:
        """The topics that wait, this one before all others."""
        return (*((first,) if first else ()), *(t for t in self.waiting if t != first))

    def put_off(self, topic: Topic) -> None:
        """Leaves the topic open and puts it after all others."""
        name = topic.lead.question_id
        self._later = [*(other for other in self._later if other != name), name]

    def undo(self) -> Topic | None:
        """Takes back the last answer of this session; its topic is open again, and on top.

        The record forgets nothing: findings that the answer had made stay in it as rejected, and
        both the answer and its being taken back are amendments. None where nothing was answered.
        """
        if not self._history:
            return None
        before, topic = self._history.pop()
        self._later = [name for name in self._later if name != topic.lead.question_id]
        self._change(_back(self.record, before, topic, self.lexicon))
        return next(
            (t for t in self.waiting if t.lead.question_id == topic.lead.question_id), topic
        )

    def follow(self, record: ExamRecord) -> None:
        """Goes on with a record that was changed elsewhere; earlier answers can't be undone."""
        self.record = record
        self._history.clear()

    def _change(self, record: ExamRecord) -> None:
        self.record = record
        if self._save is not None:
            self._save(record)

    def _must_be_open(self, topic: Topic) -> None:
        if topic.lead.question_id not in _open_ids(self.record):
            raise RecordError(f"Question {topic.lead.question_id} is not open any more.")

    def _bits(self, record: ExamRecord, question: Question) -> Bits:
        """What the answer is worth, reckoned anew only where the question has changed."""
        assert self._worth is not None
        key = (question.question_id, question.item, question.side, *question.finding_ids)
        if key not in self._known:
            self._known[key] = self._worth(record, question)
        return self._known[key]


def _open_ids(record: ExamRecord) -> set[str]:
    return {question.question_id for question in record.questions if question.state == "open"}


def _back(now: ExamRecord, before: ExamRecord, topic: Topic, lexicon: Lexicon) -> ExamRecord:
    """The record before an answer, with what came of the answer kept as taken back."""
    known = {entry.finding.finding_id for entry in before.findings}
    made = tuple(
        entry.model_copy(update={"state": "rejected", "superseded_by": ""})
        for entry in now.findings
        if entry.finding.finding_id not in known
    )
    notes = tuple(
        Amendment(question_id=note.question_id, answer=TAKEN_BACK, findings=note.findings)
        for note in now.amendments[len(before.amendments) :]
    )
    return refresh(
        before.model_copy(
            update={
                "findings": (*before.findings, *made),
                "amendments": (*now.amendments, *notes),
            }
        ),
        lexicon,
    )
