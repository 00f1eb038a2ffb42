"""From what was said, taken back and answered so far to the record: always the whole, anew.

The findings of one utterance may depend on those before and change those before (a side that is
named late), so that reading anew is the only way to the record that the same sound gives as a file.
"""

from collections.abc import Sequence
from typing import NamedTuple

from dictate2exam.errors import RecordError
from dictate2exam.findings.extract import extract
from dictate2exam.findings.model import Extraction, Finding
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.live.deciding import decide
from dictate2exam.live.ledger import Answered
from dictate2exam.questions import Question
from dictate2exam.record.assemble import assemble
from dictate2exam.record.meaning import place_of
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.checks.run import check_record
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript, Utterance
from dictate2exam.units import Seconds

NEAR_S = 0.05


class Reader:
    """Reads the record of one examination; what is about to be said for sure is read beforehand."""

    def __init__(self, lexicon: Lexicon, settings: Settings, created: str) -> None:
        self._lexicon, self._settings, self._created = lexicon, settings, created
        self._known: tuple[Speech, ExamRecord] | None = None

    def read(self, speech: "Speech") -> ExamRecord:
        """The record, at once where it was prepared."""
        if self._known is None or not self._known[0].same(speech):
            self._known = speech, self._read(speech)
        record = self._known[1]
        duration = speech.transcript.duration_s
        return record.model_copy(
            update={"transcript": record.transcript.model_copy(update={"duration_s": duration})}
        )

    def prepare(self, speech: "Speech") -> None:
        """Reads what will be asked for if nothing changes."""
        if self._known is None or not self._known[0].same(speech):
            self._known = speech, self._read(speech)

    def _read(self, speech: "Speech") -> ExamRecord:
        return read_record(
            speech.transcript,
            speech.withdrawals,
            speech.answers,
            self._lexicon,
            self._settings,
            self._created,
            twice=not speech.listening,
        )


class Speech(NamedTuple):
    """All that a record is read from; utterances are numbered anew when they are read.

    While one is `listening` they are read once, for the time it takes.
    """

    transcript: Transcript
    withdrawals: tuple[Seconds, ...]
    answers: tuple[Answered, ...]
    listening: bool = False

    def same(self, other: "Speech") -> bool:
        """Whether both give the same record, apart from how long the sound is."""
        mine, theirs = self.transcript, other.transcript
        return (
            self[1:] == other[1:]
            and len(mine.utterances) == len(theirs.utterances)
            and all(map(_same_words, mine.utterances, theirs.utterances))
            and (mine.signal, mine.listeners, mine.source)
            == (theirs.signal, theirs.listeners, theirs.source)
        )


def _same_words(one: Utterance, other: Utterance) -> bool:
    return one is other or one == other.model_copy(update={"index": one.index})


def read_record(
    transcript: Transcript,
    withdrawals: Sequence[Seconds],
    answers: Sequence[Answered],
    lexicon: Lexicon,
    settings: Settings,
    created: str,
    twice: bool = True,
) -> ExamRecord:
    """The record of the speech, without what was taken back, and with the answers given.

    An answer whose question is gone, since later speech has settled it, changes nothing.
    """
    transcript = transcript.model_copy(
        update={
            "utterances": tuple(
                utterance.model_copy(update={"index": n})
                for n, utterance in enumerate(transcript.utterances)
            )
        }
    )
    extraction = extract(transcript, lexicon, settings, twice)
    extraction = _without(extraction, withdrawals)
    record = assemble(transcript, extraction, lexicon, settings, created)
    record = check_record(record, lexicon)
    for given in answers:
        question = same_question(record.questions, given.question)
        if question is None:
            continue
        try:
            record = decide(record, question, given.answer, lexicon)
        except RecordError:
            continue
    return record


def same_question(questions: Sequence[Question], known: Question) -> Question | None:
    """The open question that asks the same of the same words; numbers may have changed."""
    for question in questions:
        if question.state != "open" or question.kind != known.kind:
            continue
        if (question.item, question.side) != (known.item, known.side) and known.kind != "side":
            continue
        if not known.heard or not question.heard:
            if question.question == known.question:
                return question
        elif abs(question.heard[0].start_s - known.heard[0].start_s) <= NEAR_S:
            return question
    return None


def last_findings(findings: Sequence[Finding], before_s: Seconds) -> list[Finding]:
    """What was found last, by words that ended before that second: all that the same words gave.

    "All three parts of deltoid zero" is taken back as a whole: too much taken back is a gap that
    is seen, too little a wrong finding that nobody asks about.
    """
    ends = {f.finding_id: max(s.end_s for s in f.heard) for f in findings if f.heard}
    spoken = [f for f in findings if ends.get(f.finding_id, before_s + 1) <= before_s + NEAR_S]
    if not spoken:
        return []
    last = max(ends[f.finding_id] for f in spoken)
    return sorted((f for f in spoken if ends[f.finding_id] >= last - NEAR_S), key=place_of)


def last_asked(
    findings: Sequence[Finding], questions: Sequence[Question], before_s: Seconds
) -> list[Question]:
    """The questions whether the last words are a finding at all, where those came after all found.

    Who takes back what was said just now means these words, not the finding before them.
    """
    ended = [
        (max(span.end_s for span in q.heard), q)
        for q in questions
        if q.kind == "commentary" and q.state == "open" and q.heard and not q.finding_ids
    ]
    found = last_findings(findings, before_s)
    last_found = max((span.end_s for f in found for span in f.heard), default=-1.0)
    late = [(end, q) for end, q in ended if last_found + NEAR_S < end <= before_s + NEAR_S]
    last = max((end for end, _ in late), default=0.0)
    return [q for end, q in late if end >= last - NEAR_S]


def _without(extraction: Extraction, withdrawals: Sequence[Seconds]) -> Extraction:
    """The extraction with what was found, or asked about, last before each of these seconds gone.

    What a withdrawn finding had corrected doesn't come back: a value that was called wrong is not
    put in silently.
    """
    gone = set(extraction.withdrawn)
    questions = extraction.questions
    corrected = {finding.corrects for finding in extraction.findings}
    for second in withdrawals:
        left = [
            f
            for f in extraction.findings
            if f.finding_id not in gone and f.finding_id not in corrected
        ]
        asked = last_asked(left, questions, second)
        if asked:
            questions = tuple(q for q in questions if q not in asked)
        else:
            gone |= {finding.finding_id for finding in last_findings(left, second)}
    order = tuple(f.finding_id for f in extraction.findings if f.finding_id in gone)
    return extraction.model_copy(update={"withdrawn": order, "questions": questions})
