"""Measures one recording, or one set of chatter, under one condition by one system."""

import csv
import re
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from dictate2exam import pipeline
from dictate2exam.audio.load import load_recording
from dictate2exam.audio.model import Recording
from dictate2exam.bench.chatter import LEAD, phantoms_of
from dictate2exam.bench.conditions import Sound
from dictate2exam.bench.folder import read_facts
from dictate2exam.bench.hearing import TermSpotter, WordTally, script_lines, spoken, tally_words
from dictate2exam.bench.lines import LineFinder
from dictate2exam.bench.model import Sample, Score
from dictate2exam.bench.score import Comparison
from dictate2exam.errors import AudioError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.listen import Stage, listen
from dictate2exam.speech.model import Transcript, Utterance, Word
from dictate2exam.synthesis.voices import Voice, voice_facts

NEAR_S = 0.3
LEAD_S = 3.0


@dataclass(frozen=True)
class Spoken:
    """A recording with what is known of it; `voice` is the examiner's."""

    sample: Sample
    sound: Sound
    voice: Voice


@dataclass(frozen=True)
class Cell:
    """One recording under one condition by one system."""

    recording: str
    style: str
    voice: Voice
    condition: str
    system: str
    seconds: float
    words: WordTally
    score: Score
    listening_s: float


@dataclass(frozen=True)
class ChatterSet:
    """Utterances that are no findings: line, seconds and text of each."""

    kind: str
    path: Path
    voice: Voice
    sound: Sound
    rows: tuple[tuple[int, float, float, str], ...]


@dataclass(frozen=True)
class ChatterCell:
    """One utterance of chatter by one system; `accepted` by the gate, `silent` if unquestioned."""

    kind: str
    text: str
    voice: Voice
    condition: str
    system: str
    verdict: str
    found: tuple[str, ...]
    silent: bool
    questions: int
    heard: str


def examiner_of(facts: dict[str, object]) -> Voice:
    """The examiner's voice as a NAME.toml says it."""
    sound = facts.get("sound")
    voices = sound.get("voices", {}) if isinstance(sound, dict) else {}
    one = voices.get("examiner")
    return voice_facts(f"{one['engine']}:{one['voice']}" if one else "unknown")


def load_spoken(sample: Sample) -> Spoken:
    """The sound of a sample with its voice."""
    assert sample.sound is not None
    facts = read_facts(sample.script.with_name(f"{sample.name}.toml"))
    return Spoken(sample, load_recording([sample.sound]).samples, examiner_of(facts))


def read_chatter(folder: Path) -> list[ChatterSet]:
    """Every KIND--VOICE.flac of the folder that has KIND--VOICE.chatter.csv beside it."""
    made = []
    for path in sorted(folder.glob("*.chatter.csv")):
        stem = path.name.removesuffix(".chatter.csv")
        with path.open(encoding="utf-8", newline="") as file:
            rows = tuple(
                (int(r["line"]), float(r["start_s"]), float(r["end_s"]), r["text"])
                for r in csv.DictReader(file)
            )
        voice = examiner_of(read_facts(folder / f"{stem}.toml"))
        sound = load_recording([folder / f"{stem}.flac"]).samples
        made.append(ChatterSet(re.sub(r"--.*", "", stem), path, voice, sound, rows))
    return made


class Measurer:
    """Measures with one lexicon and one set of choices."""

    def __init__(self, lexicon: Lexicon, settings: Settings) -> None:
        self._lexicon, self._settings = lexicon, settings
        self._spotter = TermSpotter(lexicon.terms)
        self._labels = {item_id: item.label for item_id, item in lexicon.items.items()}

    def hear(self, sound: Sound, name: str, stage: Stage) -> Transcript:
        """The transcript; an empty one where no speech is found."""
        recording = Recording(samples=sound, source=(name,))
        try:
            return listen(recording, self._lexicon, self._settings, stage=stage)
        except AudioError:
            return Transcript(utterances=(), source=(name,), duration_s=recording.duration_s)

    def recording(
        self, spoken_one: Spoken, sound: Sound, condition: str, system: str, stage: Stage
    ) -> Cell:
        """All counts of one recording."""
        sample = spoken_one.sample
        started = time.perf_counter()
        transcript = self.hear(sound, sample.name, stage)
        listening = time.perf_counter() - started
        record = pipeline.read(transcript, self._lexicon, self._settings)
        finder = LineFinder(sample, transcript)
        compared = Comparison(
            sample.expected, record.standing, record.questions, finder, self._labels
        )
        return Cell(
            recording=sample.name,
            style=sample.style,
            voice=spoken_one.voice,
            condition=condition,
            system=system,
            seconds=transcript.duration_s,
            words=tally_words(script_lines(sample.script), transcript, self._spotter),
            score=compared.score(),
            listening_s=listening,
        )

    def chatter(
        self, said: ChatterSet, sound: Sound, condition: str, system: str, stage: Stage
    ) -> list[ChatterCell]:
        """What came of each utterance, alone and after a finding."""
        transcript = self.hear(sound, said.path.name, stage)
        made = []
        for _, start, end, text in said.rows:
            mine = [
                u for u in transcript.utterances if u.start_s < end + NEAR_S and u.end_s > start
            ]
            found: list[str] = []
            silent, questions = False, 0
            for led in (False, True):
                alone = _alone(mine, transcript, start, led)
                record = pipeline.read(alone, self._lexicon, self._settings)
                phantom, quietly, asked = phantoms_of(record, led)
                found += phantom
                silent |= quietly
                questions += asked
            verdicts = {u.domain for u in mine}
            worst = next((v for v in ("examination", "unsure") if v in verdicts), "talk")
            made.append(
                ChatterCell(
                    kind=said.kind,
                    text=text,
                    voice=said.voice,
                    condition=condition,
                    system=system,
                    verdict=worst,
                    found=tuple(dict.fromkeys(found)),
                    silent=silent,
                    questions=questions,
                    heard=" ".join(u.text for u in mine),
                )
            )
        return made


def _alone(
    utterances: Sequence[Utterance], transcript: Transcript, start: float, led: bool
) -> Transcript:
    """A transcript of these utterances alone, after a spoken finding where `led`."""
    kept = list(utterances)
    if led:
        first = max(0.0, start - LEAD_S)
        texts = spoken(LEAD).split()
        step = (start - first) / (2 * len(texts))
        words = tuple(
            Word(text=t, start_s=first + n * step, end_s=first + (n + 1) * step, confidence=0.99)
            for n, t in enumerate(texts)
        )
        lead = Utterance(index=0, start_s=first, end_s=words[-1].end_s, words=words)
        kept.insert(0, lead)
    numbered = (u.model_copy(update={"index": n}) for n, u in enumerate(kept))
    return transcript.model_copy(update={"utterances": tuple(numbered)})
