"""Speech read as that of a file would be, and what has become of it, in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from dictate2exam.lexicon.hearing import SignalLimits
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.turns import read_turns
from dictate2exam.live.chart import key_of, left_by_protocol
from dictate2exam.live.ears import as_samples
from dictate2exam.live.journal import SoundJournal
from dictate2exam.live.messages.kinds import Became
from dictate2exam.live.saying import all_said
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.store import load_record
from dictate2exam.speech.endpoint import Span
from dictate2exam.speech.model import Signal, Transcript, Utterance
from dictate2exam.speech.signal import measure_signal
from dictate2exam.speech.speakers import tell_speakers

FEW = 3


@dataclass(frozen=True)
class Told:
    """What only the whole sound tells: who speaks, and how good it is."""

    utterances: tuple[Utterance, ...]
    signal: Signal


def tell(
    speech: Sequence[Utterance],
    journal: SoundJournal,
    spans: list[Span],
    limits: SignalLimits,
    lexicon: Lexicon,
) -> Told | None:
    """Speakers and quality of the sound, worked out as `listen` does for a file."""
    if not journal.samples or not spans:
        return None
    samples = as_samples(journal.read(0, journal.samples))
    return Told(
        utterances=tell_speakers(list(speech), samples, read_turns(lexicon.folder)),
        signal=measure_signal(samples, spans, limits),
    )


def transcript_of_file(folder: Path) -> Transcript:
    """What was said in the file that this examination was read from."""
    return load_record(folder).transcript


def became(
    before: ExamRecord, after: ExamRecord, utterance: Utterance, lexicon: Lexicon
) -> tuple[Became, str, tuple[str, ...]]:
    """What an utterance has done to the record, in a few words, and the findings it made."""
    known = {key_of(finding) for finding in before.standing}
    new = [finding for finding in after.standing if key_of(finding) not in known]
    stand = {key_of(finding) for finding in after.standing}
    gone = [finding for finding in before.standing if key_of(finding) not in stand]
    # A question that more findings hang on (which side?) is worded anew, and is no new question.
    asked = {(q.kind, q.item, q.finding_ids[:1]) for q in before.questions}
    open_now = [q for q in after.questions if q.state == "open" and q.kind != "gap"]
    doubts = [q for q in open_now if (q.kind, q.item, q.finding_ids[:1]) not in asked]
    parts = []
    if new:
        parts.append(all_said(new, lexicon))
    if gone:
        parts.append(f"no longer: {all_said(gone, lexicon)}")
    if doubts:
        parts.append(f"asked: {doubts[0].question}")
    what = "; ".join(parts)
    if new or gone:
        return "findings", what, tuple(finding.finding_id for finding in new)
    if doubts:
        return "question", what, ()
    if utterance.domain == "talk":
        return "talk", "talk, no finding", ()
    return "nothing", "no finding", ()


def what_is_left(record: ExamRecord, lexicon: Lexicon) -> str:
    """How much of the protocol is left, and what comes next, in one sentence."""
    left = left_by_protocol(record, lexicon)
    if not left:
        return "Nothing of the protocol is left."
    names = "; ".join(one.label for one in left[:FEW])
    return f"{len(left)} left of the protocol. Next: {names}."
