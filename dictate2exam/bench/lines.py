"""Which line of the script a stretch of heard speech belongs to."""

import re
from difflib import SequenceMatcher

from dictate2exam.bench.model import Sample
from dictate2exam.provenance import Heard
from dictate2exam.speech.model import Transcript

_WORD = re.compile(r"[a-z0-9']+")


def words_of(text: str) -> list[str]:
    """Lower-case words of a text without punctuation."""
    return _WORD.findall(text.lower())


class LineFinder:
    """Maps words of a transcript to script lines: by seconds where known, else by the words."""

    def __init__(self, sample: Sample, transcript: Transcript) -> None:
        self._times = sample.times if transcript.timed else {}
        self._line_of: dict[tuple[int, int], int] = {}
        if self._times:
            return
        script: list[str] = []
        script_lines: list[int] = []
        text = sample.script.read_text(encoding="utf-8")
        for number, line in enumerate(text.splitlines(), start=1):
            for word in words_of(re.sub(r"^(examiner|patient):", "", line, flags=re.I)):
                script.append(word)
                script_lines.append(number)
        heard: list[str] = []
        places: list[tuple[int, int]] = []
        for utterance in transcript.utterances:
            for position, heard_word in enumerate(utterance.words):
                for piece in words_of(heard_word.text):
                    heard.append(piece)
                    places.append((utterance.index, position))
        matcher = SequenceMatcher(None, script, heard, autojunk=False)
        for block in matcher.get_matching_blocks():
            for step in range(block.size):
                self._line_of[places[block.b + step]] = script_lines[block.a + step]

    def lines(self, heard: Heard) -> set[int]:
        """The script lines that a stretch touches."""
        if self._times:
            return {
                line
                for line, (start, end) in self._times.items()
                if heard.start_s < end and heard.end_s > start
            }
        places = range(heard.first_word, heard.last_word + 1)
        found = (self._line_of.get((heard.utterance, place)) for place in places)
        return {line for line in found if line is not None}
