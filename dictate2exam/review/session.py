"""Questions put one by one as lines of text, where there is no terminal for the review screen."""

from rich.console import Console
from rich.markup import escape

from dictate2exam.errors import RecordError
from dictate2exam.record.amend import find_entry
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import clock, name_of
from dictate2exam.review.behind import behind
from dictate2exam.review.decisions import Decisions
from dictate2exam.review.drawing import worth_of
from dictate2exam.review.topics import Topic

LETTERS = "abcdefghij"
HELP = (
    "Answer with a value, a side, or the letter of a suggestion; keep (right as recorded), "
    "reject (was not found), skip, later, undo (takes the last answer back), or quit (what is "
    "answered stays)."
)


def review_session(session: Decisions, console: Console) -> ExamRecord:
    """The record after the reviewer's answers; the session keeps each before the next question.

    Gaps come last and can be left open all at once. The end of the input ends the session.
    """
    console.print(HELP)
    left_open: set[str] = set()
    gaps = False
    try:
        while True:
            topic = session.top or (_next_gap(session, left_open) if gaps else None)
            if topic is not None:
                _put(session, topic, left_open, console)
            elif gaps or not session.gaps or not _wants_gaps(session, console):
                break
            else:
                gaps = True
    except (EOFError, StopIteration):
        pass
    return session.record


def _next_gap(session: Decisions, left_open: set[str]) -> Topic | None:
    return next((t for t in session.gaps if t.lead.question_id not in left_open), None)


def _wants_gaps(session: Decisions, console: Console) -> bool:
    while True:
        text = console.input(
            f"\n{len(session.gaps)} items of the protocol were not examined. Go through them? "
            f"(yes/no) "
        )
        if text.strip().lower() in ("y", "yes"):
            return True
        if text.strip().lower() in ("n", "no"):
            return False


def _put(session: Decisions, topic: Topic, left_open: set[str], console: Console) -> None:
    """One topic until it has an answer that fits, or another is to be put."""
    record = session.record
    left = sum(t.blocking for t in session.doubts)
    mark = f" [bold](blocks; {left} left)[/bold]" if topic.blocking else ""
    for question in topic.questions:
        console.print(f"\n{question.question_id}{mark}  {escape(question.question)}")
    if session.weighs:
        console.print(f"  {worth_of(topic.bits)}")
    for stretch in behind(record, topic):
        at = f" at {clock(stretch.start_s)}" if stretch.timed else ""
        console.print(f'  heard{at}: "{escape(stretch.text)}"')
        for reading in stretch.readings:
            console.print(f"    {escape(reading.listener)}: {escape(reading.text)}")
    session.shown(topic)
    for finding_id in dict.fromkeys(i for q in topic.questions for i in q.finding_ids):
        entry = find_entry(record, finding_id)
        if entry.stands:
            name = name_of(entry.finding.item, entry.finding.side, session.lexicon)
            console.print(f"  recorded for now: {escape(name)}: {entry.finding.value}")
    letters = dict(zip(LETTERS, session.suggestions(topic), strict=False))
    for letter, suggestion in letters.items():
        console.print(f"  {letter}) {escape(suggestion)}")
    while True:
        text = console.input("> ").strip()
        said = text.lower()
        if said in ("quit", "q"):
            raise EOFError
        if said == "later":
            session.put_off(topic)
            left_open.add(topic.lead.question_id)
            return
        if said == "undo":
            back = session.undo()
            if back is not None:
                return
            console.print("There is nothing to take back.")
            continue
        if not text:
            console.print(HELP)
            continue
        try:
            session.answer(topic, letters.get(said, text))
            return
        except RecordError as error:
            console.print(escape(str(error)))
