"""Leads a finding back: rule, words, characters, seconds, what each listener heard, questions."""

from dictate2exam.errors import RecordError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.provenance import Heard, Versions
from dictate2exam.questions import Question
from dictate2exam.record.model import Amendment, ExamRecord, RecordedFinding
from dictate2exam.speech.model import Reading, Speaker, Transcript, Utterance
from dictate2exam.units import Seconds

# Readings without times of their own are spread evenly; so much is looked at on either side.
AROUND_S = 0.15


class MarkedSpan(Frozen):
    """Words that a component of the pipeline marked, and the lexicon's entries for them.

    `chosen` is False where a longer phrase was read instead.
    """

    component: str
    text: str
    meaning: str
    chosen: bool


class HeardPlace(Frozen):
    """One stretch behind a finding.

    `line` counts lines of transcript.txt from 1; characters are places in the text of the
    utterance, the first from 0, the last excluded; `readings` is what each listener heard there.
    """

    stretch: Heard
    speaker: Speaker
    line: int
    first_character: int
    last_character: int
    utterance: str
    readings: dict[str, str]
    marked: tuple[MarkedSpan, ...] = ()


class Chain(Frozen):
    """A finding with all that led to it and all that was asked about it.

    `same_lexicon` is False where the lexicon has changed since; then nothing is `marked`.
    """

    entry: RecordedFinding
    timed: bool
    places: tuple[HeardPlace, ...]
    replaces: tuple[RecordedFinding, ...]
    questions: tuple[Question, ...]
    answers: tuple[Amendment, ...]
    versions: Versions
    same_lexicon: bool


def chain_of(record: ExamRecord, finding_id: str, lexicon: Lexicon) -> Chain:
    """The chain of a finding, superseded and rejected ones included; RecordError if unknown."""
    entries = {entry.finding.finding_id: entry for entry in record.findings}
    if finding_id not in entries:
        raise RecordError(
            f"There is no finding {finding_id!r} in this record; findings.csv lists those that "
            f"stand, record.json all."
        )
    entry = entries[finding_id]
    same = record.versions.lexicon == lexicon.hash
    questions = tuple(q for q in record.questions if finding_id in q.finding_ids)
    asked = {question.question_id for question in questions}
    return Chain(
        entry=entry,
        timed=record.transcript.timed,
        places=tuple(
            _place(stretch, entry, record.transcript, lexicon if same else None)
            for stretch in entry.finding.heard
        ),
        replaces=tuple(
            other
            for other in record.findings
            if other.superseded_by == finding_id
            or other.finding.finding_id == entry.finding.corrects
        ),
        questions=questions,
        answers=tuple(
            note
            for note in record.amendments
            if finding_id in note.findings or note.question_id in asked
        ),
        versions=record.versions,
        same_lexicon=same,
    )


def _place(
    stretch: Heard, entry: RecordedFinding, transcript: Transcript, lexicon: Lexicon | None
) -> HeardPlace:
    line, utterance = next(
        (line, u)
        for line, u in enumerate(transcript.utterances, start=1)
        if u.index == stretch.utterance
    )
    before = " ".join(word.text for word in utterance.words[: stretch.first_word])
    first = len(before) + (1 if before else 0)
    return HeardPlace(
        stretch=stretch,
        speaker=utterance.speaker,
        line=line,
        first_character=first,
        last_character=first + len(stretch.text),
        utterance=utterance.text,
        readings={r.listener: _read_there(r, stretch) for r in utterance.readings},
        marked=_marked(stretch, entry, utterance, lexicon) if lexicon else (),
    )


def _read_there(reading: Reading, stretch: Heard) -> str:
    """The words of a reading in the seconds of the stretch; all of them where it has no times."""
    if not reading.words:
        return reading.text
    return " ".join(
        word.text for word in reading.words if _touches(word.start_s, word.end_s, stretch)
    )


def _touches(start: Seconds, end: Seconds, stretch: Heard) -> bool:
    middle = (start + end) / 2
    return stretch.start_s - AROUND_S < middle < stretch.end_s + AROUND_S


def _marked(
    stretch: Heard, entry: RecordedFinding, utterance: Utterance, lexicon: Lexicon
) -> tuple[MarkedSpan, ...]:
    """What the components of the pipeline marked inside the stretch, as they do it again now."""
    from dictate2exam.findings.entities import document, marked_words
    from dictate2exam.findings.nlp import pipeline_for

    pipeline = pipeline_for(lexicon)
    here = entry.finding.model_copy(update={"heard": (stretch,)})
    doc = document(utterance, (here,), pipeline)
    return tuple(
        MarkedSpan(
            component=found.component,
            text=found.words,
            meaning=found.meaning,
            chosen=found.chosen,
        )
        for found in marked_words(doc, pipeline.vocabulary)
    )
