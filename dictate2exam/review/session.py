"""Questions put one by one on the terminal: no answer is preselected, blocking ones come first."""

from collections.abc import Callable

from rich.console import Console
from rich.markup import escape

from dictate2exam.errors import RecordError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import clock, name_of
from dictate2exam.review.resolve import answer

Save = Callable[[ExamRecord], None]

LETTERS = "abcdefghij"
HELP = (
    "Answer with a value, a side, or the letter of a suggestion; keep (right as recorded), "
    "reject (was not found), skip, or quit (what is answered stays)."
)


def review_session(
    record: ExamRecord, lexicon: Lexicon, console: Console, save: Save
) -> ExamRecord:
    """The record after the reviewer's answers; every answer is saved before the next question.

    Gaps come last and can be left open all at once. The end of the input ends the session.
    """
    console.print(HELP)
    seen: set[str] = set()
    gaps_asked = False
    try:
        while True:
            question = next_question(record, seen)
            if question is None:
                return record
            if question.kind == "gap" and not question.blocking and not gaps_asked:
                gaps_asked = True
                if not _wants_gaps(record, console):
                    return record
            seen.add(question.question_id)
            record = _put(record, question, lexicon, console)
            save(record)
    except (EOFError, StopIteration):
        return record


def next_question(record: ExamRecord, seen: set[str]) -> Question | None:
    """The next open question: blocking first, then doubts, then gaps; in the order of ids."""
    waiting = [q for q in record.questions if q.state == "open" and q.question_id not in seen]
    waiting.sort(key=lambda q: (not q.blocking, q.kind == "gap", q.question_id))
    return waiting[0] if waiting else None


def _wants_gaps(record: ExamRecord, console: Console) -> bool:
    gaps = [q for q in record.questions if q.state == "open" and q.kind == "gap"]
    while True:
        text = console.input(
            f"\n{len(gaps)} items of the protocol were not examined. Go through them? (yes/no) "
        )
        if text.strip().lower() in ("y", "yes"):
            return True
        if text.strip().lower() in ("n", "no"):
            return False


def _put(record: ExamRecord, question: Question, lexicon: Lexicon, console: Console) -> ExamRecord:
    """One question until it has an answer that fits."""
    left = sum(q.state == "open" and q.blocking for q in record.questions)
    mark = f" [bold](blocks; {left} left)[/bold]" if question.blocking else ""
    console.print(f"\n{question.question_id}{mark}  {escape(question.question)}")
    for stretch in question.heard[:3]:
        at = f" at {clock(stretch.start_s)}" if record.transcript.timed else ""
        console.print(f'  heard{at}: "{escape(stretch.text)}"')
        for reading in _readings(record, stretch.utterance):
            console.print(f"    {escape(reading)}")
    for entry in record.findings:
        finding = entry.finding
        if entry.stands and finding.finding_id in question.finding_ids:
            name = name_of(finding.item, finding.side, lexicon)
            console.print(f"  recorded for now: {escape(name)}: {finding.value}")
    letters = dict(zip(LETTERS, question.suggestions, strict=False))
    for letter, suggestion in letters.items():
        console.print(f"  {letter}) {escape(suggestion)}")
    while True:
        text = console.input("> ").strip()
        if text.lower() in ("quit", "q"):
            raise EOFError
        if not text:
            console.print(HELP)
            continue
        try:
            return answer(record, question.question_id, letters.get(text.lower(), text), lexicon)
        except RecordError as error:
            console.print(escape(str(error)))


def _readings(record: ExamRecord, utterance: int) -> list[str]:
    """What each recogniser heard there, where they differ."""
    found = [u for u in record.transcript.utterances if u.index == utterance]
    texts = {reading.text for each in found for reading in each.readings}
    if len(texts) < 2:
        return []
    return [f"{reading.listener}: {reading.text}" for each in found for reading in each.readings]
