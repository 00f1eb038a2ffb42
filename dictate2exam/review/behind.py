"""The speech behind a question: words with times, what each listener heard, where it is."""

from dictate2exam.frozen import Frozen
from dictate2exam.provenance import Heard
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.topics import Topic
from dictate2exam.speech.model import Reading, Speaker, Utterance, Word
from dictate2exam.units import Seconds

# What is played of a stretch: two seconds at least, and so much on either side of its words.
SHORTEST_S = 2.0
AROUND_S = 0.3
# More stretches than this are told by their number; an examiner would not listen to all of them.
MOST = 3
# Where a transcript has no times: how long a spoken word takes (150 words a minute).
A_WORD_S = 0.4


class ReadThere(Frozen):
    """What one listener heard in a stretch."""

    listener: str
    text: str


class Behind(Frozen):
    """One stretch to hear: seconds of the examination, and the utterance that it lies in.

    `words` are those of the utterance inside the stretch, `first` and `last` (both included) those
    of them that are in question. Without times (`timed`) seconds are estimated from the words.
    """

    start_s: Seconds
    end_s: Seconds
    timed: bool
    speaker: Speaker
    words: tuple[Word, ...]
    first: int
    last: int
    readings: tuple[ReadThere, ...] = ()

    @property
    def seconds(self) -> Seconds:
        """How long the stretch is."""
        return self.end_s - self.start_s

    @property
    def text(self) -> str:
        """The words in question."""
        return " ".join(word.text for word in self.words[self.first : self.last + 1])


def behind(record: ExamRecord, topic: Topic) -> tuple[Behind, ...]:
    """The first stretches behind a topic, in spoken order; those that overlap are one.

    `readings` are given only where the listeners differ.
    """
    utterances = {utterance.index: utterance for utterance in record.transcript.utterances}
    found = sorted(
        {
            (stretch.utterance, stretch.first_word, stretch.last_word)
            for question in topic.questions
            for stretch in question.heard
            if stretch.utterance in utterances
        }
    )
    merged: list[tuple[int, int, int]] = []
    for utterance, first, last in found:
        if merged and merged[-1][0] == utterance and first <= merged[-1][2] + 1:
            merged[-1] = (utterance, merged[-1][1], max(last, merged[-1][2]))
        else:
            merged.append((utterance, first, last))
    return tuple(
        _behind(record, utterances[utterance], first, last)
        for utterance, first, last in merged[:MOST]
    )


def stretches(topic: Topic) -> int:
    """How many stretches of speech are behind a topic, shown or not."""
    return len({_place(stretch) for question in topic.questions for stretch in question.heard})


def _place(stretch: Heard) -> tuple[int, int, int]:
    return stretch.utterance, stretch.first_word, stretch.last_word


def _behind(record: ExamRecord, utterance: Utterance, first: int, last: int) -> Behind:
    words = utterance.words
    last = min(last, len(words) - 1)
    timed = record.transcript.timed
    start, end = words[first].start_s, words[last].end_s
    if not timed:
        end = start + (last + 1 - first) * A_WORD_S
    spare = max(2 * AROUND_S, SHORTEST_S - (end - start)) / 2
    inside = [
        place
        for place, word in enumerate(words)
        if first <= place <= last
        or (timed and word.end_s > start - spare and word.start_s < end + spare)
        or (not timed and first - spare / A_WORD_S <= place <= last + spare / A_WORD_S)
    ]
    limit = record.transcript.duration_s if timed else end + spare
    return Behind(
        start_s=max(0.0, start - spare),
        end_s=max(end, min(end + spare, limit)),
        timed=timed,
        speaker=utterance.speaker,
        words=tuple(words[place] for place in inside),
        first=inside.index(first),
        last=inside.index(last),
        readings=_readings(utterance, start - spare, end + spare),
    )


def _readings(utterance: Utterance, start: Seconds, end: Seconds) -> tuple[ReadThere, ...]:
    """What each listener heard there, where they differ."""
    made = tuple(
        ReadThere(listener=reading.listener, text=_inside(reading, start, end))
        for reading in utterance.readings
    )
    return made if len({reading.text for reading in made}) > 1 else ()


def _inside(reading: Reading, start: Seconds, end: Seconds) -> str:
    if not reading.words:
        return reading.text
    return " ".join(
        word.text for word in reading.words if start < (word.start_s + word.end_s) / 2 < end
    )
