"""Human speech that nobody here made: Debian's package pocketsphinx-testdata, public domain.

Five sentences of a LibriVox reading of Jane Austen's Sense and Sensibility and five utterances of
spoken cards, with transcripts of their own. None of it is an examination: a finding is a phantom.
"""

import re
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.audio.load import load_recording
from dictate2exam.bench.chatter import phantoms_of
from dictate2exam.bench.hearing import TermSpotter, spoken, tally_words
from dictate2exam.bench.speech_cells import Measurer
from dictate2exam.bench.speech_figures import percent
from dictate2exam.bench.speech_systems import Systems
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings

DATA = Path("/usr/share/pocketsphinx/test/data")
SETS = {"librivox": "transcription", "cards": "cards.transcription"}


def human_speech(folder: Path = DATA) -> dict[str, list[tuple[str, Path]]]:
    """Transcript and file of each utterance, by set; empty where the package is not installed."""
    made: dict[str, list[tuple[str, Path]]] = {}
    for name, table in SETS.items():
        path = folder / name / table
        lines = path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
        for line in lines:
            found = re.match(r"(.*)\((.*)\)", line)
            if found:
                text = " ".join(word for word in found[1].split() if word[0] != "<")
                made.setdefault(name, []).append((text, folder / name / f"{found[2]}.wav"))
    return made


def human_figures(systems: Systems, lexicon: Lexicon, settings: Settings) -> dict[str, Any]:
    """Word error rate of every system by set, and what findings it made of it."""
    speech = human_speech()
    if not speech:
        return {"missing": "Debian's package pocketsphinx-testdata is not installed"}
    measurer = Measurer(lexicon, settings)
    spotter = TermSpotter(lexicon.terms)
    made: dict[str, Any] = {}
    for system, stage in systems.stages.items():
        for name, utterances in speech.items():
            words = errors = silent = 0
            found: list[str] = []
            for text, path in utterances:
                sound = load_recording([path]).samples
                transcript = measurer.hear(sound, path.name, stage)
                tally = tally_words([(1, spoken(text))], transcript, spotter)
                words, errors = words + tally.words, errors + tally.errors
                record = pipeline.read(transcript, lexicon, settings)
                phantom, quietly, _ = phantoms_of(record, led=False)
                found += phantom
                silent += quietly
            made.setdefault(system, {})[name] = {
                "words": words,
                "word_error_rate": percent(errors, words),
                "phantoms": found,
                "utterances_with_silent_phantoms": silent,
            }
    return made
