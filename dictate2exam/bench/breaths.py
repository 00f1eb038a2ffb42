"""Scripts as a flawless recogniser would write them: no stops, cut where a speaker pauses.

Where sound was cut was counted on recordings by synthetic voices: mostly at the end of a sentence,
often at a comma, at times anywhere. Nobody is named as speaker, as with one voice.
"""

import random
import re
from collections.abc import Callable, Iterable, Iterator

from dictate2exam import pipeline
from dictate2exam.bench.model import Sample
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript, Utterance
from dictate2exam.speech.spoken import spoken_form
from dictate2exam.speech.spread import spread_words
from dictate2exam.speech.typed import SPEAKER

# Chance of a pause that parts two utterances.
AT_SENTENCE, AT_COMMA, ANYWHERE = 0.9, 0.5, 0.05
_PIECE = re.compile(r"\S+")
SECONDS_A_WORD, PAUSE_S = 0.35, 0.8


def breaths(line: str, chance: random.Random) -> Iterator[str]:
    """The utterances of one line of a script, in spoken form."""
    said: list[str] = []
    for piece in _PIECE.findall(SPEAKER.sub("", line)):
        said.append(piece)
        last = piece[-1]
        odds = AT_SENTENCE if last in ".!?" else AT_COMMA if last in ",;:" else ANYWHERE
        if chance.random() < odds and (text := spoken_form(" ".join(said))):
            yield text
            said = []
    if text := spoken_form(" ".join(said)):
        yield text


def as_heard(clean: Transcript, lines: Iterable[str], seed: str) -> Transcript:
    """The transcript of a script's lines as breaths, one utterance each."""
    chance = random.Random(seed)
    made: list[Utterance] = []
    at = 0.0
    for text in (text for line in lines for text in breaths(line, chance)):
        end = at + SECONDS_A_WORD * len(text.split())
        words = spread_words(text, at, end)
        made.append(Utterance(index=len(made), start_s=at, end_s=end, words=words))
        at = end + PAUSE_S
    return clean.model_copy(update={"utterances": tuple(made), "timed": True, "duration_s": at})


def breathed(
    lexicon: Lexicon, settings: Settings, seeds: Iterable[int]
) -> Callable[[Sample], Iterable[Transcript]]:
    """Reads scripts as breaths, once for each seed."""

    def read(sample: Sample) -> Iterable[Transcript]:
        clean = pipeline.hear([sample.script], lexicon, settings)
        lines = sample.script.read_text(encoding="utf-8").splitlines()
        for seed in seeds:
            yield as_heard(clean, lines, f"{sample.name} {seed}")

    return read
