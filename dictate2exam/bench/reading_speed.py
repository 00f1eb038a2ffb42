"""How fast findings are read: loading, words a second on one core, and time against length."""

import itertools
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript, Utterance
from dictate2exam.speech.spread import spread_words

MEGABYTE = 1_000_000
MANY = 10_000
GRADES = ("zero", "one", "two", "three", "four", "five")
SIDES = ("right", "left")
SHARES = (0.01, 0.1, 0.5, 1.0)
LOADS = 3
# What is loaded before the first word can be read, in a process of its own.
LOADING = """
import time
from dictate2exam.lexicon.load import load_lexicon
import dictate2exam.findings.extract
from dictate2exam.findings.nlp import pipeline_for
wall, cpu = time.perf_counter(), time.process_time()
lexicon = load_lexicon()
pipeline_for(lexicon)
print(time.perf_counter() - wall, time.process_time() - cpu, time.process_time())
"""


def loading_seconds() -> dict[str, float]:
    """Loading of lexicon and pipeline in fresh processes, the best of three: wall clock, processor
    time, and processor time of the whole process with Python and spaCy."""
    found = []
    for _ in range(LOADS):
        done = subprocess.run(
            [sys.executable, "-c", LOADING], check=True, capture_output=True, text=True
        )
        found.append([float(figure) for figure in done.stdout.split()])
    best = [round(min(column), 3) for column in zip(*found, strict=True)]
    return dict(zip(("pipeline_s", "pipeline_cpu_s", "process_cpu_s"), best, strict=True))


def _words(transcript: Transcript) -> int:
    return sum(len(utterance.words) for utterance in transcript.utterances)


def _until(transcript: Transcript, characters: int) -> Transcript:
    """The utterances over and over, until they hold so many characters."""
    made: list[Utterance] = []
    for utterance in itertools.cycle(transcript.utterances):
        if characters <= 0:
            break
        made.append(utterance.model_copy(update={"index": len(made)}))
        characters -= len(utterance.text) + 1
    return transcript.model_copy(update={"utterances": tuple(made)})


def _statements(count: int, lexicon: Lexicon) -> Transcript:
    """So many grades of muscles, each muscle graded anew with another grade as often as needed."""
    muscles = [t for t in lexicon.terms if t.category == "muscle" and not t.is_group]
    names = [muscle.spoken[0] for muscle in muscles if muscle.spoken]
    said = (
        f"{side} {name} {grade}."
        for grade, side, name in itertools.cycle(itertools.product(GRADES, SIDES, names))
    )
    made = []
    for index, text in enumerate(itertools.islice(said, count)):
        words = spread_words(text, float(index), index + 1.0)
        made.append(Utterance(index=index, start_s=index, end_s=index + 1, words=words))
    return Transcript(utterances=tuple(made), timed=False)


def _point(transcript: Transcript, lexicon: Lexicon) -> dict[str, float]:
    started = time.process_time()
    record = pipeline.read(transcript, lexicon, Settings())
    seconds = time.process_time() - started
    words = _words(transcript)
    return {
        "words": words,
        "characters": sum(len(u.text) + 1 for u in transcript.utterances),
        "findings": len(record.findings),
        "seconds": round(seconds, 3),
        "words_per_second": round(words / seconds),
    }


def speed_figures(scripts: Sequence[Path]) -> dict[str, Any]:
    """Seconds of processor time on one core for whole records, all models loaded.

    `first` reads every script for the first time, `again` once more with what is then remembered.
    `curve` reads the scripts over and over up to 1 MB of text, `findings_curve` grades up to
    10,000 findings, superseded ones included.
    """
    lexicon, settings = load_lexicon(), Settings()
    made: dict[str, Any] = {"loading": loading_seconds()}
    pipeline.read(pipeline.hear(scripts[:1], lexicon, settings), lexicon, settings)
    transcripts = [pipeline.hear([script], lexicon, settings) for script in scripts[1:]]
    words = sum(map(_words, transcripts))
    for name in ("first", "again"):
        started = time.process_time()
        for transcript in transcripts:
            pipeline.read(transcript, lexicon, settings)
        seconds = time.process_time() - started
        made[name] = {
            "words": words,
            "seconds": round(seconds, 3),
            "words_per_second": round(words / seconds),
        }
    whole = pipeline.hear(scripts[1:], lexicon, settings)
    made["curve"] = [_point(_until(whole, int(MEGABYTE * share)), lexicon) for share in SHARES]
    made["findings_curve"] = [
        _point(_statements(int(MANY * share), lexicon), lexicon) for share in SHARES
    ]
    return made
