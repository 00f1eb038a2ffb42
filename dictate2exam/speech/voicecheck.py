"""How well a voice is heard: what was made of lines whose words are known."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.voicecheck import Line, Verdict, VoiceLines
from dictate2exam.speech.beside import slots
from dictate2exam.speech.language import NUMBERS
from dictate2exam.speech.model import Transcript, Word
from dictate2exam.speech.pronounce import Pronouncer

TOGETHER = "all listeners together"


@dataclass(frozen=True)
class Watched:
    """One term or confusable word: `heard` is what was made of it, empty where it was missed."""

    line: int
    words: str
    heard: str

    @property
    def right(self) -> bool:
        """Whether it was heard as it was read."""
        return self.heard == self.words


@dataclass(frozen=True)
class VoiceReport:
    """Word errors per word by listener, each watched word, and how many of a line's words came."""

    word_errors: dict[str, float]
    watched: tuple[Watched, ...]
    line_right: tuple[float, ...]


def spoken_words(text: str) -> list[str]:
    """The words of a text as a listener writes them: lower case, numbers as words."""
    text = re.sub(r"\b(10|\d)\b", lambda m: f" {NUMBERS[int(m[1])]} ", text.replace("’", "'"))
    return re.findall(r"[a-z']+", text.lower())


def check_voice(transcript: Transcript, lines: VoiceLines, lexicon: Lexicon) -> VoiceReport:
    """What was heard of the lines, read in order; InputError when it was something else."""
    pronouncer = Pronouncer.of_lexicon(lexicon)
    said = [word for line in lines.lines for word in spoken_words(line.say)]
    errors: dict[str, float] = {}
    there: list[tuple[str, ...]] = []
    for name, heard in _heard_by(transcript).items():
        placed, wrong = _place(said, heard, pronouncer)
        errors[name] = round(wrong / len(said), 4)
        there = there or placed
    if errors[TOGETHER] > lines.verdict.other_recording:
        raise InputError(
            "Hardly any of the twenty lines was found in the recording: read them all in order, "
            "as 'dictate2exam voicecheck' shows them."
        )
    watched: list[Watched] = []
    right: list[float] = []
    at = 0
    for number, line in enumerate(lines.lines):
        words = spoken_words(line.say)
        pieces = there[at : at + len(words)]
        pairs = zip(words, pieces, strict=True)
        right.append(sum(piece == (word,) for word, piece in pairs) / len(words))
        watched += _watch(number, line, words, pieces)
        at += len(words)
    return VoiceReport(word_errors=errors, watched=tuple(watched), line_right=tuple(right))


def _heard_by(transcript: Transcript) -> dict[str, list[str]]:
    """The words of all listeners together, then those of each, over the whole recording."""
    made = {TOGETHER: [w for u in transcript.utterances for w in spoken_words(u.text)]}
    for utterance in transcript.utterances:
        for reading in utterance.readings:
            made.setdefault(reading.listener, []).extend(spoken_words(reading.text))
    return made


def _place(
    said: Sequence[str], heard: Sequence[str], pronouncer: Pronouncer
) -> tuple[list[tuple[str, ...]], int]:
    """What was heard at each word that was said, and how many words are wrong."""
    placed, after = slots([Word(text=w, start_s=0, end_s=0) for w in said], heard, pronouncer)
    made: list[tuple[str, ...]] = []
    wrong = len(after)
    for word, (there, before) in zip(said, placed, strict=True):
        wrong += (there != word) + len(before)
        here = (there,) if there else ()
        # Words put in before one that was misheard are most probably a part of it: "by steps".
        made.append(here if there == word else (*before, *here))
    return made, wrong


def _watch(
    number: int, line: Line, words: list[str], pieces: list[tuple[str, ...]]
) -> list[Watched]:
    found = []
    at = 0
    for watch in line.watch:
        wanted = spoken_words(watch)
        starts = [n for n in range(at, len(words)) if words[n : n + len(wanted)] == wanted]
        if starts:
            at = starts[0] + len(wanted)
            heard = [w for piece in pieces[starts[0] : at] for w in piece]
            found.append(Watched(number, " ".join(wanted), " ".join(heard)))
    return found


def learnt(report: VoiceReport, verdict: Verdict, lexicon: Lexicon) -> list[tuple[str, str, str]]:
    """Mishearings of terms, as (words heard, category, id), from lines that were read as shown."""
    terms = {f: t for t in reversed(lexicon.terms) if not t.is_group for f in t.spoken}
    return [
        (each.heard, terms[each.words].category, terms[each.words].term_id)
        for each in report.watched
        if each.heard
        and not each.right
        and each.words in terms
        and report.line_right[each.line] >= verdict.line_read
    ]


def verdict_text(report: VoiceReport, verdict: Verdict) -> str:
    """One plain sentence on the whole."""
    share = report.word_errors[TOGETHER]
    count = f"of 100 words {100 * share:.0f} were heard wrong"
    if share <= verdict.well:
        return f"This voice, microphone and room are heard well: {count}."
    if share <= verdict.fairly:
        return f"This voice, microphone and room are heard fairly: {count}; read what is asked."
    return (
        f"This voice, microphone and room are heard badly: {count}; come closer to the microphone, "
        f"look for a quieter room, speak one finding after another, and check again."
    )
