"""The tables findings.csv and questions.csv, the transcript, and answers files, both ways."""

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from dictate2exam.errors import RecordError
from dictate2exam.frozen import Frozen
from dictate2exam.provenance import Heard
from dictate2exam.questions import Question
from dictate2exam.record.meaning import place_of
from dictate2exam.record.model import ExamRecord
from dictate2exam.speech.model import Transcript

FINDING_COLUMNS = (
    "finding_id",
    "item",
    "side",
    "value",
    "detail",
    "scale",
    "state",
    "start_s",
    "end_s",
    "heard",
    "confidence",
)
QUESTION_COLUMNS = (
    "question_id",
    "kind",
    "blocking",
    "item",
    "side",
    "question",
    "suggestions",
    "start_s",
    "end_s",
    "state",
)
ANSWER_COLUMNS = ("question_id", "answer")


class FindingRow(Frozen):
    """One line of a findings table: `row` is its number in the file, the heading being 1."""

    row: int
    item: str
    side: str
    value: str
    scale: str = ""
    detail: dict[str, str] = {}


def _write(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(rows)
    return text.getvalue()


def _times(heard: Sequence[Heard], timed: bool) -> tuple[str, str]:
    """First and last second of the stretches; empty where there is no time."""
    if not heard or not timed:
        return "", ""
    start, end = min(h.start_s for h in heard), max(h.end_s for h in heard)
    return f"{start:.2f}", f"{end:.2f}"


def detail_text(detail: dict[str, str]) -> str:
    """key=value pairs joined by semicolons; separators inside a value become commas."""
    return ";".join(f"{key}={value.replace(';', ',')}" for key, value in detail.items())


def read_detail(text: str) -> dict[str, str]:
    """The pairs of detail_text again; what has no equals sign is kept under its own name."""
    pairs = (part.partition("=") for part in text.split(";") if part.strip())
    return {key.strip(): value.strip() for key, _, value in pairs}


def findings_csv(record: ExamRecord) -> str:
    """One line for each finding that stands, in spoken order."""
    timed = record.transcript.timed
    rows = []
    for entry in sorted(record.findings, key=lambda entry: place_of(entry.finding)):
        if not entry.stands:
            continue
        finding = entry.finding
        rows.append(
            (
                finding.finding_id,
                finding.item,
                finding.side,
                finding.value,
                detail_text(finding.detail),
                finding.scale,
                entry.state,
                *_times(finding.heard, timed),
                finding.heard_text,
                f"{finding.confidence:.3f}",
            )
        )
    return _write(FINDING_COLUMNS, rows)


def questions_csv(record: ExamRecord) -> str:
    """One line for each question, in the order of their ids."""
    timed = record.transcript.timed

    def row(question: Question) -> tuple[str, ...]:
        return (
            question.question_id,
            question.kind,
            "true" if question.blocking else "false",
            question.item,
            question.side,
            question.question,
            "|".join(suggestion.replace("|", "/") for suggestion in question.suggestions),
            *_times(question.heard, timed),
            question.state,
        )

    return _write(QUESTION_COLUMNS, (row(question) for question in record.questions))


def transcript_txt(transcript: Transcript) -> str:
    """What was heard, one utterance a line: [start-end] speaker: words."""
    lines = []
    for utterance in transcript.utterances:
        times = f"[{utterance.start_s:.2f}-{utterance.end_s:.2f}] " if transcript.timed else ""
        speaker = f"{utterance.speaker}: " if utterance.speaker != "unknown" else ""
        lines.append(f"{times}{speaker}{utterance.text}")
    return "\n".join(lines) + "\n"


def _read(path: Path, columns: Sequence[str], what: str) -> list[dict[str, str]]:
    try:
        with path.open(encoding="utf-8-sig", newline="") as handle:
            reader = csv.DictReader(handle)
            missing = [column for column in columns if column not in (reader.fieldnames or ())]
            if missing:
                raise RecordError(
                    f"{path} is no {what}: it lacks the column {missing[0]!r}; "
                    f"it needs {', '.join(columns)}."
                )
            rows = list(reader)
    except FileNotFoundError:
        raise RecordError(f"There is no file {path}.") from None
    except OSError as error:
        raise RecordError(f"{path} cannot be read: {error.strerror}.") from None
    except (UnicodeDecodeError, csv.Error) as error:
        raise RecordError(f"{path} is no {what}: {error}.") from None
    for number, row in enumerate(rows, start=2):
        if any(row[column] is None for column in columns):
            raise RecordError(f"{path}, line {number}: a field is missing.")
    return rows


def read_answers(path: Path) -> list[tuple[str, str]]:
    """Question id and answer of each line of an answers file."""
    rows = _read(path, ANSWER_COLUMNS, "answers file")
    return [(row["question_id"].strip(), row["answer"].strip()) for row in rows]


def read_findings(path: Path) -> list[FindingRow]:
    """The lines of a findings table: item, side and value, and detail and scale where given."""
    rows = _read(path, ("item", "side", "value"), "findings table")
    return [
        FindingRow(
            row=number,
            item=row["item"].strip(),
            side=row["side"].strip(),
            value=row["value"].strip(),
            scale=(row.get("scale") or "").strip(),
            detail=read_detail(row.get("detail") or ""),
        )
        for number, row in enumerate(rows, start=2)
    ]
