"""How well findings are read: scripts whose truth is known, and talk that must give none."""

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.bench.breaths import as_heard, breathed
from dictate2exam.bench.chances import interval
from dictate2exam.bench.chatter import phantoms
from dictate2exam.bench.confusion import corrupt
from dictate2exam.bench.folder import read_folder
from dictate2exam.bench.harm import harm_name, harm_of, harm_table
from dictate2exam.bench.lines import LineFinder
from dictate2exam.bench.model import Sample, Score
from dictate2exam.bench.phrasebook import phrase_figures
from dictate2exam.bench.reading_speed import speed_figures
from dictate2exam.bench.samples import figures_of
from dictate2exam.bench.score import Comparison
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript, Utterance
from dictate2exam.speech.spoken import spoken_form
from dictate2exam.speech.spread import spread_words

SETS = ("tuned", "worked", "locked", "fresh", "unseen")
# Of these sets only sums are shown, so that nobody learns from them what to change.
SUMS_ONLY = frozenset({"locked", "fresh", "unseen"})
TALK = ("talk.txt", "chatter.txt", "hard_chatter.txt")
PARTS = ("clean", "heard", "breaths", "corrupted", "talk", "phrases", "speed")
BOOKS = "phrases"
ENDINGS = (".json", ".vtt", ".srt", ".txt")
# Share of words made wrong, and the seeds under which it is done.
RATE = 0.05
SEEDS = (1, 2, 3)

Source = Callable[[Sample], Iterable[Transcript]]


@dataclass
class Run:
    """One transcript of one script, scored as a whole and by kind of item."""

    name: str
    style: str
    whole: Score
    kinds: dict[str, Score] = field(default_factory=dict)


def script_sets() -> dict[str, Path]:
    """The shipped scripts by set: the packaged copy, or the sibling folder of a source tree."""
    package = Path(__file__).parents[1]
    for home in (package / "_bench_scripts", package.parent / "bench_scripts"):
        if home.is_dir():
            return {name: home / name for name in SETS if (home / name).is_dir()}
    raise InputError("The scripts of the bench are missing; install the package again.")


def _kind(item: str) -> str:
    return item.partition(".")[0]


def score_transcript(
    sample: Sample, transcript: Transcript, lexicon: Lexicon, settings: Settings
) -> Run:
    """What was read from one transcript of a script, against its truth."""
    record = pipeline.read(transcript, lexicon, settings)
    labels = {item_id: item.label for item_id, item in lexicon.items.items()}
    finder = LineFinder(sample, transcript)
    compared = Comparison(sample.expected, record.standing, record.questions, finder, labels)
    score = compared.score()
    kinds = {_kind(row.item) for row in compared.expected} | {_kind(e.item) for e in score.errors}
    return Run(
        name=sample.name,
        style=sample.style,
        whole=score,
        kinds={
            kind: Score(
                expected=sum(_kind(row.item) == kind for row in compared.expected),
                right=sum(_kind(row.item) == kind for row, _ in compared.right),
                errors=tuple(e for e in score.errors if _kind(e.item) == kind),
            )
            for kind in sorted(kinds)
        },
    )


def _percent(part: float, whole: float) -> float | None:
    return round(100 * part / whole, 2) if whole else None


def _wrongly_stands(score: Score) -> int:
    """Findings that stand and are not true."""
    return sum(score.count(kind) for kind in ("wrong_value", "wrong_side", "invented"))


# Each figure is a sum over a sum, in percent (or per 100).
RATES: dict[str, Callable[[Score], tuple[float, float]]] = {
    "precision": lambda s: (s.right, s.right + _wrongly_stands(s)),
    "recall": lambda s: (s.right, s.expected),
    "f1": lambda s: (2 * s.right, s.expected + s.right + _wrongly_stands(s)),
    "value_accuracy": lambda s: (s.right, s.right + s.count("wrong_value")),
    "invented_per_100": lambda s: (s.count("invented"), s.expected),
    "silent_per_100": lambda s: (s.silent, s.expected),
    "harm_per_100": lambda s: (sum(map(harm_of, s.errors)), s.expected),
    "silent_harm_per_100": lambda s: (
        sum(harm_of(e) for e in s.errors if e.silent),
        s.expected,
    ),
}
QUESTIONS: dict[str, Callable[[Score], tuple[float, float]]] = {
    "questions_per_100": lambda s: (s.questions, s.expected),
    "needed_percent": lambda s: (s.needed, s.questions),
}
OF_QUESTIONS = ("questions", "questions_per_100", "needed_percent", "gaps", "detail_wrong")


def rates(scores: Sequence[tuple[str, Score]], asked: bool = True) -> dict[str, Any]:
    """Sums and rates of scores with the names of their scripts; 95% intervals over scripts.

    Rates are in percent or per 100 true findings. Without `asked` nothing is said of questions.
    """
    made = figures_of(score for _, score in scores)
    del made["right_percent"], made["silent_per_100"]
    if not asked:
        made = {key: value for key, value in made.items() if key not in OF_QUESTIONS}
    for name, rate in (RATES | (QUESTIONS if asked else {})).items():
        units: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0])
        for script, score in scores:
            part, whole = rate(score)
            units[script][0] += part
            units[script][1] += whole
        parts = [(part, whole) for part, whole in units.values()]
        made[name] = _percent(sum(p for p, _ in parts), sum(w for _, w in parts))
        between = interval(parts)
        if between is not None:
            made[f"{name}_95"] = between
    return made


def form_figures(runs: Sequence[Run], openly: bool) -> dict[str, Any]:
    """Figures of runs in one form: all, by style, by kind, harm; errors where shown openly."""
    styles = sorted({run.style for run in runs})
    kinds = sorted({kind for run in runs for kind in run.kinds})
    errors = [(run, error) for run in runs for error in run.whole.errors]
    harmed: dict[str, int] = dict.fromkeys(harm_table(), 0)
    for _, error in errors:
        harmed[harm_name(error)] += 1
    made: dict[str, Any] = {
        "transcripts": len(runs),
        "all": rates([(run.name, run.whole) for run in runs]),
        "errors_by_harm": harmed,
        "by_style": {
            style: rates([(run.name, run.whole) for run in runs if run.style == style])
            for style in styles
        },
        "by_kind": {
            kind: rates([(r.name, r.kinds[kind]) for r in runs if kind in r.kinds], asked=False)
            for kind in kinds
        },
    }
    if openly:
        made["by_script"] = {
            name: rates([(run.name, run.whole) for run in runs if run.name == name])
            for name in sorted({run.name for run in runs})
        }
        made["errors"] = [
            {"script": run.name, **error.model_dump(mode="json"), "silent": error.silent}
            for run, error in errors
        ]
    return made


def heard_in(folder: Path, lexicon: Lexicon, settings: Settings) -> Source:
    """What recognisers made of a script: NAME or NAME--VOICE as .json (a transcript of the
    program itself, with what each listener heard), .vtt, .srt or .txt."""
    files = sorted(p for p in folder.iterdir() if p.suffix in ENDINGS)

    def read(sample: Sample) -> Iterable[Transcript]:
        for path in files:
            name = path.name.removesuffix(path.suffix).removesuffix(".script")
            if re.fullmatch(rf"{re.escape(sample.name)}(--.*)?", name):
                if path.suffix == ".json":
                    yield Transcript.model_validate_json(path.read_text(encoding="utf-8"))
                else:
                    yield pipeline.hear([path], lexicon, settings)

    return read


def rewritten(utterance: Utterance, text: str) -> Utterance:
    """The utterance with other words, spread evenly over its time."""
    words = spread_words(text, utterance.start_s, utterance.end_s) if text else ()
    return utterance.model_copy(update={"words": words, "readings": ()})


def corrupted_by(
    corrupt: Callable[[list[str], int, float], Sequence[str]], lexicon: Lexicon, settings: Settings
) -> Source:
    """Scripts as a recogniser would write them, with RATE of the words confused."""

    def read(sample: Sample) -> Iterable[Transcript]:
        clean = pipeline.hear([sample.script], lexicon, settings)
        for seed in SEEDS:
            said = [
                rewritten(
                    utterance,
                    " ".join(
                        corrupt(
                            spoken_form(utterance.text).split(),
                            1000 * seed + utterance.index,
                            RATE,
                        )
                    ),
                )
                for utterance in clean.utterances
            ]
            yield clean.model_copy(update={"utterances": tuple(said)})

    return read


def talk_figures(
    folder: Path,
    lexicon: Lexicon,
    settings: Settings,
    openly: bool,
    heard: Callable[[Transcript, list[str]], Transcript] | None = None,
) -> dict[str, Any]:
    """What each file of talk gave, every line alone and after a finding, typed or as `heard`."""
    made = {}
    for name in TALK:
        path = folder / name
        if not path.exists():
            continue
        lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]
        found = phantoms(lines, lexicon, settings, heard)
        found["phantom_percent"] = _percent(found["phantoms"], found["sentences"])
        if not openly:
            del found["gave"], found["silent"]
        made[name] = found
    return made


def _wanted(parts: str) -> list[str]:
    wanted = parts.split(",") if parts else list(PARTS)
    for part in wanted:
        if part not in PARTS:
            raise InputError(f"There is no part {part!r} of this bench; it has {', '.join(PARTS)}.")
    return wanted


def set_figures(
    folder: Path, parts: Sequence[str], heard: Path | None, openly: bool
) -> dict[str, Any]:
    """All figures of one folder of scripts."""
    lexicon, settings = load_lexicon(), Settings()
    samples = read_folder(folder)
    sources: dict[str, Source] = {}
    made: dict[str, Any] = {
        "scripts": len(samples),
        "expected": sum(len(sample.expected) for sample in samples),
    }
    if "clean" in parts:
        sources["clean"] = lambda sample: (pipeline.hear([sample.script], lexicon, settings),)
    if "heard" in parts and heard is not None:
        sources["heard"] = heard_in(heard, lexicon, settings)
    if "breaths" in parts:
        sources["breaths"] = breathed(lexicon, settings, SEEDS[:1])
    if "corrupted" in parts:
        sources["corrupted"] = corrupted_by(corrupt, lexicon, settings)
    for form, source in sources.items():
        runs = [
            score_transcript(sample, transcript, lexicon, settings)
            for sample in samples
            for transcript in source(sample)
        ]
        if runs:
            made[form] = form_figures(runs, openly)
        if form == "corrupted":
            made[form] |= {"rate": RATE, "seeds": SEEDS}
    if "talk" in parts:
        made["talk"] = talk_figures(folder, lexicon, settings, openly)
    if "breaths" in parts:
        breathing = partial(as_heard, seed=folder.name)
        made["talk_breaths"] = talk_figures(folder, lexicon, settings, openly, breathing)
    return made


def bench_findings(
    folder: Path | None = None, heard: Path | None = None, parts: str = ""
) -> dict[str, Any]:
    """Figures of the shipped scripts, each set apart, or of one folder laid out alike.

    `heard` is a folder of transcripts as recognisers wrote them; `parts` chooses some of PARTS.
    Phrase books lie beside the sets of scripts, or in the folder `phrases` of the one named.
    """
    wanted = _wanted(parts)
    if heard is not None and not heard.is_dir():
        raise InputError(f"There is no folder {heard}; --heard must name one with transcripts.")
    sets = {folder.name: folder} if folder is not None else script_sets()
    # A folder that was named is shown whole.
    closed = SUMS_ONLY if folder is None else frozenset()
    made: dict[str, Any] = {"harm": {name: row.model_dump() for name, row in harm_table().items()}}
    if "speed" in wanted:  # before anything that was read is remembered
        scripts = sorted(next(iter(sets.values())).glob("*.script.txt"))
        made["speed"] = speed_figures(scripts)
    made["sets"] = {
        name: set_figures(path, wanted, heard, name not in closed)
        for name, path in sets.items()
        if set(wanted) - {"speed", "phrases"}
    }
    books = (folder or next(iter(sets.values())).parent) / BOOKS
    if "phrases" in wanted and books.is_dir():
        made["phrases"] = phrase_figures(books, load_lexicon(), Settings())
    return made
