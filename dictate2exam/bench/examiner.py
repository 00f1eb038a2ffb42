"""A simulated examiner who knows the truth and answers every question as the contract allows."""

from collections.abc import Callable
from dataclasses import dataclass, field

from dictate2exam.bench.lines import LineFinder
from dictate2exam.bench.model import Expected, Sample
from dictate2exam.bench.score import Comparison
from dictate2exam.errors import RecordError
from dictate2exam.findings.model import Finding
from dictate2exam.provenance import Heard
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.speech.spoken import spoken_form

# So many words on either side of a misheard one tell which line it was.
NEIGHBOURS = 3

Answer = Callable[[ExamRecord, str, str], ExamRecord]


@dataclass
class Session:
    """What came of answering: the record, each answer given, and the answers refused."""

    record: ExamRecord
    answers: list[tuple[str, str]] = field(default_factory=list)
    refused: list[tuple[str, str, str]] = field(default_factory=list)


def answer_truthfully(
    record: ExamRecord, sample: Sample, finder: LineFinder, labels: dict[str, str], give: Answer
) -> Session:
    """Answers open questions one by one until none is left that the truth has a word on."""
    session = Session(record)
    seen: set[str] = set()
    while True:
        waiting = [
            question
            for question in session.record.questions
            if question.state == "open" and question.question_id not in seen
        ]
        if not waiting:
            return session
        question = waiting[0]
        seen.add(question.question_id)
        text = truthful_answer(question, session.record, sample, finder, labels)
        if text == "skip" and question.kind == "gap" and not question.blocking:
            continue  # nothing was said: the gap stays
        try:
            session.record = give(session.record, question.question_id, text)
            session.answers.append((question.question_id, text))
        except RecordError as error:
            session.refused.append((question.question_id, text, str(error)))
            session.record = give(session.record, question.question_id, "skip")
            session.answers.append((question.question_id, "skip"))


def fuller_answer(
    question: Question,
    record: ExamRecord,
    sample: Sample,
    finder: LineFinder,
    labels: dict[str, str],
) -> str:
    """Item, value and side of what was said there, where a shorter answer was refused."""
    _, near = _missed_there(question, record, sample, finder, labels)
    suggestion = _suggested(question, near, labels)
    for row in near:
        if suggestion.lower() in (row.item, labels.get(row.item, "").lower()):
            return f"{row.item} {row.value} {row.side}"
    return "skip"


def truthful_answer(
    question: Question,
    record: ExamRecord,
    sample: Sample,
    finder: LineFinder,
    labels: dict[str, str],
) -> str:
    """The answer of somebody who knows what was said: value, side, suggestion, reject or skip."""
    compared, near = _missed_there(question, record, sample, finder, labels)
    about = [f for f in record.standing if f.finding_id in question.finding_ids]
    if question.kind == "gap":
        row = _row(question.item, question.side, compared.missed)
        return row.value if row else "skip"
    if question.kind == "side":
        return _side(question, about, sample)
    if about:
        return _about_findings(question, about, compared, near, labels)
    row = _row(question.item, question.side, near) or _row(
        question.item, question.side, compared.missed
    )
    if row:
        return row.value
    return _suggested(question, near, labels) or _told(question, near) or "reject"


def _told(question: Question, near: list[Expected]) -> str:
    """What was said there in full, where the question quotes its value and asks of what it was."""
    quote = question.question.rpartition('"')[0].strip('"')
    quoted = f" {spoken_form(quote)} "
    for row in near:
        if question.kind == "unknown_term" and f" {spoken_form(row.value)} " in quoted:
            return f"{row.item} {row.value} {row.side}"
    return ""


def _missed_there(
    question: Question,
    record: ExamRecord,
    sample: Sample,
    finder: LineFinder,
    labels: dict[str, str],
) -> tuple[Comparison, list[Expected]]:
    """The record against the truth, and the rows that it misses where the question was heard."""
    compared = Comparison(sample.expected, record.standing, (), finder, labels)
    lines = {line for heard in question.heard for line in _lines(heard, finder)}
    return compared, [row for row in compared.missed if row.line in lines]


def _lines(heard: Heard, finder: LineFinder) -> set[int]:
    """The lines of a stretch; of words that no line says, those of the words around them."""
    for wider in range(NEIGHBOURS + 1):
        first, last = max(0, heard.first_word - wider), heard.last_word + wider
        lines = finder.lines(heard.model_copy(update={"first_word": first, "last_word": last}))
        if lines:
            return lines
    return set()


def _row(item: str, side: str, rows: list[Expected] | tuple[Expected, ...]) -> Expected | None:
    fits = [row for row in rows if row.item == item]
    exact = [row for row in fits if side in ("none", row.side)]
    return next(iter(exact or fits), None)


def _side(question: Question, about: list[Finding], sample: Sample) -> str:
    items = {finding.item for finding in about} | ({question.item} if question.item else set())
    sides = [row.side for row in sample.expected if row.item in items]
    if not sides:
        return "reject"
    return max(set(sides), key=sides.count)


def _about_findings(
    question: Question,
    about: list[Finding],
    compared: Comparison,
    near: list[Expected],
    labels: dict[str, str],
) -> str:
    right = {finding.finding_id for _, finding in compared.right}
    if all(finding.finding_id in right for finding in about):
        kept = next((s for s in question.suggestions if s.lower() in ("keep", "yes")), "")
        values = {finding.value for finding in about}
        return kept or (values.pop() if len(values) == 1 else "skip")
    wrong = {f.finding_id: row for row, f in (*compared.wrong_value, *compared.wrong_side)}
    for finding in about:
        row = wrong.get(finding.finding_id)
        if row is not None:
            return _value(question, row) if row.value != finding.value else row.side
    doubles = {(row.item, row.side): row for row, _ in compared.right}
    for finding in about:
        row = doubles.get((finding.item, finding.side))
        if row is not None and question.kind == "conflict":
            return _value(question, row)
    if any(finding.finding_id in right for finding in about):
        return "skip"
    return _suggested(question, near, labels) or "reject"


def _value(question: Question, row: Expected) -> str:
    """The true value, with the item's name where the question asks about another first."""
    return row.value if question.item in ("", row.item) else f"{row.item} {row.value}"


def _suggested(question: Question, near: list[Expected], labels: dict[str, str]) -> str:
    """The first suggestion that names a true finding of that place which is still missing."""
    for suggestion in question.suggestions:
        text = suggestion.lower()
        for row in near:
            if text in (row.item, labels.get(row.item, "").lower()) or text.startswith(
                row.item + " "
            ):
                return suggestion
    return ""
