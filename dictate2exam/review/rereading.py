"""Reads an utterance anew with other words in the place of those that were not understood."""

from dictate2exam.errors import RecordError
from dictate2exam.findings.model import Finding
from dictate2exam.lexicon.items import build_items
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.provenance import Heard
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript, Utterance


def reread(
    record: ExamRecord, question: Question, item: str, lexicon: Lexicon
) -> tuple[Finding, ...]:
    """The findings that the speech gives when the words in question name this item's term.

    Power, wasting or another kind, side and value are as the whole examination says them there;
    empty where nothing is found so. Raises RecordError where their value would be in doubt again.
    """
    if len(question.heard) != 1:
        return ()
    (stretch,) = question.heard
    spoken = _spoken(item, lexicon)
    if not spoken:
        return ()
    from dictate2exam.findings.extract import extract

    settings = Settings(side=record.default_side, protocol=record.protocol)
    read = extract(_with_words(record.transcript, stretch, spoken), lexicon, settings)
    corrected = {finding.corrects for finding in read.findings} | set(read.withdrawn)
    found = tuple(
        finding
        for finding in read.findings
        if finding.finding_id not in corrected
        and _name(finding.item) == _name(item)
        and any(_overlap(part, stretch) for part in finding.heard)
    )
    doubted = {i for asked in read.questions for i in asked.finding_ids}
    if doubted & {finding.finding_id for finding in found}:
        raise RecordError(
            f"Question {question.question_id} needs a value as well: the words leave it in doubt."
        )
    return tuple(finding.model_copy(update={"corrects": ""}) for finding in found)


def _name(item: str) -> str:
    return item.partition(".")[2]


def _spoken(item: str, lexicon: Lexicon) -> str:
    """How the item's term is said."""
    for term in lexicon.terms:
        if not term.is_group and any(one.item_id == item for one in build_items((term,))):
            return term.spoken[0]
    return ""


def _with_words(transcript: Transcript, stretch: Heard, spoken: str) -> Transcript:
    return transcript.model_copy(
        update={
            "utterances": tuple(
                _rewritten(utterance, stretch, spoken)
                if utterance.index == stretch.utterance
                else utterance
                for utterance in transcript.utterances
            )
        }
    )


def _rewritten(utterance: Utterance, stretch: Heard, spoken: str) -> Utterance:
    """The utterance with the spoken name in the stretch; the places of all other words stay."""
    words = list(utterance.words)
    for place in range(stretch.first_word, stretch.last_word + 1):
        text = spoken if place == stretch.first_word else ""
        words[place] = words[place].model_copy(update={"text": text, "confidence": None})
    return utterance.model_copy(
        update={"words": tuple(words), "readings": (), "looks": (), "domain": "examination"}
    )


def _overlap(one: Heard, other: Heard) -> bool:
    return (
        one.utterance == other.utterance
        and one.first_word <= other.last_word
        and other.first_word <= one.last_word
    )
