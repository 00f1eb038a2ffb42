"""Which line of the script a stretch of heard speech belongs to."""

import re
from bisect import bisect, bisect_left
from difflib import SequenceMatcher

from dictate2exam.bench.model import Sample
from dictate2exam.provenance import Heard
from dictate2exam.speech.model import Transcript

# Words that no line says are of the lines around them, where these are no further apart.
NEAR_LINES = 2
_WORD = re.compile(r"[a-z0-9']+")


def words_of(text: str) -> list[str]:
    """Lower-case words of a text without punctuation."""
    return _WORD.findall(text.lower())


class LineFinder:
    """Maps words of a transcript to script lines: by seconds where known, else by the words."""

    def __init__(self, sample: Sample, transcript: Transcript) -> None:
        self._times = sample.times if transcript.timed else {}
        self._line_of: dict[tuple[int, int], int] = {}
        self._places: list[tuple[int, int]] = []
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
        self._places = sorted(self._line_of)

    def lines(self, heard: Heard) -> set[int]:
        """The script lines that a stretch touches."""
        if self._times:
            return {
                line
                for line, (start, end) in self._times.items()
                if heard.start_s < end and heard.end_s > start
            }
        places = [(heard.utterance, n) for n in range(heard.first_word, heard.last_word + 1)]
        found = {self._line_of[place] for place in places if place in self._line_of}
        return found or self._between(places[0], places[-1])

    def _between(self, first: tuple[int, int], last: tuple[int, int]) -> set[int]:
        """The lines around a stretch that no line says, where they lie close together."""
        after = bisect(self._places, last)
        before = bisect_left(self._places, first) - 1
        if before < 0 or after >= len(self._places):
            return set()
        low, high = (self._line_of[self._places[at]] for at in (before, after))
        return set(range(low, high + 1)) if high - low <= NEAR_LINES else set()
