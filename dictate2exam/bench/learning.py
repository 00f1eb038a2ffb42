"""Whether an examiner is asked less next time: the second and third examination after the first."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.bench.confusion import mishear
from dictate2exam.bench.findings import heard_in, rewritten
from dictate2exam.bench.model import Sample
from dictate2exam.bench.review import Reviewed, review_truthfully
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.personal import with_mishearings
from dictate2exam.review.confirmed import confirmed_mishearings
from dictate2exam.settings import Settings
from dictate2exam.speech.examiner import Examiner, with_confirmed
from dictate2exam.speech.model import Transcript
from dictate2exam.speech.spoken import spoken_form

Exam = tuple[Sample, Transcript]
# Of a made-up voice this share of its rarer words is always misheard, each in its own way.
RATE = 0.15
VOICES = (1, 2, 3, 4)
# A made-up voice examines so many arms; each of them comes once at every place.
EXAMS = 4
PLACES = 3


def learning_figures(
    scripts: Sequence[Sample], heard: Path | None, lexicon: Lexicon, settings: Settings
) -> dict[str, Any]:
    """Questions and errors of a voice's first, second and third examination, and without learning.

    Every examination of a voice comes at each place equally often, so that the places differ by
    what was learnt alone; `the_same_again` is the same examination with what itself had taught,
    the most that learning can give. `made_up` are voices that mishear names in a way of their own,
    `heard` the transcripts in a folder, by the voice in their names (NAME--VOICE.json).
    """
    made = {"made_up": _figures(_made_up(scripts, lexicon, settings), lexicon, settings)}
    if heard is not None:
        made["heard"] = _figures(_by_voice(scripts, heard, lexicon, settings), lexicon, settings)
    return made


def _made_up(
    scripts: Sequence[Sample], lexicon: Lexicon, settings: Settings
) -> dict[str, list[Exam]]:
    return {
        f"voice {seed}": [
            (sample, _misheard(pipeline.hear([sample.script], lexicon, settings), seed))
            for sample in scripts[seed - 1 :: len(VOICES)][:EXAMS]
        ]
        for seed in VOICES
    }


def _misheard(clean: Transcript, seed: int) -> Transcript:
    return clean.model_copy(
        update={
            "utterances": tuple(
                rewritten(u, " ".join(mishear(spoken_form(u.text).split(), seed, RATE)))
                for u in clean.utterances
            )
        }
    )


def _by_voice(
    scripts: Sequence[Sample], heard: Path, lexicon: Lexicon, settings: Settings
) -> dict[str, list[Exam]]:
    voices: dict[str, list[Exam]] = defaultdict(list)
    read = heard_in(heard, lexicon, settings)
    for sample in scripts:
        names = sorted(path.stem for path in heard.glob(f"{sample.name}--*"))
        for name, transcript in zip(names, read(sample), strict=False):
            voices[name.partition("--")[2]].append((sample, transcript))
    return {voice: exams for voice, exams in voices.items() if len(exams) >= PLACES}


def _figures(
    voices: Mapping[str, Sequence[Exam]], lexicon: Lexicon, settings: Settings
) -> dict[str, Any]:
    """Sums by place over all voices and over every beginning of their examinations."""
    places: list[list[Reviewed]] = [[] for _ in range(PLACES)]
    known = [0] * PLACES
    plain: list[Reviewed] = []
    again: list[Reviewed] = []
    for voice, exams in voices.items():
        plain += [run for run, _ in _examined(voice, exams, lexicon, settings, learns=False)]
        for exam in exams:
            (_, (run, _)) = _examined(voice, [exam, exam], lexicon, settings)
            again.append(run)
        for start in range(len(exams)):
            order = [*exams[start:], *exams[:start]][:PLACES]
            for place, (run, learnt) in enumerate(_examined(voice, order, lexicon, settings)):
                places[place].append(run)
                known[place] += learnt
    made: dict[str, Any] = {
        "voices": len(voices),
        "examinations": len(plain),
        "without_learning": _rates(plain),
        "the_same_again": _rates(again),
    }
    for place, runs in enumerate(places):
        before = round(known[place] / len(runs), 1) if runs else 0.0
        made[f"examination_{place + 1}"] = {"mishearings_known": before, **_rates(runs)}
    return made


def _examined(
    voice: str,
    exams: Sequence[Exam],
    lexicon: Lexicon,
    settings: Settings,
    learns: bool = True,
) -> Iterator[tuple[Reviewed, int]]:
    """Each examination reviewed in turn, with how many mishearings were known before it."""
    examiner = Examiner(name=voice)
    for sample, transcript in exams:
        known = with_mishearings(lexicon, examiner.mishearings)
        record = pipeline.read(transcript, known, settings)
        run = review_truthfully(sample, record, transcript, known)
        yield run, len(examiner.mishearings)
        if learns and run.record is not None:
            confirmed = confirmed_mishearings(record, run.record, known)
            examiner = with_confirmed(examiner, confirmed, lexicon)


def _rates(runs: Sequence[Reviewed]) -> dict[str, Any]:
    findings = sum(run.before.expected for run in runs)

    def per_100(count: int) -> float | None:
        return round(100 * count / findings, 2) if findings else None

    about_names = sum(q.kind in ("mishearing", "unknown_term") for r in runs for q in r.asked)
    return {
        "findings": findings,
        "questions_per_100": per_100(sum(run.before.questions for run in runs)),
        "about_names_per_100": per_100(about_names),
        "silent_per_100": per_100(sum(run.before.silent for run in runs)),
        "errors_per_100": per_100(sum(len(run.before.errors) for run in runs)),
        "left_per_100": per_100(sum(len(run.after.errors) for run in runs)),
    }
