"""What a truthful examiner's answers do to records: errors before and after, questions, time."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.bench.chances import interval
from dictate2exam.bench.confusion import corrupt
from dictate2exam.bench.curves import Texts, curve_figures
from dictate2exam.bench.doubt_rules import Asked, asked_in, rule_figures
from dictate2exam.bench.examiner import fuller_answer, truthful_answer
from dictate2exam.bench.findings import Source, corrupted_by, heard_in, script_sets
from dictate2exam.bench.folder import read_folder, sample_folder
from dictate2exam.bench.lines import LineFinder
from dictate2exam.bench.model import Sample, Score
from dictate2exam.bench.score import Comparison
from dictate2exam.errors import InputError, RecordError
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.behind import behind
from dictate2exam.review.decisions import Decisions
from dictate2exam.review.topics import Topic
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript
from dictate2exam.units import Seconds

# What an answer takes beside listening, as the target counts it.
ANSWER_S: Seconds = 3.0
PARTS = ("typed", "heard", "sound", "corrupted", "curves", "learning")
DEFAULT_PARTS = ("typed", "heard", "sound", "corrupted")
# What the review should reach in quiet (corrupted text is no quiet sound).
TARGETS = {
    "left_per_100": 0.5,
    "wrong_sides_left": 0,
    "questions_per_100": 10,
    "needed_percent": 40,
    "seconds_an_examination": 60,
}


@dataclass
class Reviewed:
    """One examination before and after its questions were answered; `topics` are what was put."""

    script: str
    before: Score
    after: Score
    topics: list[str] = field(default_factory=list)
    replayed_s: Seconds = 0.0
    refused: int = 0
    asked: list[Asked] = field(default_factory=list)
    left: list[dict[str, Any]] = field(default_factory=list)
    record: ExamRecord | None = None

    @property
    def seconds(self) -> Seconds:
        """What the examiner's part takes: sound replayed and answers given."""
        return self.replayed_s + ANSWER_S * len(self.topics)


def review_truthfully(
    sample: Sample, record: ExamRecord, transcript: Transcript, lexicon: Lexicon
) -> Reviewed:
    """One record answered by somebody who knows what was said; gaps are left open."""
    finder = LineFinder(sample, transcript)
    labels = {item_id: item.label for item_id, item in lexicon.items.items()}
    first = Comparison(sample.expected, record.standing, record.questions, finder, labels)
    session = Decisions(record, lexicon)
    made = Reviewed(sample.name, first.score(), first.score(), asked=asked_in(sample.name, first))
    while (topic := session.top) is not None:
        session.shown(topic)
        if topic.lead.kind != "gap":
            made.topics.append(topic.lead.kind)
            made.replayed_s += sum(stretch.seconds for stretch in behind(session.record, topic))
        made.refused += _answer(session, topic, sample, finder, labels)
    last = Comparison(
        sample.expected, session.record.standing, session.record.questions, finder, labels
    )
    made.after = last.score()
    made.record = session.record
    made.left = [error.model_dump(mode="json") for error, _ in last.errors()]
    return made


def _answer(
    session: Decisions,
    topic: Topic,
    sample: Sample,
    finder: LineFinder,
    labels: dict[str, str],
) -> int:
    """Answers a topic, more fully where it is refused, by skipping in the end; times refused."""
    if topic.lead.kind == "gap":
        session.answer(topic, "skip")
        return 0
    ways = (truthful_answer, fuller_answer)
    for refused, way in enumerate(ways):
        try:
            session.answer(topic, way(topic.lead, session.record, sample, finder, labels))
            return refused
        except RecordError:
            continue
    session.answer(topic, "skip")
    return len(ways)


Part = Callable[[Reviewed], tuple[float, float]]
# Each figure is a sum over a sum, in percent or per 100 true findings.
RATES: dict[str, Part] = {
    "silent_before_per_100": lambda r: (r.before.silent, r.before.expected),
    "errors_before_per_100": lambda r: (len(r.before.errors), r.before.expected),
    "left_per_100": lambda r: (len(r.after.errors), r.after.expected),
    "questions_per_100": lambda r: (r.before.questions, r.before.expected),
    "put_per_100": lambda r: (len(r.topics), r.before.expected),
    "needed_percent": lambda r: (r.before.needed, r.before.questions),
    "wrong_sides_before_per_100": lambda r: (r.before.count("wrong_side"), r.before.expected),
    "wrong_sides_left_per_100": lambda r: (r.after.count("wrong_side"), r.after.expected),
}


def figures(runs: Sequence[Reviewed], openly: bool = True) -> dict[str, Any]:
    """Sums and rates of these examinations with 95% intervals, drawn over scripts.

    Examinations of one script are drawn together, since its findings are the same.
    """
    findings = sum(run.before.expected for run in runs)
    made: dict[str, Any] = {
        "examinations": len(runs),
        "scripts": len({run.script for run in runs}),
        "findings": findings,
        "wrong_sides_left": sum(run.after.count("wrong_side") for run in runs),
        "answers_refused": sum(run.refused for run in runs),
    }
    for name, rate in RATES.items():
        made |= _rate(name, runs, rate, 100)
    made |= _rate("seconds_replayed_an_examination", runs, lambda r: (r.replayed_s, 1.0), 1)
    made |= _rate("seconds_an_examination", runs, lambda r: (r.seconds, 1.0), 1)
    kinds = Counter(one.kind for run in runs for one in run.asked)
    made["by_kind"] = {
        kind: {
            "asked": count,
            **_rate("per_100", runs, _of_kind(kind, asked=True), 100),
            **_rate("needed_percent", runs, _of_kind(kind, asked=False), 100),
        }
        for kind, count in sorted(kinds.items())
    }
    by_script: dict[str, int] = defaultdict(int)
    errors: dict[str, int] = defaultdict(int)
    for run in runs:
        by_script[run.script] += run.before.expected
        errors[run.script] += len(run.before.errors)
    asked = [one for run in runs for one in run.asked]
    made["rules"] = rule_figures(asked, by_script, errors)
    if openly:
        made["left"] = [{"script": run.script, **error} for run in runs for error in run.left]
    return made


def _of_kind(kind: str, asked: bool) -> Part:
    def part(run: Reviewed) -> tuple[float, float]:
        mine = [one for one in run.asked if one.kind == kind]
        if asked:
            return len(mine), run.before.expected
        return sum(one.needed for one in mine), len(mine)

    return part


def _rate(name: str, runs: Sequence[Reviewed], rate: Part, scale: int) -> dict[str, Any]:
    units: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0])
    for run in runs:
        part, whole = rate(run)
        units[run.script][0] += part
        units[run.script][1] += whole
    parts = [(part, whole) for part, whole in units.values()]
    whole = sum(w for _, w in parts)
    value = round(scale * sum(p for p, _ in parts) / whole, 2) if whole else None
    between = interval(parts)
    if between is not None and scale == 1:
        between = [round(edge / 100, 2) for edge in between]
    return {name: value} | ({f"{name}_95": between} if between is not None else {})


def reviewed(
    samples: Iterable[Sample], source: Source, lexicon: Lexicon, settings: Settings
) -> list[Reviewed]:
    """Every transcript that the source gives of these samples, read and reviewed."""
    return [
        review_truthfully(sample, pipeline.read(transcript, lexicon, settings), transcript, lexicon)
        for sample in samples
        for transcript in source(sample)
    ]


def bench_review(
    folder: Path | None = None, heard: Path | None = None, parts: str = ""
) -> dict[str, Any]:
    """Errors, questions and time of a review, by what was read: typed, heard, sound, corrupted.

    `folder` holds recordings with their scripts, listened to one after the other; `heard`
    transcripts of the tuned and shipped scripts as recognisers wrote them; `quiet` sums up all
    that is not corrupted. The part `curves`, on demand, shows what each rule of doubt would ask
    under other limits, on typed, heard and once corrupted text; `learning`, too, what an examiner
    is asked in the second and third examination.
    """
    wanted = _wanted(parts)
    for given in (folder, heard):
        if given is not None and not given.is_dir():
            raise InputError(f"There is no folder {given}; name one.")
    lexicon, settings = load_lexicon(), Settings()
    scripts = read_folder(script_sets()["tuned"])
    sources: dict[str, tuple[Sequence[Sample], Source]] = {}
    if "typed" in wanted:
        sources["typed"] = scripts, lambda s: (pipeline.hear([s.script], lexicon, settings),)
    if "heard" in wanted and heard is not None:
        known = (*scripts, *read_folder(folder or sample_folder()))
        sources["heard"] = known, heard_in(heard, lexicon, settings)
    if "sound" in wanted and folder is not None:
        sources["sound"] = (
            read_folder(folder),
            lambda s: (pipeline.hear([s.sound], lexicon, settings),) if s.sound else (),
        )
    if "corrupted" in wanted:
        sources["corrupted"] = scripts, corrupted_by(corrupt, lexicon, settings)
    runs = {
        form: reviewed(samples, source, lexicon, settings)
        for form, (samples, source) in sources.items()
    }
    made: dict[str, Any] = {"targets": TARGETS, "answer_seconds": ANSWER_S}
    quiet = [run for form, found in runs.items() if form != "corrupted" for run in found]
    if quiet:
        made["quiet"] = figures(quiet, openly=False)
    made |= {form: figures(found) for form, found in runs.items() if found}
    if "curves" in wanted:
        made["curves"] = curve_figures(_texts(scripts, heard, lexicon, settings), settings)
    if "learning" in wanted:
        from dictate2exam.bench.learning import learning_figures  # which measures with this file

        made["learning"] = learning_figures(scripts, heard, lexicon, settings)
    return made


def _texts(
    scripts: Sequence[Sample], heard: Path | None, lexicon: Lexicon, settings: Settings
) -> dict[str, Texts]:
    """What the curves are drawn on: of the corrupted texts one a script."""
    forms: dict[str, tuple[Sequence[Sample], Source]] = {
        "typed": (scripts, lambda s: (pipeline.hear([s.script], lexicon, settings),)),
        "corrupted": (
            scripts,
            lambda s: islice(corrupted_by(corrupt, lexicon, settings)(s), 1),
        ),
    }
    if heard is not None:
        known = (*scripts, *read_folder(sample_folder()))
        forms["heard"] = known, heard_in(heard, lexicon, settings)
    return {
        form: [(sample, transcript) for sample in samples for transcript in source(sample)]
        for form, (samples, source) in forms.items()
    }


def _wanted(parts: str) -> Sequence[str]:
    wanted = parts.split(",") if parts else DEFAULT_PARTS
    for part in wanted:
        if part not in PARTS:
            raise InputError(f"There is no part {part!r} of this bench; it has {', '.join(PARTS)}.")
    return wanted
